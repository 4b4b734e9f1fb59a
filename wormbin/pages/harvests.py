"""When there will be castings, and the steps to take before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wormbin.farm.views.bin import HarvestRow
from wormbin.farm.views.round import HarvestView
from wormbin.pages.days import dated
from wormbin.pages.page import GAP, Block, Heading, Sentence, in_brackets
from wormbin.records.bins import Method

NO_BINS = Sentence("No bins yet. Begin one: wormbin start kitchen --length 60cm --width 40cm --depth 30cm")


def harvest(view: HarvestView) -> Iterator[Block]:
    """The window and the steps of the method."""
    yield Sentence(view.words, "strong", lead="castings: ")
    yield from dated(view.steps, 3)


def harvests(rows: Sequence[HarvestRow], unread: Sequence[str] = ()) -> Iterator[Block]:
    """Every bin's window, that of each tray, the steps; where the days come from."""
    for row in rows:
        yield Heading(
            row.name, aside=f"{in_brackets(row.bin, row.name)}, castings out by {Method(row.harvest.method).by}"
        )
        yield from harvest(row.harvest)
        for each in row.compartments:
            yield Sentence(each.harvest_words, lead=f"{each.name}: ", indent=3)
        yield GAP
    for source in dict.fromkeys(row.harvest.source for row in rows if row.harvest.source):
        yield Sentence(source, "dim", lead="source: ")
    if unread:
        yield Sentence(f"Left out, as they cannot be read: {', '.join(unread)}", "watch")
    elif not rows:
        yield NO_BINS
