"""Harvest windows as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.cli.layout import day, wrapped
from wormbin.farm.views import HarvestRow


def document(row: HarvestRow) -> dict[str, object]:
    """One bin's window and steps as JSON."""
    steps = [{"date": step.on, "what": step.what} for step in row.harvest.steps]
    more = {"steps": steps, "source": row.harvest.source}
    return {"bin": row.bin, "name": row.name} | row.harvest.document | more | _trays(row)


def _trays(row: HarvestRow) -> dict[str, object]:
    return {
        "compartments": [
            {
                "number": each.number,
                "name": each.name,
                "earliest": each.earliest,
                "likely": each.likely,
                "latest": each.latest,
                "due_since": each.due_since,
            }
            for each in row.compartments
        ]
    }


def lines(row: HarvestRow, width: int) -> Iterator[str]:
    """One bin's window and steps."""
    yield from wrapped(f"{row.name} ({row.bin}), by {row.harvest.method}: {row.harvest.words}", width, rest="  ")
    for each in row.compartments:
        yield from wrapped(each.harvest_words, width, f"  {each.name:<16}")
    for step in row.harvest.steps:
        yield from wrapped(step.what, width, f"  {day(step.on):<16}")
    yield ""
