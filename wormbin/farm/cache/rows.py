"""What the bins came to, a row each, in one small file: a warm start reads it and replays nothing.

The first screen paints the rows of today's whole round (the front page) before the store is opened, as long as nothing
on the disk has changed since, on the same day and in the same quarter of it; whoever paints it asks the farm for the
rows all the same.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import copysign, isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from wormbin import __version__
from wormbin.exchange.calendar import Due
from wormbin.farm.views.round import ComingRow, Layout, RoundRow
from wormbin.process.version import VERSION
from wormbin.records.shapes import shape_of
from wormbin.store import stamps, worked_out

if TYPE_CHECKING:
    from wormbin.store import Desk

FORM = 13
"""Raised whenever a row, or the way it is kept, changes its shape."""
MARK = f"{__version__}/{VERSION}/{FORM}"
NAME, DUES = "round", "dues"
"""Where the rows stand, which a start reads, and where what falls due, which only a calendar reads."""
HOURS = 6
"""A row holds for so many hours of its day."""
_MOST = 1e308
R = TypeVar("R")


def end_of_day(on: date, now: datetime) -> datetime:
    """The moment at which a bin is looked at on day ``on``: its last second, and today the end of this quarter of it.

    So a figure is the same wherever it is asked for within a quarter, and in the evening the same as on a later day.
    """
    if on == now.date():
        return end_of_quarter(now)
    return (now + timedelta(days=(on - now.date()).days)).replace(hour=23, minute=59, second=59, microsecond=0)


def end_of_quarter(now: datetime) -> datetime:
    """The last second of the quarter of a day that a moment lies in."""
    return now.replace(hour=now.hour // HOURS * HOURS + HOURS - 1, minute=59, second=59, microsecond=0)


@dataclass(frozen=True, slots=True)
class ComingRows:
    """The harvests to come of one bin, looked for farther ahead than the round looks."""

    bin: str
    rows: tuple[ComingRow, ...]


@dataclass(frozen=True, slots=True)
class Meal:
    """What a bin is likely given on a day: fresh kg of feed, dry kg of bedding along."""

    on: date
    feed_kg: float
    bedding_kg: float


@dataclass(frozen=True, slots=True)
class Dues:
    """What falls due at one bin in the next weeks."""

    bin: str
    dues: tuple[Due, ...]
    meals: tuple[Meal, ...] = ()


@dataclass(frozen=True, slots=True)
class Front:
    """The day, its rows in any order, and how they are to be shown."""

    on: date
    rows: tuple[RoundRow, ...]
    units: str
    theme: str


def read_front(folder: Path, now: datetime) -> Front | None:
    """The front page of a store, when it still holds at the moment ``now``."""
    try:
        page = _page_in(worked_out(folder, NAME, MARK))
        front = page["front"]
        if front["holds"] != _holds(now) or front["stamps"] != stamps(folder):
            return None
        rows = (shape_of(RoundRow).read(page["RoundRow"][key][1], "", {}) for key in front["bins"])
        laid = shape_of(Layout).read(page["Layout"][""][1], "", {})
        return Front(now.date(), laid.over(rows), str(front["units"]), str(front["theme"]))
    except Exception:  # whatever is wrong with it: it is a cache
        return None


class Rows:
    """Rows by kind and bin, each with a token that says for what log, settings, day and quarter it holds."""

    def __init__(self, desk: Desk, name: str = NAME) -> None:
        self._desk = desk
        self._name = name
        self._page: dict[str, Any] | None = None
        self._known: dict[tuple[type, str], tuple[str, Any]] = {}
        self._changed = False

    def get(self, kind: type[R], key: str, token: str) -> R | None:
        """The row, when it still holds."""
        known = self._known.get((kind, key))
        if known is None:
            try:
                held, document = self._read()[kind.__name__][key]
                known = held, shape_of(kind).read(document, "", {}) if held == token else None
            except Exception:  # whatever is wrong with it: it is a cache
                return None
            if known[1] is not None:
                self._known[kind, key] = known
        row: R | None = known[1] if known[0] == token else None
        return row

    def put(self, key: str, token: str, row: object) -> None:
        """Keep a row; ``flush`` writes it."""
        kind = type(row)
        self._known[kind, key] = (token, row)
        self._read().setdefault(kind.__name__, {})[key] = [token, finite(shape_of(kind).write(row))]
        self._changed = True

    def keep_front(self, bins: Sequence[str], units: str, theme: str, now: datetime, found: str) -> None:
        """Have the rows of these bins be the front page; ``found`` are the stamps from before they were asked for."""
        if not found or not bins or found != stamps(self._desk.root):
            return
        front = {"holds": _holds(now), "stamps": found, "units": units, "theme": theme, "bins": list(bins)}
        if self._read().get("front") != front:
            self._read()["front"] = front
            self._changed = True

    def flush(self) -> None:
        """Write what is new."""
        if self._changed:
            text = json.dumps(self._read(), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
            self._desk.keep_worked_out(self._name, MARK, {"sum": zlib.crc32(text.encode()), "text": text})
            self._changed = False

    def _read(self) -> dict[str, Any]:
        if self._page is None:
            try:
                self._page = _page_in(self._desk.worked_out(self._name, MARK))
            except Exception:  # whatever is wrong with it: it is a cache
                self._page = {}
        return self._page


def _page_in(held: Any) -> dict[str, Any]:
    """The page as it was written. Raises whatever a damaged one raises."""
    text = held["text"]
    if held["sum"] != zlib.crc32(text.encode()):
        raise ValueError(NAME)
    page: dict[str, Any] = json.loads(text)
    return page


def _holds(now: datetime) -> list[Any]:
    return [now.date().isoformat(), now.hour // HOURS]


def finite(value: Any) -> Any:
    """Plain JSON with a very large number for what has no end, as files hold finite numbers only."""
    if isinstance(value, float) and not isfinite(value):
        return copysign(_MOST, value)
    if isinstance(value, dict):
        return {name: finite(each) for name, each in value.items()}
    return [finite(each) for each in value] if isinstance(value, list) else value
