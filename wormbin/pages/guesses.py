"""What was guessed and what came, over the term: charts first, then every guess; no order of who guessed best."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from statistics import median

from wormbin.drawing.chart import chart
from wormbin.drawing.measure import measure_of
from wormbin.drawing.picture import Picture
from wormbin.drawing.series import Series
from wormbin.farm.guesses import GuessesView
from wormbin.measures import counted, mass
from wormbin.pages.days import day
from wormbin.pages.page import GAP, Block, Column, Drawn, Heading, Sentence, Table

ROWS = 10
ENOUGH = 6
"""Guesses from which their first half is held against their second (ours)."""


def guesses(view: GuessesView, units: str, *, ascii: bool) -> Iterator[Block]:
    """Charts, how the guesses have come nearer, and each of them."""
    if not view.rows:
        yield Sentence("No guess yet. Say what you expect before you look: “write more”, or wormbin guess.")
        yield Sentence(f"wormbin guess {view.bin.key} --moisture 75 --by Ana", "dim")
        return
    for series in view.charts:
        yield Heading(series.title, "strong")
        yield Drawn(partial(_drawn, series, units, ascii))
    for quantity in ("moisture", "worms"):
        yield from _nearer(view, quantity, units)
    yield GAP
    columns = (Column("day"), Column("who"), Column("what"), Column("guess"), Column("came"), Column("off"))
    yield Sentence("Came is the mean of what was read in the three days after; “worked out” where nothing was.", "dim")
    yield Table(
        columns,
        tuple(
            (day(row.on), row.by, row.quantity, row.words, row.came_words or "not yet", row.off) for row in view.rows
        ),
    )


def _drawn(series: Series, units: str, ascii: bool, width: int) -> Picture:
    days = [reading.on for reading in series.readings]
    first, last = min(days), max(*days, series.today or days[0])
    return chart(series, width, ROWS, first=first, last=last, measure=measure_of(series.unit, units), ascii=ascii)


def _nearer(view: GuessesView, quantity: str, units: str) -> Iterator[Block]:
    off = view.off_by(quantity)
    if len(off) < ENOUGH:
        return
    half = len(off) // 2
    early, late = median(off[:half]), median(off[-half:])

    def say(off: float) -> str:
        return counted(round(off * 100), "point") if quantity == "moisture" else mass(off, units)

    nearer = "nearer" if late < early else "no nearer"
    words = f"{quantity}: half of the first {half} guesses were off by {say(early)} or less, of the last by {say(late)}"
    yield Sentence(f"{words}: {nearer} now.")
