"""What a session has worked out already: bins' pasts and scenes, rows of the round, stock, the material table.

Each is kept with what it rests on, and worked out anew as soon as that has changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date, datetime
from functools import cached_property
from hashlib import blake2b
from typing import TYPE_CHECKING

from wormbin.farm.cache.rows import DUES, HOURS, Rows, end_of_quarter
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Kind
from wormbin.records.farms import OnHand, OwnMaterial, Settings, settings_of
from wormbin.store import StoreError

if TYPE_CHECKING:
    from wormbin.castings.loads import Larder
    from wormbin.farm.bins.past import Past
    from wormbin.farm.bins.scene import Scene
    from wormbin.farm.cache.beliefs import Beliefs
    from wormbin.farm.cache.counted import Counted
    from wormbin.farm.session import Session
    from wormbin.farm.views.round import Layout
    from wormbin.materials.table import MaterialTable
    from wormbin.schedule.pace import Pace


class Cache:
    """What one session has worked out."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._table: tuple[tuple[OwnMaterial, ...], MaterialTable] | None = None
        self._scenes: dict[str, tuple[str, dict[tuple[object, ...], Scene]]] = {}
        self._stock: tuple[object, tuple[OnHand, ...]] | None = None
        self._cured: tuple[object, int | None] | None = None
        self._larder: tuple[object, Larder] | None = None
        self._compared: tuple[str, tuple[Entry, ...]] | None = None

    @cached_property
    def beliefs(self) -> Beliefs:
        """The bins' pasts."""
        from wormbin.farm.cache.beliefs import Beliefs

        return Beliefs(self._session.store.desk, self.table)

    @cached_property
    def rows(self) -> Rows:
        """The rows that are known already."""
        return Rows(self._session.store.desk)

    @cached_property
    def dues(self) -> Rows:
        """What falls due at the bins."""
        return Rows(self._session.store.desk, DUES)

    @cached_property
    def counted(self) -> Counted:
        """The lines of all logs that the books count with."""
        from wormbin.farm.cache.counted import Counted

        return Counted(self._session)

    def table(self) -> MaterialTable:
        """The material table with the keeper's own values over it."""
        from wormbin.materials.table import default_table

        own = self._session.farm().materials
        if self._table is None or self._table[0] != own:
            self._table = (own, default_table().with_own(own) if own else default_table())
        return self._table[1]

    def settings(self) -> Settings:
        """How the farm is run, with what is left of the beddings on hand by the logs."""
        session, settings = self._session, self._session.settings()
        if all(each.noted is None for each in settings.on_hand):
            return settings
        from wormbin.farm.materials import left

        key = (session.store.revision(), settings.on_hand)
        if self._stock is None or self._stock[0] != key:
            self._stock = (key, left(settings.on_hand, (log for _, log in self.counted)))
        return replace(settings, on_hand=self._stock[1])

    def cure_days(self, on: date | None = None) -> int | None:
        """Days from the harvest to the bag as the lots of this farm took up to a day; None while none tells."""
        try:
            lines = self._session.store.lot_lines()
        except StoreError as error:  # the bins stay usable; the castings' own pages refuse
            self._session.logs.unread["castings"] = error
            return None
        if not lines:
            return None
        if self._cured is None or self._cured[0] != (lines, on):
            from wormbin.castings.lot import lots
            from wormbin.castings.plan import own_cure_days

            then = [line for line in lines if on is None or line.when.date() <= on]
            self._cured = ((lines, on), own_cure_days(lots(then)))
        return self._cured[1]

    def compared_until(self, key: str, on: date) -> date | None:
        """The last day of the comparison that a bin is in on a day; None while it is in none."""
        from wormbin.farm.comparisons import lines, until

        revision = self._session.store.revision()
        if self._compared is None or self._compared[0] != revision:
            self._compared = (revision, lines(self._session))
        return until(self._compared[1], key, on)

    def larder(self, on: date | None = None) -> Larder:
        """The loads of feedstock and what was taken out of them, up to a day."""
        from wormbin.castings.loads import larder

        session, until = self._session, on or self._session.asked_on
        key = (session.store.revision(), until)
        if self._larder is None or self._larder[0] != key:
            lines = session.store.lot_lines()
            logs = {one.key: log for one, log in self.counted} if any(line.about == "load" for line in lines) else {}
            if until is not None:
                lines = tuple(line for line in lines if line.when.date() <= until)
                logs = {name: tuple(each for each in log if each.when.date() <= until) for name, log in logs.items()}
            self._larder = (key, larder(lines, logs))
        return self._larder[1]

    def tested(self, material: str, on: date) -> float | None:
        """The moisture of the load that a material is taken from on a day; None where it was not tested."""
        from wormbin.records.kinds.castings import Load

        with suppress(StoreError):  # the bins stay usable
            lines = self._session.store.lot_lines()
            if any(isinstance(line.what, Load) and line.what.moisture is not None for line in lines):
                load = self.larder(None if on >= self._session.clock().date() else on).gives(material)
                return load.moisture if load is not None else None
        return None

    def pace(self, today: date) -> Pace:
        """How long the keeper's own work takes, from all lines before ``today``; told once a day."""
        from wormbin.schedule.pace import Pace, pace

        held = self.rows.get(Pace, "", today.isoformat())
        if held is None:
            held = pace(self._session.logs, today)
            self.rows.put("", today.isoformat(), held)
        return held

    def laid(self, on: date | None, day: date) -> Layout | None:
        """How the work on all bins was laid out for a day, when that has been worked out."""
        from wormbin.farm.views.round import Layout

        asked = on or self._session.asked_on
        return self.rows.get(Layout, "" if asked is None else asked.isoformat(), day.isoformat())

    def token(self, one: Bin, on: date | None) -> str:
        """What anything worked out of a bin for a day holds for: its log, the settings, the quarter of the day."""
        session = self._session
        on, now = on or session.asked_on, session.moment(on)
        parts = (
            session.store.revision(one.key),
            one,
            session.settings(),
            session.farm().materials,
            now.date(),
            now.hour // HOURS,
            self.cure_days(on),
        )
        return blake2b(repr(parts).encode(), digest_size=16).hexdigest()

    def scene(self, one: Bin, now: datetime, on: date | None, days: int) -> Scene:
        """A bin as it is looked at at a moment, with a look ahead of so many days."""
        token = self.token(one, on)
        known, scenes = self._scenes.get(one.key, ("", {}))
        if known != token:
            scenes = {}
            self._scenes[one.key] = (token, scenes)
        # What is left of the beddings on hand hangs on the logs of all bins, and a row does not.
        settings = self.settings()
        key = (days, settings.on_hand)
        if key not in scenes:
            held = next(iter(scenes.values()), None)
            past = held.past if held is not None else self._past(one, now, settings)
            scenes[key] = self._scene(one, past, now, settings, on, days)
        return scenes[key]

    def _scene(self, one: Bin, past: Past, now: datetime, settings: Settings, on: date | None, days: int) -> Scene:
        from wormbin.farm.bins.scene import Scene

        own, cure = settings_of(one, settings), self.cure_days(on)
        return Scene(one, past, now, own, self.table(), days, cure, compared=self.compared_until)

    def _past(self, one: Bin, now: datetime, settings: Settings) -> Past:
        return self._pasts([(one, self._session.store.entries(one.key))], now, settings)[0]

    def _pasts(self, bins: Sequence[tuple[Bin, Sequence[Entry]]], now: datetime, settings: Settings) -> list[Past]:
        """The pasts of bins with their lines, replayed side by side."""
        from wormbin.farm.bins.many import apart, with_odd

        materials = blake2b(repr(self._session.farm().materials).encode(), digest_size=8).hexdigest()
        told = [(one, *apart(looked(lines), now)) for one, lines in bins]
        pasts = self.beliefs.pasts([(one, lines) for one, lines, _ in told], now, materials, settings.away)
        return [with_odd(past, odd) for past, (_, _, odd) in zip(pasts, told, strict=True)]

    def together(self, bins: Sequence[Bin], now: datetime, on: date | None, days: int) -> None:
        """Work several bins out side by side, so that the scene of each is there when it is asked for.

        A bin whose book cannot be read is passed over: it says so when it is asked for.
        """
        from wormbin.farm.bins.ahead import look_ahead_together

        settings, found = self.settings(), []
        for one in bins:
            known, scenes = self._scenes.get(one.key, ("", {}))
            with suppress(StoreError):
                if known != self.token(one, on) or (days, settings.on_hand) not in scenes:
                    found.append((one, self._session.store.entries(one.key)))
        made = [
            self._scene(one, past, now, settings, on, days)
            for (one, _), past in zip(found, self._pasts(found, now, settings), strict=True)
        ]
        look_ahead_together(made)
        for scene in made:
            self._scenes[scene.bin.key] = (self.token(scene.bin, on), {(days, settings.on_hand): scene})

    def without(self, scene: Scene, line: str, then: datetime | None = None) -> Scene:
        """The same bin, had this line never been written; ``then``: as of that moment, and nothing later seen or done.

        A replay goes on from there to the end of the quarter, as any look at a bin does.
        """
        from wormbin.farm.bins.many import apart, with_odd

        every = looked(self._session.store.entries(scene.bin.key))
        now = scene.now if then is None else end_of_quarter(then)
        lines, odd = apart([each for each in every if then is None or each.when <= then], now)
        past = self.beliefs.without(line, scene.bin, lines, now, scene.settings.away)
        return replace(scene, now=now, past=with_odd(past, odd))


def looked(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The lines that tell something of a bin: a guess tells of who made it, and no sum may know of it."""
    return tuple(each for each in entries if each.kind is not Kind.GUESS)
