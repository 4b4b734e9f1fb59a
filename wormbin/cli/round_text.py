"""The round as text for 80 columns, worst bin first: what to do, how much, why."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.cli.layout import day, wrapped
from wormbin.cli.paper import Paper
from wormbin.drawing.marks import LEVEL_SHAPES, plain
from wormbin.farm.views.bin import RoundRow, RoundView
from wormbin.figures import Level
from wormbin.measures import counted, percent

SHOWN = 3
"""Findings of one bin that are shown with their why; the rest are counted."""


def lines(view: RoundView, paper: Paper) -> Iterator[str]:
    """The round, worst first."""
    if not view.rows and not view.troubled:
        yield "No bins yet. Begin one: wormbin start kitchen --length 60cm --width 40cm --depth 30cm"
        yield "Or look round a made-up farm: wormbin demo"
        return
    counts = [
        f"{sum(row.level is level for row in view.rows)} {level.value}"
        for level in (Level.ACT, Level.WATCH, Level.STEADY)
    ]
    bins = counted(len(view.rows), "bin")
    unread = f"   {counted(len(view.troubled), 'bin')} cannot be read" if view.troubled else ""
    takes = f"about {view.minutes} min" if view.minutes else "" if view.troubled else "all seen today"
    yield paper.tinted(f"Round on {day(view.on)}", "strong") + f"   {bins}: {', '.join(counts)}   {takes}{unread}"
    for row in view.rows:
        yield ""
        yield from _bin(row, view, paper)
    for each in view.troubled:
        yield ""
        yield from wrapped(f"{each.name} ({each.bin}) cannot be read: {each.why}", paper.width, "! ")
    if view.note:
        yield ""
        yield from wrapped(view.note, paper.width, "note: ")


def _bin(row: RoundRow, view: RoundView, paper: Paper) -> Iterator[str]:
    shape = f"{LEVEL_SHAPES[row.level]} {row.level.value:<6}"
    # Who looked at a bin that calls for action has not yet done what it calls for.
    tick = "" if not row.done else " (seen today)" if row.level is Level.ACT else " (done today)"
    room = paper.width - 9 - len(row.bin) - 3 - len(tick)
    yield (
        paper.tinted(shape, row.level.value)
        + " "
        + paper.tinted(plain(row.name, min(room, _width(row.name))).rstrip(), "strong")
        + f" ({row.bin}){tick}"
    )
    yield from wrapped(row.headline, paper.width, "  ")
    for number, step in enumerate(row.do):
        yield from wrapped(step, paper.width, "  do:  " if number == 0 else "       ")
    if row.also:
        yield from wrapped("; ".join(row.also), paper.width, "  also: ")
    if row.mind:
        yield from wrapped(row.mind, paper.width, "  mind: ")
    alarms = [each for each in row.findings if each.level is not Level.STEADY]
    for each in alarms[:SHOWN]:
        head = "" if each.what == row.headline else f"{each.what}: "
        yield from wrapped(head + each.why, paper.width, "  why: ", "       ")
    if len(alarms) > SHOWN:
        yield f"       and {len(alarms) - SHOWN} more: wormbin outlook {row.bin}"
    yield from wrapped(_figures(row), paper.width, "  ", "  ")
    yield from wrapped(_next(row, view), paper.width, "  ", "  ")


def _width(name: str) -> int:
    from wormbin.drawing.marks import width_of

    return width_of(plain(name))


def _figures(row: RoundRow) -> str:
    age = row.moisture_age_days
    read = "never read" if age is None else "last read today" if age == 0 else f"last read {age} d ago"
    low, high = percent(row.moisture.p10).removesuffix("%"), percent(row.moisture.p90)
    if row.moisture.p90 <= 0:  # nothing is in
        return f"waiting {row.feed_waiting_words} · worms {row.worms_words}"
    return (
        f"waiting {row.feed_waiting_words} · moisture {percent(row.moisture.p50)} ({low}-{high}, {read}) · "
        f"worms {row.worms_words}"
    )


def _next(row: RoundRow, view: RoundView) -> str:
    where = f" in the {row.feed_into}" if row.feed_into else ""
    feed = f"feed up to {row.feed_up_to_words}{where} today" if row.feed_up_to_kg > 0 else "feed nothing today"
    following = f", next feeding {day(row.next_feeding)}" if row.next_feeding and row.next_feeding != view.on else ""
    check = "check today" if row.next_check == view.on else f"check {day(row.next_check)}"
    return f"{feed}{following} · {check} · castings {row.harvest.words}"
