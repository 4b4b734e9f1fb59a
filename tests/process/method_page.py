"""The tables of the method page as they follow from the code: ``python -m tests.process.method_page`` writes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import Field, dataclass, fields
from pathlib import Path
from typing import Any

from tests.published import outcomes
from wormbin.process import readings
from wormbin.process.ensemble import Doubts
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.run import BULK_SD

Table = tuple[str, ...]
PAGE = Path(readings.__file__).with_name("method.md")


@dataclass(frozen=True, slots=True)
class Listed:
    """One parameter as the method page prints it."""

    key: str
    value: float
    unit: str
    low: float
    high: float
    source: str


def listed(parameters: Parameters = DEFAULT) -> tuple[Listed, ...]:
    """Every parameter with its value, unit, allowed range and source, in the order of this file."""

    def one(each: Field[Any]) -> Listed:
        meta = each.metadata
        return Listed(
            each.name, getattr(parameters, each.name), meta["unit"], meta["low"], meta["high"], meta["source"]
        )

    return tuple(one(each) for each in fields(parameters))


def page() -> str:
    """The method page, Markdown: words first, then equations, parameters, sources, checks, and where it is weak."""
    return PAGE.read_text(encoding="utf-8")


def parameter_table(parameters: Parameters = DEFAULT) -> Table:
    """Every parameter with its value, unit, allowed range and source, as the lines of a Markdown table."""
    rows = (
        f"| {one.key} | {one.value:g} | {one.unit} | {one.low:g} to {one.high:g} | {one.source} |"
        for one in listed(parameters)
    )
    return ("| parameter | value | unit | allowed | source |", "| --- | --- | --- | --- | --- |", *rows)


def doubt_table(doubts: Doubts | None = None) -> Table:
    """What is doubted before any reading and how fast doubt comes back, as the lines of a Markdown table."""
    held = doubts or Doubts()
    drift = held.drift
    rows: tuple[tuple[str, float | None, float | None, float | None], ...] = (
        ("pace (theta)", held.rate, drift.rate, drift.rate_cap),
        ("drying (delta)", held.drying, drift.drying, drift.drying_cap),
        ("what must lie there for half of the appetite", held.half, None, None),
        ("pace of fibre", held.fibres, drift.fibres, drift.fibres_cap),
        ("pace of the microbes", held.microbes, None, None),
        ("castings made of a kilogram worked", held.yields, None, None),
        ("water held", held.holding, None, None),
        ("what worms gain of what they eat", held.growth, None, None),
        ("amounts as said", held.amounts, None, None),
        ("what heat, cold and wet do to the herd", held.harms, None, None),
        ("worms, weighed when put in", held.worms_weighed, drift.worms, drift.worms_cap),
        ("worms, counted when put in", held.worms_counted, drift.worms, drift.worms_cap),
        ("water", None, drift.damp, drift.damp_cap),
        ("quick and steady feed", None, drift.feed, drift.feed_cap),
        ("castings", None, drift.castings, drift.castings_cap),
        ("room taken", BULK_SD, 0.015, BULK_SD),
    )

    def cell(value: float | None) -> str:
        return "" if value is None else f"{100 * value:g} %"

    return (
        "| doubt (standard deviation) | at first | more after a day | at most |",
        "| --- | --- | --- | --- |",
        *(f"| {name} | {cell(first)} | {cell(daily)} | {cell(most)} |" for name, first, daily, most in rows),
    )


def reading_table() -> Table:
    """What each kind of reading is worth, as the lines of a Markdown table."""
    squeezes = ", ".join(f"{name.value} {100 * value:g} %" for name, value in readings.SQUEEZES.items())
    rows = (
        ("squeeze", f"{squeezes}; give or take {100 * readings.SQUEEZE_SD:g} points"),
        ("moisture meter", f"give or take {100 * readings.METER_SD:g} points until paired with an oven test"),
        ("oven test", f"give or take {100 * readings.OVEN_SD:g} points"),
        ("share left, by eye", f"give or take {100 * readings.LEFT_SD:g} points"),
        ("weighing", f"give or take {100 * readings.WEIGHING_SHARE:g} %"),
        ("ruler", f"give or take {100 * readings.RULER_M:g} cm and {100 * readings.RULER_SHARE:g} %"),
        ("survey", "its own interval, from how much the samples differ"),
        ("harvest", f"80 % of the castings, give or take {100 * readings.HARVEST_SD:g} %, only where it is more"),
        ("harvest, with what stayed", f"the share taken; what stayed give or take {100 * readings.STAYED_SD:g} points"),
    )
    return ("| reading | taken as |", "| --- | --- |", *(f"| {name} | {worth} |" for name, worth in rows))


def own_tables() -> dict[str, Table]:
    """The tables of the page that follow from the code alone, by name."""
    return {"parameters": parameter_table(), "doubts": doubt_table(), "readings": reading_table()}


def with_table(text: str, name: str, lines: Iterable[str]) -> str:
    """A page with the lines between its marks for ``name`` replaced. Raises ValueError when it has no such marks."""
    before, _old, after = _parted(text, name)
    return f"{before}\n" + "\n".join(lines) + f"\n{after}"


def table_in(text: str, name: str) -> Table:
    """The lines between the marks for ``name``. Raises ValueError when there are none."""
    return tuple(_parted(text, name)[1].strip("\n").split("\n"))


def _parted(text: str, name: str) -> tuple[str, str, str]:
    begin, end = f"<!-- {name} -->", f"<!-- end of {name} -->"
    if text.count(begin) != 1 or text.count(end) != 1:
        raise ValueError(f"the page has no one place for the table {name}")
    before, rest = text.split(begin)
    old, after = rest.split(end)
    return before + begin, old, end + after


def write(made: Mapping[str, Iterable[str]] | None = None) -> None:
    """Bring the page's own tables and the published rows up to date, and put in what was ``made``."""
    text = page()
    rows = outcomes.residual_table(outcomes.residuals())
    for name, lines in {**own_tables(), "residuals": rows, **(made or {})}.items():
        text = with_table(text, name, lines)
    PAGE.write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write()
