"""A class: whose turn it is, readings of many with a disc for each, guesses beside what came."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from functools import partial
from itertools import groupby
from statistics import median

from wormbin.drawing.axes import measure_of
from wormbin.drawing.chart import chart
from wormbin.drawing.picture import Canvas, Picture
from wormbin.drawing.series import Series
from wormbin.farm.bins.many import ManyDay, ManyView
from wormbin.farm.guesses import GuessesView
from wormbin.farm.turns import RotaDay, RotaView
from wormbin.measures import counted, mass
from wormbin.pages.page import GAP, Block, Column, Drawn, Heading, Sentence, Table, day, short_day

NO_ROTA = (
    "No rota yet. Three steps:",
    'wormbin keepers --add "Ana, Ben, Cleo"',
    'wormbin settings school-days "monday to friday"',
    'wormbin settings jobs "feed, check, measure friday, tidy friday"',
    "On the screen: , and then the last rows: who writes, school days, jobs.",
)


def rota(view: RotaView) -> Iterator[Block]:
    """One line a school day; holidays in one line each, as long as they are."""
    if not any(day.duties for day in view.days):
        yield from (Sentence(words) for words in _none(view))
        return
    yield Heading(f"Turns, {view.first:%B %Y}")
    jobs = [job for job in view.jobs if any(job in day.duties for day in view.days)]
    columns = (Column("day"), *(Column(job) for job in jobs), Column(""))
    rows: list[tuple[str, ...]] = []
    for off, days in groupby(view.days, key=lambda day: day.off):
        held = list(days)
        if off:
            until = "" if len(held) == 1 else f"to {_day(held[-1])}: "
            rows.append((_day(held[0]), *[""] * len(jobs), until + off))
        else:
            rows += [
                (_day(day), *("+".join(day.duties.get(job, ())) for job in jobs), _aside(day, view)) for day in held
            ]
    yield Table(columns, tuple(rows))
    yield GAP
    if len(view.bins) > 1:
        yield Sentence(f"Each job is done at every bin: {', '.join(view.bins)}.")
    if "feed" in jobs:
        yield Sentence("Whoever feeds looks first, and feeds only where the round says so that day.")
    yield Sentence("Wash your hands afterwards.", "dim")


def _none(view: RotaView) -> tuple[str, ...]:
    """Why nobody has a turn in the month, and what to do."""
    if view.since is None:
        return NO_ROTA
    if view.last < view.today:
        return ("This month is over. Who did what is in the log: wormbin log BIN",)
    if view.until is not None and view.until < max(view.first, view.today):
        return (f'The term ends {view.until}. Set the next: wormbin settings term "first day to last day"',)
    if view.since > view.last:
        return (f"The term begins {view.since}: wormbin turns --month {view.since:%Y-%m}",)
    return (f"Nobody has a turn in the rest of {view.first:%B %Y}.",)


def _day(day: RotaDay) -> str:
    return f"{day.on:%a} {day.on.day}{' half' if day.half else ''}"


def _aside(day: RotaDay, view: RotaView) -> str:
    parts = ["today"] if day.on == view.today else []
    parts += [f"away: {', '.join(day.away)}"] if day.away else []
    return "; ".join(parts)


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
    for name in dict.fromkeys(each.name for each in view.days):
        days = [each for each in view.days if each.name == name][:SHOWN]
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
    values = [value for one in days for _, value, _ in one.read]
    low, high = min(values), max(values)
    edge = 0.05 * (high - low) or 0.01
    room = max(width - LABEL - TAIL, 10)
    canvas = Canvas(width, len(days) + 1, ascii=ascii)

    def column(value: float) -> int:
        return LABEL + round((value - low + edge) / (high - low + 2 * edge) * (room - 1))

    for row, one in enumerate(days):
        canvas.write(0, row, short_day(one.on, today), "dim")
        for at in range(LABEL, LABEL + room):
            canvas.set(at, row, "." if ascii else "·", "axis")
        canvas.set(column(one.mean), row, "|" if ascii else "│", "value")
        for at, count in Counter(column(value) for _, value, far in one.read if not far).items():
            canvas.set(at, row, ("o" if ascii else "●") if count == 1 else str(min(count, 9)), "reading")
        for _, value, far in one.read:
            if far:
                canvas.set(column(value), row, "?", "questioned")
        canvas.write(LABEL + room + 1, row, f"{one.mean_words} ± {one.spread_words}", "strong")
    first = next(one.ends[0] for one in days if any(value == low for _, value, _ in one.read))
    canvas.write(column(low), len(days), first, "dim")
    if high > low:
        last = next(one.ends[1] for one in days if any(value == high for _, value, _ in one.read))
        canvas.write(column(high) - len(last) + 1, len(days), last, "dim")
    return canvas.picture()


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

    def say(off: float) -> str:
        return counted(round(off * 100), "point") if quantity == "moisture" else mass(off, units)

    early, late = median(off[:half]), median(off[-half:])
    nearer = "nearer" if late < early and say(late) != say(early) else "no nearer"
    words = f"{quantity}: half of the first {half} guesses were off by {say(early)} or less, of the last by {say(late)}"
    yield Sentence(f"{words}: {nearer} now.")
