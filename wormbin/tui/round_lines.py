"""The round in lines: a head that counts, column heads, and one line a bin, for any width."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from wormbin.drawing.marks import basis_mark, level_mark, plain
from wormbin.farm.views import RoundRow
from wormbin.figures import Level
from wormbin.tui.showing import Piece, said

Key = Callable[[RoundRow], Any]


def _worst(row: RoundRow) -> tuple[float, float, str]:
    urgency = max((finding.urgency for finding in row.findings if finding.level is row.level), default=0.0)
    return (-row.level.rank, -urgency, row.name.casefold())


ORDERS: tuple[tuple[Key, str], ...] = (
    (_worst, "worst first"),
    (lambda row: row.name.casefold(), "by name"),
    (lambda row: (row.next_feeding or date.max, row.name.casefold()), "next feeding first"),
    (lambda row: (row.harvest.likely or date.max, row.name.casefold()), "next harvest first"),
)
"""The orders that one key goes through, and their names."""

LEVEL, WAITING, MOISTURE, HARVEST, WORMS, UP_TO = 9, 9, 7, 9, 10, 11


def _columns(width: int) -> tuple[int, int, bool, bool]:
    """Width of the name, of the headline, and whether there is room for worms and for what may be fed."""
    worms, up_to = width >= 104, width >= 92
    rest = width - LEVEL - WAITING - MOISTURE - HARVEST - 2 - WORMS * worms - UP_TO * up_to
    name = max(min(rest * 2 // 5, 24), min(rest, 12))
    return name, max(rest - name, 0), worms, up_to


def column_heads(width: int) -> list[Piece]:
    """The heads over the columns."""
    name, headline, worms, up_to = _columns(width)
    text = plain(" level", LEVEL) + plain("bin", name) + plain("what is the matter", headline)
    text += plain("waiting", WAITING, align="right") + plain("moist", MOISTURE, align="right")
    if up_to:
        text += plain("feed up to", UP_TO, align="right")
    if worms:
        text += plain("worms", WORMS, align="right")
    text += plain("harvest", HARVEST, align="right")
    return [(plain(text, width), "dim")]


def row_pieces(row: RoundRow, width: int, *, ascii: bool = False) -> list[Piece]:
    """One bin in a line: level in shape and word, name, headline, figures with the mark of where they come from."""
    name, headline, worms, up_to = _columns(width)
    mark = basis_mark(row.moisture_basis, ascii=ascii)
    tick = ("x" if ascii else "✓") if row.done else " "
    pieces: list[Piece] = [
        (plain(" " + level_mark(row.level, ascii=ascii), LEVEL), row.level.value),
        (plain(row.name, max(name - 1, 0), ascii=ascii) + " ", "name"),
        (plain(row.headline, max(headline - 1, 0), ascii=ascii) + " ", ""),
        (plain(days(row.feed_waiting_days.p50), WAITING, align="right"), ""),
        (plain(f"{row.moisture.p50 * 100:.0f}%{mark}", MOISTURE, align="right"), ""),
    ]
    if up_to:
        pieces.append((plain(row.feed_up_to_words, UP_TO, align="right", ascii=ascii), ""))
    if worms:
        pieces.append((plain(row.worms_words, WORMS, align="right", ascii=ascii), ""))
    pieces.append((plain(harvest_word(row), HARVEST, align="right"), "good" if row.harvest.due_since else ""))
    pieces.append((f" {tick}", "good"))
    return pieces


def days(value: float) -> str:
    """Days of feed waiting in few letters: ``under 1 d``, ``9 d``, ``over 60 d``."""
    if value < 0.5:
        return "none"
    return f"{value:.0f} d" if value <= 60 else ">60 d"


def harvest_word(row: RoundRow) -> str:
    """The likely harvest in few letters: ``due``, ``14 Mar``, ``later``."""
    if row.harvest.due_since is not None:
        return "due"
    return short_date(row.harvest.likely) if row.harvest.likely is not None else "later"


def short_date(on: date) -> str:
    """``14 Mar``."""
    return f"{on.day} {on:%b}"


def summary(rows: Sequence[RoundRow], filled: bool, order: str, only: str, demo: str) -> list[Piece]:
    """The head: how many bins at which level, how long the round takes, and in which order they stand."""
    pieces: list[Piece] = [(" The round  ", "title")]
    if demo:
        pieces.append((f"demo: {demo}  ", "watch"))
    for level in (Level.ACT, Level.WATCH, Level.STEADY):
        count = sum(row.level is level for row in rows)
        if count:
            pieces.append((f"{count} {level.value}  ", level.value))
    minutes = sum(row.minutes for row in rows if not row.done)
    done = sum(row.done for row in rows)
    pieces.append((f"about {minutes} min" + (f", {done} done" if done else ""), "dim"))
    pieces.append((f"  {order}", "dim"))
    if only:
        pieces.append(said(f"  only “{only}”", "watch"))
    if not filled:
        pieces.append(("  …", "dim"))
    return pieces
