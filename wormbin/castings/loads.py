"""Feedstock that was bought or made: what is left of each load, and which bin got how much of it.

A feeding says of which material it was and not of which load: the load that was opened last gives first, then the one
that came first. Where two lie open and nobody said which was opened, it is taken so and said not to be sure.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from wormbin.castings.lot import ROUNDING_KG
from wormbin.records.entries import Bedding, Entry, Feeding, standing
from wormbin.records.kinds.castings import Bad, Left, Load, Opened, Piled, Released
from wormbin.records.lots import LotLine, lot_key, standing_lots

USED_DAYS = 28
"""How many days back tell how much of a material is used (ours)."""
MIXED = timedelta(days=60)
"""So long after a load is used up by the log a tub of it may still stand beside another one (ours)."""


@dataclass(frozen=True, slots=True)
class Draw:
    """Fresh kg of a material taken out of a load into a bin (key) or onto a pile (name), by a line of the log.

    ``load`` is "" for what no load was there for; ``among`` are the names of those that it may be of.
    """

    load: str
    material: str
    kg: float
    on: date
    entry: str
    bin: str = ""
    pile: str = ""
    among: tuple[str, ...] = ()

    @property
    def sure(self) -> bool:
        """Whether it can be of no other load."""
        return len(self.among) < 2


@dataclass(frozen=True, slots=True)
class Stocked:
    """One load as the book and the logs have it, kg. ``pile`` is the pile it was made on, if any.

    Its ``kg`` is what came in less what was given, and what a scale found more or less (``changed_kg``).
    """

    name: str
    material: str
    came: date
    lines: tuple[LotLine, ...]
    came_kg: float
    supplier: str = ""
    price: float | None = None
    moisture: float | None = None
    treated: str = ""
    pile: str = ""
    kg: float = 0.0
    given_kg: float = 0.0
    changed_kg: float = 0.0
    bad: str | None = None
    bad_on: date | None = None

    @property
    def empty(self) -> bool:
        """Whether all of it is gone."""
        return self.kg <= ROUNDING_KG


@dataclass(frozen=True, slots=True)
class Larder:
    """All loads, the oldest first, and all that was taken, in time order."""

    loads: tuple[Stocked, ...] = ()
    draws: tuple[Draw, ...] = ()

    def used_kg_day(self, material: str, on: date) -> float:
        """How much of a material is used a day, by the last four weeks up to ``on``."""
        since = on - timedelta(days=USED_DAYS)
        return sum(each.kg for each in self.draws if each.material == material and since < each.on <= on) / USED_DAYS

    def gives(self, material: str) -> Stocked | None:
        """The load that the next of a material is taken from; None without any."""
        there = [each for each in self.loads if each.material == material and not each.empty]
        opened = [(line.when, each) for each in there for line in each.lines if isinstance(line.what, Opened)]
        first = next((each for each in there if each.bad is None), there[0] if there else None)
        return max(opened, key=lambda each: each[0])[1] if opened else first


@dataclass(frozen=True, slots=True)
class _Event:
    on: date
    rank: int
    when: datetime
    name: str
    what: object
    line: LotLine | None = None
    given: Draw | None = None


def larder(book: Iterable[LotLine], logs: Mapping[str, Sequence[Entry]]) -> Larder:
    """The loads of a castings book, drawn on by the bins' logs and by the piles; struck lines do not count."""
    lines = standing_lots([each for each in book if each.about in ("load", "pile")])
    materials = {each.what.material for each in lines if isinstance(each.what, Load | Released)}
    events = [*_of_book(lines), *_of_logs(logs, materials)]
    events.sort(key=lambda each: (each.on, each.rank, each.when))
    return _Pantry().through(events)


def _of_book(lines: Iterable[LotLine]) -> Iterator[_Event]:
    for line in lines:
        on, what = line.when.date(), line.what
        if isinstance(what, Piled):
            taken = Draw("", what.material, what.kg, on, line.id, pile=line.lot)
            yield _Event(on, 1, line.when, line.lot, what, given=taken)
        else:
            rank = 0 if isinstance(what, Load | Released) else 1
            yield _Event(on, rank, line.when, line.lot, what, line)


def _of_logs(logs: Mapping[str, Sequence[Entry]], materials: set[str]) -> Iterator[_Event]:
    for bin_key, log in logs.items():
        for entry in standing(list(log)):
            if isinstance(entry.what, Feeding | Bedding):
                for portion in entry.what.portions:
                    if portion.material in materials:
                        on = entry.when.date()
                        taken = Draw("", portion.material, portion.kg, on, entry.id, bin=bin_key)
                        yield _Event(on, 1, entry.when, bin_key, entry.what, given=taken)


@dataclass(slots=True)
class _Tub:
    """A load while its days go by."""

    at: int
    load: Stocked
    kg: float
    given_kg: float = 0.0
    emptied: date | None = None

    def after(self) -> Stocked:
        """The load as it is now."""
        return replace(self.load, kg=self.kg, given_kg=self.given_kg)


@dataclass(slots=True)
class _Mix:
    """Loads of a material that cannot be told apart, and their names; worked out anew in another state, or later."""

    tubs: Sequence[_Tub] = ()
    names: tuple[str, ...] = ()
    state: tuple[int, int, int] | None = None
    until: date = date.max


