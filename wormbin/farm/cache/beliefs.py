"""What was worked out already: replays kept in memory and on disk, gone on from wherever the log still fits.

Everything here may be thrown away at any time; a bin is then replayed from its first day.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import blake2b

from wormbin import __version__
from wormbin.farm.bins.past import REACH_DAYS, Past, day_from, days_of, days_over, flat
from wormbin.materials.table import MaterialTable
from wormbin.process import abreast
from wormbin.process.belief import Belief
from wormbin.process.day import Days
from wormbin.process.replay import first_day, replaying
from wormbin.process.run import Run
from wormbin.process.views import Judged
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, standing
from wormbin.records.farms import Away
from wormbin.records.shapes import shape_of
from wormbin.store import Desk

FORM = 3
"""Raised whenever what is kept on disk changes its shape."""
KEPT_DAYS = 200
KEPT_BELIEFS = 14


@dataclass(slots=True)
class _Kept:
    """What is held of one bin: days before the morning of the newest belief, and beliefs to go on from."""

    beliefs: list[Belief]
    days: Days
    judged: list[Judged]
    mark: str = ""


class Beliefs:
    """The pasts of a store's bins, gone on with from the beliefs that are kept of each."""

    def __init__(self, desk: Desk, table: Callable[[], MaterialTable]) -> None:
        self._desk = desk
        self._table = table
        self._kept: dict[str, _Kept] = {}

    def past(
        self, one: Bin, entries: Sequence[Entry], until: datetime, materials: str, away: tuple[Away, ...] = ()
    ) -> Past:
        """The bin's past up to ``until``; ``materials`` is a token that changes when the keeper's own values do.

        ``away`` are days on which nobody was there: a log without lines is no riddle then.
        """
        return self.pasts([(one, entries)], until, materials, away)[0]

    def pasts(
        self, bins: Sequence[tuple[Bin, Sequence[Entry]]], until: datetime, materials: str, away: tuple[Away, ...] = ()
    ) -> list[Past]:
        """The same of several bins, which are replayed side by side."""
        return abreast.gone([self._passing(one, entries, until, materials, away) for one, entries in bins])

    def _passing(
        self, one: Bin, entries: Sequence[Entry], until: datetime, materials: str, away: tuple[Away, ...]
    ) -> Generator[Run, None, Past]:
        mark = f"{__version__}/{FORM}/{materials}"
        kept = self._kept.get(one.key) or self._load(one.key, mark)
        if kept is None or kept.mark != mark:
            kept = _Kept([], Days(()), [], mark)
        past, days = yield from self._replaying(kept, one, entries, until, away)
        now = past.replay
        fitting = [belief for belief in kept.beliefs if belief.on <= now.began]
        fresh = {belief.on: belief for belief in (*fitting, *now.beliefs)}
        beliefs = [fresh[on] for on in sorted(fresh)][-KEPT_BELIEFS:]
        newest = beliefs[-1].on
        update = _Kept(beliefs, days.before(newest), [each for each in past.judged if each.when.date() < newest], mark)
        known = {belief.mark for belief in kept.beliefs}
        if any(belief.mark not in known for belief in update.beliefs):
            self._save(one.key, update)
        self._kept[one.key] = update
        return past

    def _replaying(
        self, kept: _Kept, one: Bin, entries: Sequence[Entry], until: datetime, away: tuple[Away, ...]
    ) -> Generator[Run, None, tuple[Past, Days]]:
        """The past, gone on with from what is kept wherever that still fits these lines; and all days known."""
        wall = until.replace(tzinfo=None)
        lines = standing([entry for entry in entries if entry.when.replace(tzinfo=None) <= wall])
        start = first_day(one, lines, until)
        reach = max(start, until.date() - timedelta(days=REACH_DAYS - 1))
        begins = kept.days.first_on()
        # A belief is gone on from only where no day within reach before it is missing.
        whole = begins is not None and begins <= reach
        resume = [belief for belief in kept.beliefs if whole or belief.on <= reach]
        since = until.date() - timedelta(days=KEPT_DAYS)
        now = yield from replaying(one, lines, self._table(), until, away=away, resume=resume, since=since)
        first = now.began
        earlier = [] if first == start else [each for each in kept.judged if each.when.date() < first]
        days = kept.days.before(first).and_then(days_of(now)) if whole and first > start else days_of(now)
        return Past(now, days.last(REACH_DAYS), (*earlier, *now.judged), lines, until), days

    def without(
        self, line: str, one: Bin, entries: Sequence[Entry], until: datetime, away: tuple[Away, ...] = ()
    ) -> Past:
        """What the past would be had one line never been written, nor those that it put right; nothing is kept."""
        replaces = {entry.id: entry.replaces for entry in entries}
        gone = {line}
        while (line := replaces.get(line, "")) and line not in gone:
            gone.add(line)
        kept = self._kept.get(one.key) or _Kept([], Days(()), [])
        left = [entry for entry in entries if entry.id not in gone]
        return abreast.gone([self._replaying(kept, one, left, until, away)])[0][0]

    def _load(self, key: str, mark: str) -> _Kept | None:
        read = self._desk.worked_out(place_of(key), mark)
        try:
            beliefs = [belief for text in read["beliefs"] if (belief := Belief.from_json(text)) is not None]
            days = Days([day_from(each) for each in read["days"]], days_over)
            judged = [shape_of(Judged).read(each, "", {}) for each in read["judged"]]
        except Exception:  # a cache that cannot be read, for whatever reason, is a cache that is not there
            return None
        return _Kept(beliefs, days, judged, mark) if beliefs else None

    def _save(self, key: str, kept: _Kept) -> None:
        document = {
            "beliefs": [belief.to_json() for belief in kept.beliefs],
            "days": [flat(day) for day in kept.days.last(KEPT_DAYS)],
            "judged": [shape_of(Judged).write(each) for each in kept.judged],
        }
        self._desk.keep_worked_out(place_of(key), kept.mark, document)


def place_of(key: str) -> str:
    """The name that a bin's past is kept under; never the name of anything else that is kept."""
    return f"{key[:32].strip('-')}-{blake2b(key.encode(), digest_size=3).hexdigest()}"
