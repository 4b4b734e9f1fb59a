"""The round in lines: a head that counts, column heads, and one line a bin, for any width."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from wormbin.drawing.axes import day_month
from wormbin.drawing.chart import spark
from wormbin.drawing.marks import basis_mark, level_mark, plain, width_of
from wormbin.farm.rounds import jobs_left, minutes_left, natural, order
from wormbin.farm.views.round import RoundRow
from wormbin.figures import Level
from wormbin.measures import counted
from wormbin.measures.dates import time_words
from wormbin.pages.findings import first_steps
from wormbin.pages.page import Piece, said

Key = Callable[[RoundRow], Any]


def as_you_walk(row: RoundRow) -> Any:
    """By the stops of the walk, else by name."""
    return row.walk_at, natural(row.name)


ORDERS: tuple[tuple[Key, str], ...] = (
    (order, "worst first"),
    (as_you_walk, "as you walk"),
    (lambda row: row.name.casefold(), "by name"),
    (lambda row: (row.next_feeding or date.max, row.name.casefold()), "next feeding first"),
    (lambda row: (row.harvest.due_since or row.harvest.likely or date.max, row.name.casefold()), "next harvest first"),
    (lambda row: (-row.feed_waiting_days.p50, row.name.casefold()), "most uneaten first"),
)
"""The orders that one key goes through, and their names."""

SHOWN: tuple[tuple[Callable[[RoundRow], bool], str], ...] = (
    (lambda row: True, ""),
    (lambda row: not row.done, "not done"),
    (lambda row: row.level is not Level.STEADY, "act and watch"),
    (lambda row: row.level is Level.STEADY, "steady"),
)
"""What one key goes through: which bins are shown, and the words for it."""


@dataclass(frozen=True, slots=True)
class Columns:
    """How wide each column of the round is at one width of the screen; 0 leaves a column out.

    ``headline`` is what is the matter; where there is room for one only, ``first``, what to do, stands alone.
    """

    level: int
    name: int
    headline: int
    first: int
    trend: int
    waiting: int
    moisture: int
    up_to: int
    worms: int
    harvest: int
    today: int


def columns(width: int, longest: int = 22) -> Columns:
    """What there is room for: the name and what to do first, then the figures, then the rest.

    ``longest`` is the width of the longest name: a name is cut last.
    """
    level, waiting, moisture = (10, 8, 6) if width >= 56 else (3, 0, 7) if width >= 34 else (3, 0, 0)
    harvest, today = (8, 9) if width >= FULL else (0, 6) if width >= 44 else (0, 2)
    worms, up_to, trend = 10 * (width >= 104), 11 * (width >= 92), 14 * (width >= 124)
    rest = width - level - waiting - moisture - harvest - today - worms - up_to - trend
    name = max(min(longest + 1, rest * 9 // 20, 30), min(rest, 12))
    words = max(rest - name, 0)
    first = words * 9 // 20 if words >= 70 else words
    return Columns(level, name, words - first, first, trend, waiting, moisture, up_to, worms, harvest, today)


FULL = 64
"""Width from which there is room for the harvest and the next feeding; under it what to do has the room."""


class Named(Protocol):
    """Whatever has a name to show."""

    @property
    def name(self) -> str:
        """The name."""


def longest_name(rows: Sequence[Named]) -> int:
    """The width of the longest name among these bins."""
    return max((width_of(plain(row.name)) for row in rows), default=0)


def short_name(name: str, width: int) -> str:
    """A name in ``width`` cells; where it is cut, a short last word stays, since it is often a number that tells two
    bins apart: ``Shade bed, nor… 3``."""
    head, _, last = plain(name).rpartition(" ")
    room = width - width_of(last) - 1
    if not head or width_of(plain(name)) <= width or width_of(last) > LAST_WORD or room < LEAST_HEAD:
        return plain(name, width)
    return plain(f"{plain(head, room)} {plain(last)}", width)


LAST_WORD, LEAST_HEAD = 4, 6
"""Cells of a last word that stays, and of what must be left to stand before it."""


def column_heads(width: int, longest: int = 22) -> list[Piece]:
    """The heads over the columns."""
    of = columns(width, longest)
    text = plain(" level" if of.level > 3 else "", of.level) + plain("bin", of.name)
    text += plain("what is the matter", of.headline) + plain(
        "first thing to do" if of.headline else "what to do first", of.first
    )
    text += plain("  uneaten,30d", of.trend)
    for words, room in (
        ("uneaten", of.waiting), ("moist", of.moisture), ("feed up to", of.up_to), ("worms", of.worms),
        ("harvest", of.harvest),
    ):  # fmt: skip
        text += plain(words, room, align="right")
    text += plain(" fed next" if width >= FULL else " today" if of.today > 2 else "", of.today)
    return [(plain(text, width), "dim")]


def row_pieces(row: RoundRow, width: int, today: date, *, longest: int = 22) -> list[Piece]:
    """One bin in a line: level in shape and word, name, headline, figures with the mark of where they come from."""
    of = columns(width, longest)
    mark = basis_mark(row.moisture_basis)
    level = level_mark(row.level, word=of.level > 3)
    if row.ticked:  # the tick stands where the eye is; the word of the level stays beside it
        level = "✓" + level[1:]
    pieces: list[Piece] = [
        (plain(" " + level, of.level), "good" if row.ticked else row.level.value),
        (short_name(row.name, max(of.name - 1, 0)) + " " * (of.name > 0), "name"),
        (plain(row.headline, max(of.headline - 1, 0)) + " " * (of.headline > 0), ""),
    ]
    if of.first:
        # Where it stands alone, a bin with nothing to do says how it is.
        steps = first_steps(row, row.do)[0]
        words = brief(steps[0]) if steps else "" if of.headline else row.headline
        pieces.append((plain(words, of.first - 1) + " ", row.level.value if steps else ""))
    if of.trend:
        course = () if row.guess else row.trend_waiting_kg
        pieces.append(("  " + spark(course, of.trend - 2, low=0.0), "basis"))
    wet = f"{row.moisture.p50 * 100:.0f}%{mark}" if row.moisture.p90 > 0 else "-"
    due = "good" if row.harvest.due_since and not row.guess else ""
    waits, worms, harvest = days(row.feed_waiting_days.p50), row.worms_words, harvest_word(row)
    if row.guess:
        waits = wet = worms = harvest = "guess"
    pieces += [
        (plain(waits, of.waiting, align="right"), ""), (plain(wet, of.moisture, align="right"), ""),
        (plain(row.feed_up_to_words, of.up_to, align="right"), ""), (plain(worms, of.worms, align="right"), ""),
        (plain(harvest, of.harvest, align="right"), due),
    ]  # fmt: skip
    words, role = (next_word if width >= FULL else today_word)(row, today)
    words = words if width_of(words) < of.today else ""
    pieces.append((plain(f" {words}", of.today), role))
    return pieces


MONTHS = re.compile(
    r"\b(\d{1,2}) (January|February|March|April|May|June|July|August|September|October|November|December)\b"
)


def brief(step: str) -> str:
    """A step in few letters for a narrow column: months cut to three, no "about" before a figure or a day."""
    return MONTHS.sub(lambda found: f"{found[1]} {found[2][:3]}", step.replace("about ", ""))


def waiting_pieces(name: str, width: int, *, longest: int = 22) -> list[Piece]:
    """A bin that is being worked out, in a line: its name, and that."""
    of = columns(width, longest)
    level = "…" if of.level <= 3 else "not yet"
    words = plain("working out", max(width - of.level - of.name, 0))
    return [
        (plain(" " + level, of.level), "dim"),
        (short_name(name, max(of.name - 1, 0)) + " " * (of.name > 0), "name"),
        (words, "dim"),
    ]


def next_word(row: RoundRow, today: date) -> Piece:
    """What is still to be done at a bin today, else on which day it is fed next, with a tick once it is done today."""
    words, role = today_word(row, today)
    ahead = row.next_feeding is not None and row.next_feeding > today
    if row.next_feeding is None or not ahead or words in ("feed", "check"):
        return words, role
    mark = "" if words == "seen" else words  # the head counts what was only seen; here is room for one of the two
    return f"{mark} {day_month(row.next_feeding)}".strip(), role or "dim"


def today_word(row: RoundRow, today: date) -> Piece:
    """What is still to be done at a bin today, or the tick that it is done.

    A bin with something left to do gets no tick for having been looked at: it was ``seen``.
    """
    if row.done and not row.ticked:
        return "seen", "dim"
    if row.ticked:
        return "✓", "good"
    if row.next_feeding is not None and row.next_feeding <= today and row.feed_up_to_kg > 0:
        return "feed", "strong"
    if row.next_check is not None and row.next_check <= today:
        return "check", "strong"
    return "", ""


def days(value: float) -> str:
    """Days of feed waiting in few letters: ``none``, ``9 d``, ``>60 d``."""
    if value < 0.5:
        return "none"
    return f"{value:.0f} d" if value <= 60 else ">60 d"


def harvest_word(row: RoundRow) -> str:
    """The likely harvest in few letters: ``due``, ``14 Mar``, ``later``."""
    if row.harvest.due_since is not None:
        return "due"
    return day_month(row.harvest.likely) if row.harvest.likely is not None else "later"


def summary(
    rows: Sequence[RoundRow],
    *,
    filled: bool,
    ordered: str,
    only: str,
    demo: str,
    by: str,
    today: date,
    of: int = 0,
    width: int = 999,
) -> list[Piece]:
    """The head: how many bins at which level, how long the round takes, and in which order they stand.

    While not ``filled``, how many ``of`` all bins are worked out. What finds no room in ``width`` is left out whole,
    the order first.
    """
    pieces: list[Piece] = [(" The round", "title")]
    if demo:
        pieces.append((f"  demo: {demo}", "watch"))
    if not filled:
        pieces.append((f"  {len(rows)} of {of} worked out …" if of else "  working out …", "dim"))
    counts = [(level, sum(row.level is level for row in rows)) for level in (Level.ACT, Level.WATCH, Level.STEADY)]
    pieces.extend((f"  {count} {level.value}", level.value) for level, count in counts if count)
    if only:
        pieces.append(said(f"   only {only}", "watch"))
    minutes, jobs, done = minutes_left(rows), jobs_left(rows, today), sum(row.ticked for row in rows)
    seen = sum(row.done for row in rows) - done
    if rows and filled:
        acting = sum(not row.ticked for row in rows if row.done or row.level is not Level.STEADY)
        # A bin that was looked at today may still call for something: never "nothing to do" beside it.
        left = f"{counted(acting, 'bin')} {'needs' if acting == 1 else 'need'} you" if acting else "nothing to do"
        words = f"   about {time_words(minutes)}" if minutes else f"   {left}"
        room = width - sum(width_of(text) for text, _ in pieces)
        for more in (
            f" and {time_words(jobs)} of jobs" if jobs else "",
            f", {done} of {len(rows)} done" if done else "",
            f", {seen} checked today" if seen else "",
        ):
            words += more if width_of(words + more) <= room else ""
        pieces.append((words, "dim"))
    last = [(f"   {ordered}", "dim"), *([said(f"   signed: {by}", "dim")] if by else [])]
    while last and sum(width_of(text) for text, _ in (*pieces, *last)) > width:
        last.pop(0)
    return [*pieces, *last]
