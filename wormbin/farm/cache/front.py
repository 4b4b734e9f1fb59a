"""The front page: today's round as it was last worked out whole, painted at a start before the store is opened.

It holds only while nothing on the disk has changed since, on the same day and in the same quarter of it; else it is as
good as none. Whoever paints it asks the farm for the rows all the same.
"""

from __future__ import annotations

import json
import zlib
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import copysign, isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wormbin import __version__
from wormbin.farm.views.round import RoundRow
from wormbin.process.version import VERSION
from wormbin.records.shapes import shape_of
from wormbin.store.outside import stamps, worked_out

if TYPE_CHECKING:
    from wormbin.store.desk import Desk

FORM = 7
"""Raised whenever a row of the round, or the way it is kept, changes its shape."""
MARK = f"{__version__}/{VERSION}/{FORM}"
NAME = "front"
HOURS = 6
"""A row of the round holds for so many hours of its day."""
_MOST = 1e308


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
class Front:
    """The day, its rows in any order, and how they are to be shown."""

    on: date
    rows: tuple[RoundRow, ...]
    units: str
    theme: str


def read_front(folder: Path, now: datetime) -> Front | None:
    """The front page of a store, when it still holds at the moment ``now``."""
    try:
        held = worked_out(folder, NAME, MARK)
        text = held["text"]
        if held["sum"] != zlib.crc32(text.encode()):
            return None
        page = json.loads(text)
        if page["holds"] != _holds(now) or page["stamps"] != stamps(folder):
            return None
        rows = tuple(shape_of(RoundRow).read(each, "", {}) for each in page["rows"])
        return Front(now.date(), rows, str(page["units"]), str(page["theme"]))
    except Exception:  # whatever is wrong with it: it is a cache
        return None


def keep_front(desk: Desk, front: Front, now: datetime, found: str) -> None:
    """Keep the front page; ``found`` are the stamps from before its rows were asked for."""
    if not found or not front.rows or found != stamps(desk.root):
        return
    page = {
        "holds": _holds(now),
        "stamps": found,
        "units": front.units,
        "theme": front.theme,
        "rows": [finite(shape_of(RoundRow).write(row)) for row in front.rows],
    }
    text = json.dumps(page, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    desk.keep_worked_out(NAME, MARK, {"sum": zlib.crc32(text.encode()), "text": text})


def _holds(now: datetime) -> list[Any]:
    return [now.date().isoformat(), now.hour // HOURS]


def finite(value: Any) -> Any:
    """Plain JSON with a very large number for what has no end, as files hold finite numbers only."""
    if isinstance(value, float) and not isfinite(value):
        return copysign(_MOST, value)
    if isinstance(value, dict):
        return {name: finite(each) for name, each in value.items()}
    return [finite(each) for each in value] if isinstance(value, list) else value
