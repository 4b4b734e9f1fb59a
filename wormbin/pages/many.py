"""Readings of many: one line a day, with a disc for each reading, so that their spread is seen at a glance."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from functools import partial

from wormbin.drawing.picture import Canvas, Picture
from wormbin.farm.bins.many import ManyDay, ManyView
from wormbin.pages.days import short_day
from wormbin.pages.page import GAP, Block, Drawn, Heading, Sentence

LABEL, TAIL = 12, 22
SHOWN = 20
"""Days of one quantity that are drawn; the latest."""
HOW = "A disc is a reading, a figure so many of them, ? does not fit the others or the estimate, the line is the mean."
WHAT = "Spread is one standard deviation: about two readings in three lie within it, either side of the mean."


def many(view: ManyView, *, ascii: bool) -> Iterator[Block]:
    """A picture a quantity, then each day in words."""
    if not view.days:
        yield Sentence("No day yet on which three or more read the same thing. Let each pupil write a check.")
        return
    for name in dict.fromkeys(day.name for day in view.days):
        days = [day for day in view.days if day.name == name][:SHOWN]
        yield Heading(f"{name}, by day", "strong")
        yield Drawn(partial(_strips, days, view.on, ascii))
        yield GAP
    yield Sentence(HOW, "dim")
    yield Sentence(WHAT, "dim")
    yield GAP
    for words in view.still:
        yield Sentence(words, lead="note: ")
    for each in view.days[:SHOWN]:
        yield Sentence(each.words)


def _strips(days: Sequence[ManyDay], today: date, ascii: bool, width: int) -> Picture:
    """The days one under the other on one scale; the mean as a line, readings as discs, several in a cell counted."""
    values = [value for day in days for _, value, _ in day.read]
    low, high = min(values), max(values)
    edge = 0.05 * (high - low) or 0.01
    room = max(width - LABEL - TAIL, 10)
    canvas = Canvas(width, len(days) + 1, ascii=ascii)

    def column(value: float) -> int:
        return LABEL + round((value - low + edge) / (high - low + 2 * edge) * (room - 1))

    for row, day in enumerate(days):
        canvas.write(0, row, short_day(day.on, today), "dim")
        for at in range(LABEL, LABEL + room):
            canvas.set(at, row, "." if ascii else "·", "axis")
        canvas.set(column(day.mean), row, "|" if ascii else "│", "value")
        for at, count in Counter(column(value) for _, value, far in day.read if not far).items():
            canvas.set(at, row, ("o" if ascii else "●") if count == 1 else str(min(count, 9)), "reading")
        for _, value, far in day.read:
            if far:
                canvas.set(column(value), row, "?", "questioned")
        canvas.write(LABEL + room + 1, row, f"{day.mean_words} ± {day.spread_words}", "strong")
    first = next(day.ends[0] for day in days if any(value == low for _, value, _ in day.read))
    canvas.write(column(low), len(days), first, "dim")
    if high > low:
        last = next(day.ends[1] for day in days if any(value == high for _, value, _ in day.read))
        canvas.write(column(high) - len(last) + 1, len(days), last, "dim")
    return canvas.picture()
