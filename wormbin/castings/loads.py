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


class _Pantry:
    """Loads while their days go by."""

    def __init__(self) -> None:
        self.loads: dict[str, Stocked] = {}
        self.opened: dict[str, str] = {}
        """By material the load that was opened last."""
        self.mixed: dict[str, frozenset[str]] = {}
        """By material the loads that lay open beside each other while nobody said which was taken from."""
        self.draws: list[Draw] = []

    def through(self, events: Iterable[_Event]) -> Larder:
        for event in events:
            if event.given is not None:
                self.draws += self._taken(event.given)
            elif event.line is not None:
                self._book(event.line)
        return Larder(tuple(self.loads.values()), tuple(self.draws))

    def _book(self, line: LotLine) -> None:
        key, what, on = lot_key(line.lot), line.what, line.when.date()
        held = self.loads.get(key)
        if isinstance(what, Load | Released):
            if held is not None:  # more came off the same pile
                kg = what.kg
                held = replace(held, came_kg=held.came_kg + kg, kg=held.kg + kg, lines=(*held.lines, line))
            else:
                made = Stocked(line.lot, what.material, on, (line,), what.kg, kg=what.kg, pile=line.lot)
                held = made if isinstance(what, Released) else replace(
                    made, pile="", supplier=what.supplier, price=what.price, moisture=what.moisture,
                    treated=what.treated,
                )  # fmt: skip
            self.loads[key] = held
        elif held is not None:
            held = replace(held, lines=(*held.lines, line))
            if isinstance(what, Opened):
                self.opened[held.material] = key
            elif isinstance(what, Left):
                held = replace(held, kg=what.kg, changed_kg=held.changed_kg + what.kg - held.kg)
            elif isinstance(what, Bad):
                held = replace(held, bad=what.why, bad_on=on)
            self.loads[key] = held

    def _taken(self, given: Draw) -> Iterator[Draw]:
        """What was given, out of the loads there are; what is over was of none."""
        left = given.kg
        material = given.material
        while left > 0:
            there = [key for key, each in self.loads.items() if each.material == material and not each.empty]
            if not there:
                yield replace(given, kg=left)
                return
            opened = self.opened.get(material, "")
            key = opened if opened in there else there[0]
            held = self.loads[key]
            kg = left if held.kg >= left else held.kg
            self.loads[key] = replace(held, kg=held.kg - kg, given_kg=held.given_kg + kg)
            yield replace(given, load=held.name, kg=kg, among=self._among(material, key, opened, there))
            left -= kg

    def _among(self, material: str, key: str, opened: str, there: Sequence[str]) -> tuple[str, ...]:
        """The names of the loads that it may be of. Where two lay open once, all of both may be of either."""
        open_once = self.mixed.get(material, frozenset())
        if not any(each in there for each in open_once):
            open_once = frozenset()
        if key == opened or (len(there) == 1 and key not in open_once):
            return (self.loads[key].name,)
        self.mixed[material] = open_once | set(there)
        return tuple(self.loads[each].name for each in self.loads if each in self.mixed[material])


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


def by_load(draws: Iterable[Draw]) -> tuple[tuple[str, str, float, bool], ...]:
    """Load, material, kg and whether that is sure, most first; "" is what no load was there for."""
    kg: defaultdict[tuple[str, str], float] = defaultdict(float)
    sure: defaultdict[tuple[str, str], bool] = defaultdict(lambda: True)
    for each in draws:
        kg[each.load, each.material] += each.kg
        sure[each.load, each.material] &= each.sure
    return tuple((*key, kg[key], sure[key]) for key in sorted(kg, key=lambda key: (-kg[key], key)))