class _Pantry:
    """Loads while their days go by."""

    def __init__(self) -> None:
        self.tubs: dict[str, _Tub] = {}
        self.there: defaultdict[str, list[_Tub]] = defaultdict(list)
        """By material the loads that something is left of, the first that came first."""
        self.opened: dict[str, _Tub] = {}
        """By material the load that was opened last."""
        self.mixed: defaultdict[str, _Mix] = defaultdict(_Mix)
        """By material the loads that lay open beside each other while nobody said which was taken from."""
        self.draws: list[Draw] = []

    def through(self, events: Iterable[_Event]) -> Larder:
        for event in events:
            if event.given is not None:
                self.draws += self._taken(event.given)
            elif event.line is not None:
                self._book(event.line)
        return Larder(tuple(each.after() for each in self.tubs.values()), tuple(self.draws))

    def _book(self, line: LotLine) -> None:
        key, what, on = lot_key(line.lot), line.what, line.when.date()
        tub = self.tubs.get(key)
        if tub is None:
            if isinstance(what, Load | Released):
                self.tubs[key] = tub = _Tub(len(self.tubs), _came(line), what.kg)
                self.there[what.material].append(tub)
            return
        load = tub.load
        if isinstance(what, Load | Released):  # more came off the same pile
            tub.kg += what.kg
            load = replace(load, came_kg=load.came_kg + what.kg)
        elif isinstance(what, Left):
            load = replace(load, changed_kg=load.changed_kg + what.kg - tub.kg)
            tub.kg = what.kg
        elif isinstance(what, Opened):
            self.opened[load.material] = tub
        elif isinstance(what, Bad):
            load = replace(load, bad=what.why, bad_on=on)
        tub.load = replace(load, lines=(*load.lines, line))
        self._look(tub, on)

    def _look(self, tub: _Tub, on: date) -> None:
        """Whether something is left of it."""
        there, left = self.there[tub.load.material], tub.kg > ROUNDING_KG
        tub.emptied = None if left else on
        if left and tub not in there:
            there.append(tub)
            there.sort(key=lambda each: each.at)
        elif not left and tub in there:
            there.remove(tub)

    def _taken(self, given: Draw) -> Iterator[Draw]:
        """What was given, out of the loads there are; what is over was of none."""
        left, there = given.kg, self.there[given.material]
        while left > 0:
            if not there:
                yield replace(given, kg=left)
                return
            opened = self.opened.get(given.material)
            sound = next((each for each in there if each.load.bad is None), there[0])
            tub = opened if opened is not None and not opened.emptied else sound
            among = self._among(tub, tub is opened, given.on)
            kg = min(left, tub.kg)
            tub.kg -= kg
            tub.given_kg += kg
            left -= kg
            if tub.kg <= ROUNDING_KG:
                self._look(tub, given.on)
            yield replace(given, load=tub.load.name, kg=kg, among=among)

    def _among(self, tub: _Tub, opened: bool, on: date) -> tuple[str, ...]:
        """The names of the loads that it may be of. Where two lay open, all of both may be of either for a while."""
        there, mix = self.there[tub.load.material], self.mixed[tub.load.material]
        state = (len(there), there[0].at, there[-1].at)
        if mix.state != state or on > mix.until:
            tubs = [each for each in mix.tubs if each.emptied is None or on <= each.emptied + MIXED]
            tubs = tubs if any(each in there for each in tubs) else []
            if len(there) > 1 and not opened:
                tubs = sorted({each.at: each for each in (*tubs, *there)}.values(), key=lambda each: each.at)
            until = min((each.emptied + MIXED for each in tubs if each.emptied is not None), default=date.max)
            mix = _Mix(tubs, tuple(each.load.name for each in tubs), None if opened else state, until)
            self.mixed[tub.load.material] = mix
        return mix.names if not opened and tub in mix.tubs else (tub.load.name,)


def _came(line: LotLine) -> Stocked:
    what, on = line.what, line.when.date()
    if isinstance(what, Load):
        return Stocked(
            line.lot, what.material, on, (line,), what.kg, what.supplier, what.price, what.moisture, what.treated
        )
    assert isinstance(what, Released)
    return Stocked(line.lot, what.material, on, (line,), what.kg, pile=line.lot)


@dataclass(frozen=True, slots=True)
class Reached:
    """Where a load went: draws into bins and onto piles, also by way of loads that those piles became."""

    draws: tuple[Draw, ...]
    loads: tuple[str, ...]


def reached(name: str, held: Larder) -> Reached:
    """Every draw that may be of a load, the doubtful ones of its material too, and of what became of it on piles."""
    found: list[Draw] = []
    names = [name]
    for each in names:  # grows while it is walked: a pile's load is followed as well
        load = next((one for one in held.loads if lot_key(one.name) == lot_key(each)), None)
        if load is None:
            continue
        for draw in held.draws:
            if load.name in draw.among:
                found.append(draw)
                if draw.pile and draw.pile not in names:
                    names.append(draw.pile)
    return Reached(
        tuple(sorted(set(found), key=lambda each: (each.on, each.bin, each.entry, each.load))), tuple(names[1:])
    )


@dataclass(frozen=True, slots=True)
class FromLoad:
    """How much of a load went into a bin, fresh kg; ``sure`` is whether it can have been of no other load."""

    load: str
    material: str
    kg: float
    sure: bool


def by_load(draws: Iterable[Draw]) -> tuple[FromLoad, ...]:
    """What is of each load, the most first; "" is what no load was there for."""
    kg: defaultdict[tuple[str, str], float] = defaultdict(float)
    sure: defaultdict[tuple[str, str], bool] = defaultdict(lambda: True)
    for each in draws:
        kg[each.load, each.material] += each.kg
        sure[each.load, each.material] &= each.sure
    return tuple(FromLoad(*key, kg[key], sure[key]) for key in sorted(kg, key=lambda key: (-kg[key], key)))
