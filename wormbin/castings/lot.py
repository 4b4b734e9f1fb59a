"""A lot of castings, replayed from its lines: how much is in it, how far it is, how wet, what came in and went out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import Protocol, TypeVar

from wormbin.problems import Problem, RefusedError, UnclearError, did_you_mean
from wormbin.records.lots import (
    Intake,
    LotLine,
    LotStep,
    Measured,
    Sale,
    Stepped,
    Use,
    lot_key,
    lots_in_order,
    standing_lots,
)

ROUNDING_KG = 0.0005
"""A scale and a converted pound may differ by so much; less than this is nothing."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A line of a lot, with the wet kg that the log has in the lot before it and after it."""

    line: LotLine
    before_kg: float
    after_kg: float

    @property
    def out_kg(self) -> float:
        """What was sold or used by it, kg."""
        what = self.line.what
        return what.kg if isinstance(what, Sale | Use) else 0.0

    @property
    def short_kg(self) -> float:
        """By how much more went out than was in the lot, kg; 0 when there was enough."""
        short = self.out_kg - self.before_kg
        return short if self.out_kg and short > ROUNDING_KG else 0.0


@dataclass(frozen=True, slots=True)
class Lot:
    """One lot as its log has it. Masses in wet kg, moisture as a fraction, room in litres.

    ``kg`` is what came in less what went out; a weighing sets it. ``changed_kg`` is what weighings found more or less
    (water lost in curing, overs sieved out). ``litres`` and ``moisture`` are None when nobody has read them.
    """

    name: str
    moves: tuple[Moved, ...]
    kg: float
    harvested_kg: float
    sold_kg: float
    used_kg: float
    changed_kg: float
    step: LotStep
    step_on: date
    opened: date
    moisture: float | None = None
    moisture_read: bool = False
    kg_per_litre: float | None = None
    weighed_on: date | None = None
    taken: float = 0.0

    @property
    def intakes(self) -> tuple[Moved, ...]:
        """What came in."""
        return tuple(each for each in self.moves if isinstance(each.line.what, Intake))

    @property
    def empty(self) -> bool:
        """Whether all of it is gone."""
        return self.kg <= ROUNDING_KG

    @property
    def in_stock(self) -> bool:
        """Whether it is ready, and something of it is there."""
        return self.step is LotStep.STOCK and not self.empty

    @property
    def short_kg(self) -> float:
        """By how much more went out of it than ever was in it, kg."""
        return max((each.short_kg for each in self.moves), default=0.0)


def lot_of(lines: Sequence[LotLine]) -> Lot:
    """One lot from its standing lines, which are at least one."""
    ordered = lots_in_order(list(lines))
    kg = harvested = sold = used = changed = taken = 0.0
    step, step_on = LotStep.HARVESTED, ordered[0].when.date()
    moisture: float | None = None
    per_litre: float | None = None
    weighed_on: date | None = None
    read = False
    moves = []
    for line in ordered:
        what, before, on = line.what, kg, line.when.date()
        if isinstance(what, Intake):
            moisture, read = _mixed(moisture, kg, what.moisture, what.kg), False
            kg += what.kg
            harvested += what.kg
        elif isinstance(what, Sale | Use):
            kg -= what.kg
            sold += what.kg if isinstance(what, Sale) else 0.0
            used += what.kg if isinstance(what, Use) else 0.0
            taken += (what.price or 0.0) if isinstance(what, Sale) else 0.0
        elif isinstance(what, Stepped | Measured):
            if what.kg is not None and harvested > 0:
                changed += what.kg - kg
                kg, weighed_on = what.kg, on
            if what.moisture is not None:
                moisture, read = what.moisture, True
            if what.litres:
                per_litre = kg / what.litres if kg > 0 else per_litre
            if isinstance(what, Stepped):
                step, step_on = what.step, on
        moves.append(Moved(line, before, kg))
    return Lot(
        name=ordered[0].lot,
        moves=tuple(moves),
        kg=max(0.0, kg) if kg > -ROUNDING_KG else kg,
        harvested_kg=harvested,
        sold_kg=sold,
        used_kg=used,
        changed_kg=changed,
        step=step,
        step_on=step_on,
        opened=ordered[0].when.date(),
        moisture=moisture,
        moisture_read=read,
        kg_per_litre=per_litre,
        weighed_on=weighed_on,
        taken=taken,
    )


def _mixed(there: float | None, there_kg: float, comes: float | None, comes_kg: float) -> float | None:
    """Moisture of two heaps put together; None when it is not known of all that is in it."""
    if there_kg <= ROUNDING_KG:
        return comes
    if there is None or comes is None:
        return None
    return (there * there_kg + comes * comes_kg) / (there_kg + comes_kg)


def lots(lines: Iterable[LotLine]) -> tuple[Lot, ...]:
    """Every lot that castings have come into, the oldest first; struck and replaced lines do not count."""
    by_key: dict[str, list[LotLine]] = {}
    for line in standing_lots([each for each in lines if each.about == "lot"]):
        by_key.setdefault(lot_key(line.lot), []).append(line)
    found = [lot_of(each) for each in by_key.values() if any(isinstance(line.what, Intake) for line in each)]
    return tuple(sorted(found, key=lambda lot: (lot.opened, lot.name)))


class Named(Protocol):
    """Whatever the castings book knows by a name."""

    @property
    def name(self) -> str:
        """As the keeper writes it."""


N = TypeVar("N", bound=Named)
_BEGIN = {
    "lot": ("harvest into one", 'wormbin harvest kitchen "4.5 kg" --lot spring'),
    "load": ("write down what came in", 'wormbin loads add grain-12 "60 kg spent grain"'),
    "pile": ("put something on one", 'wormbin piles add spring-pile "120 kg rabbit manure"'),
    "order": ("promise something", 'wormbin orders add cafe-may "20 kg" --due 2026-05-01'),
}


def find_lot(words: str, known: Sequence[N], about: str = "lot") -> N:
    """The lot (or load, or pile) meant. Raises RefusedError with those there are, UnclearError for several."""
    key = lot_key(words)
    by_key = {lot_key(each.name): each for each in known}
    if key in by_key:
        return by_key[key]
    begins = [each.name for name, each in by_key.items() if key and name.startswith(key)]
    if len(begins) == 1:
        return by_key[lot_key(begins[0])]
    if begins:
        allowed = f"the name of one {about}: {', '.join(begins)}"
        raise UnclearError(Problem(about, words[:60], allowed, begins[0]), begins)
    if not known:
        how, example = _BEGIN[about]
        raise RefusedError(Problem(about, words[:60], f"a {about}. There is none yet: {how}", example))
    near = [by_key[name].name for name in get_close_matches(key, list(by_key), n=3, cutoff=0.6)]
    if near:
        raise UnclearError(did_you_mean(about, words[:60], about, tuple(near)), near)
    names = [each.name for each in known][-12:]
    raise RefusedError(Problem(about, words[:60], f"one of your {about}s: {', '.join(names)}", names[-1]))
