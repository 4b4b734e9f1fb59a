"""Money, simply: what was taken and spent, and what a kilogram of each lot costs to make. Not an accounting program.

Every amount is a Decimal as it was typed. What is shared out is shared to the cent, and the shares add up to the whole:
a load by what was given of it, a bin's feed to its next harvest, what is for all lots by the kilograms harvested in
that year. What has not reached a lot yet stays named as that.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

from wormbin.castings.loads import Draw, Larder, Stocked
from wormbin.castings.lot import Lot
from wormbin.castings.origin import ONE_HARVEST_DAYS
from wormbin.records.entries import Entry, Harvest, Stocking, standing
from wormbin.records.kinds.castings import Cost, Intake, LotStep, Sale
from wormbin.records.lots import LotLine, lot_key, standing_lots

CENT = Decimal("0.01")
NONE = Decimal(0)
IN_STOCK, LOST, IN_PILES, IN_BEDS, NO_LOT, NOT_SHARED, HERD = (
    "feedstock in stock", "feedstock spoiled", "in piles", "in the beds", "harvested into no lot", "for no lot yet",
    "worms bought",
)  # fmt: skip
"""Where money is that no lot has."""


def exact(value: float) -> Decimal:
    """An amount as it was typed."""
    return Decimal(repr(float(value)))


def shared(amount: Decimal, weights: Sequence[float]) -> list[Decimal]:
    """``amount`` shared by weight to the cent; the shares add up to it. All weights nought: all goes to the first."""
    total = sum(weights)
    if not weights:
        return []
    if total <= 0:
        return [amount, *[NONE] * (len(weights) - 1)]
    ideal = [amount * exact(each) / exact(total) for each in weights]
    found = [each.quantize(CENT, ROUND_DOWN) for each in ideal]
    order = sorted(range(len(weights)), key=lambda at: (found[at] - ideal[at], at))
    left = amount - sum(found, NONE)
    for at in order:
        if left < CENT:
            break
        found[at] += CENT
        left -= CENT
    found[max(range(len(weights)), key=lambda at: weights[at])] += left  # less than a cent, where it was typed so
    return found


@dataclass(frozen=True, slots=True)
class Entered:
    """Money taken (above nought) or spent (below) on a day: for what, of which lot, bin or load, with kg and whom."""

    on: date
    amount: Decimal
    what: str
    name: str
    bin: str = ""
    kg: float | None = None
    who: str = ""
    hours: float | None = None
    entry: str = ""
    """The id of the line that says so, by which it is amended or struck."""
    own: Decimal = NONE
    """How much of it is own hours, at their rate."""


@dataclass(frozen=True, slots=True)
class Made:
    """What one lot cost and brought. ``finished_kg`` is what was sold, used and is left of it."""

    lot: str
    finished_kg: float
    sold_kg: float
    taken: Decimal
    feed: Decimal
    own: Decimal
    general: Decimal
    ready: bool = True
    """Whether it is in stock; a kilogram that still cures has no price."""

    @property
    def cost(self) -> Decimal:
        """All that it cost to make."""
        return self.feed + self.own + self.general

    @property
    def per_kg(self) -> Decimal | None:
        """What a finished kilogram cost to make; None while it cures."""
        return self.cost / exact(self.finished_kg) if self.finished_kg > 0 and self.ready else None

    @property
    def leaves_per_kg(self) -> Decimal | None:
        """What a kilogram that was sold brought, less what one cost to make; None where none was sold."""
        per = self.per_kg
        return None if per is None or self.sold_kg <= 0 else self.taken / exact(self.sold_kg) - per

    @property
    def leaves(self) -> Decimal:
        """What was taken less what it cost."""
        return self.taken - self.cost


@dataclass(frozen=True, slots=True)
class Account:
    """All of it: every amount in time order, each lot, what each bin took and cost, and what no lot has."""

    entered: tuple[Entered, ...]
    lots: tuple[Made, ...]
    bins: Mapping[str, tuple[Decimal, Decimal]]
    """By bin what was taken for its castings and worms, and what was spent on it."""
    rest: Mapping[str, Decimal] = field(default_factory=dict)

    @property
    def taken(self) -> Decimal:
        """All that was taken."""
        return sum((each.amount for each in self.entered if each.amount > 0), NONE)

    @property
    def spent(self) -> Decimal:
        """All that was spent."""
        return -sum((each.amount for each in self.entered if each.amount < 0), NONE)


def account(
    book: Iterable[LotLine], known: Sequence[Lot], held: Larder, logs: Mapping[str, Sequence[Entry]],
    hour_rate: float = 0.0,
) -> Account:  # fmt: skip
    """The account of a farm; ``hour_rate`` is what an own hour counts, nought for nothing."""
    costs = standing_lots([each for each in book if each.about == "cost"])
    lines = {key: standing(list(log)) for key, log in logs.items()}
    sharing = _Sharing(known, lines)
    sharing.loads(held)
    entered = [*_sales(known), *_loads(held), *_worms(lines)]
    for line in costs:
        made = _cost(line, hour_rate)
        entered.append(made)
        sharing.cost(line, -made.amount)
    sharing.rest[HERD] -= sum((each.amount for each in entered if each.what == "worms bought"), NONE)
    entered = [each for each in entered if each.amount]
    return Account(
        tuple(sorted(entered, key=lambda each: (each.on, each.what, each.name))),
        tuple(sharing.made(lot) for lot in known),
        sharing.by_bin(entered),
        {name: amount for name, amount in sharing.rest.items() if amount},
    )


def _sales(known: Iterable[Lot]) -> Iterable[Entered]:
    for lot in known:
        for move in lot.moves:
            what = move.line.what
            if isinstance(what, Sale) and what.price:
                yield Entered(
                    move.line.when.date(), exact(what.price), "sale", lot.name, "", what.kg, what.buyer,
                    entry=move.line.id,
                )  # fmt: skip


def _loads(held: Larder) -> Iterable[Entered]:
    for each in held.loads:
        if each.price:
            yield Entered(
                each.came, -exact(each.price), "feedstock", each.name, "", each.came_kg, each.supplier,
                entry=each.lines[0].id,
            )  # fmt: skip


def _worms(lines: Mapping[str, Sequence[Entry]]) -> Iterable[Entered]:
    for key, log in lines.items():
        for entry in log:
            what = entry.what
            if isinstance(what, Stocking) and what.price:
                out, kg = what.worms_kg < 0, abs(what.worms_kg)
                amount, name = exact(what.price), "worms sold" if out else "worms bought"
                yield Entered(
                    entry.when.date(), amount if out else -amount, name, key, key, kg, what.who, entry=entry.id
                )


def _cost(line: LotLine, hour_rate: float) -> Entered:
    what = line.what
    assert isinstance(what, Cost)
    hours = (exact(what.hours or 0.0) * exact(hour_rate)).quantize(CENT, ROUND_HALF_UP)
    return Entered(
        line.when.date(),
        -exact(what.price or 0.0) - hours,
        "cost",
        line.lot,
        what.bin,
        hours=what.hours,
        entry=line.id,
        own=hours,
    )


@dataclass(frozen=True, slots=True)
class _Taken:
    """A harvest of a bin: its place in the log, day, part, kg, lot ("" for none)."""

    place: int
    on: date
    part: int
    kg: float
    lot: str


class _Sums(defaultdict[str, Decimal]):
    """Amounts by name, nought for what has none."""

    def __init__(self) -> None:
        super().__init__(lambda: NONE)


class _Sharing:
    """Money on its way to the lots."""

    def __init__(self, known: Sequence[Lot], lines: Mapping[str, Sequence[Entry]]) -> None:
        self.known = {lot_key(lot.name): lot for lot in known}
        self.feed, self.own, self.general, self.rest, self.bins = (_Sums() for _ in range(5))
        self.places = {
            entry.id: (place, entry.compartment) for log in lines.values() for place, entry in enumerate(log)
        }
        self.harvests = {
            key: [
                _Taken(place, entry.when.date(), entry.compartment, entry.what.castings_kg, lot_key(entry.what.lot))
                for place, entry in enumerate(log)
                if isinstance(entry.what, Harvest)
            ]
            for key, log in lines.items()
        }

    def loads(self, held: Larder) -> None:
        """Share what each load cost by where it went; what went onto a pile is the price of what came off it."""
        piled, by_load = _Sums(), defaultdict[str, list[Draw]](list)
        for draw in held.draws:
            by_load[draw.load].append(draw)
        for load in sorted(held.loads, key=lambda each: (bool(each.pile), each.came)):
            price = piled.pop(lot_key(load.pile), NONE) if load.pile else exact(load.price or 0.0)
            if price:
                self._load(load, price, by_load, piled)
        self.rest[IN_PILES] += sum(piled.values(), NONE)

    def _load(self, load: Stocked, price: Decimal, held: Mapping[str, Sequence[Draw]], piled: _Sums) -> None:
        """Share a load over where it went, all that went to one harvest of one bin (or one pile) together."""
        went: dict[tuple[str, str, int, int], float] = {}
        for draw in held.get(load.name, ()):
            to = ("", lot_key(draw.pile), 0, 0) if draw.pile else self._target(draw)
            went[to] = went.get(to, 0.0) + draw.kg
        parts = shared(price, [*went.values(), max(0.0, load.kg), max(0.0, -load.changed_kg)])
        self.rest[IN_STOCK] += parts[-2]
        self.rest[LOST] += parts[-1]
        for (bin, pile, at, part), amount in zip(went, parts, strict=False):
            if pile:
                piled[pile] += amount
            else:
                self.bins[bin] += amount
                self._to_harvest(self.feed, bin, amount, at, part)

    def _target(self, draw: Draw) -> tuple[str, str, int, int]:
        """The bin, no pile, the number of its first harvest after a draw, and the part that was fed."""
        place, part = self.places[draw.entry]
        return draw.bin, "", bisect_right(self.harvests[draw.bin], place, key=lambda each: each.place), part

    def _to_harvest(self, into: _Sums, bin: str, amount: Decimal, at: int, part: int = 0) -> None:
        """Give an amount to the bin's next harvest from number ``at`` on, by kg over those within a month of it."""
        later = [each for each in self.harvests.get(bin, [])[at:] if not (part and each.part and part != each.part)]
        one = [each for each in later if (each.on - later[0].on).days < ONE_HARVEST_DAYS]
        if not one:
            self.rest[IN_BEDS] += amount
        for each, share in zip(one, shared(amount, [each.kg for each in one]), strict=True):
            if each.lot in self.known:
                into[each.lot] += share
            else:
                self.rest[NO_LOT] += share

    def cost(self, line: LotLine, amount: Decimal) -> None:
        """Give a cost to its lot, to its bin's next harvest, or to all lots of its year."""
        what, on = line.what, line.when.date()
        assert isinstance(what, Cost)
        if what.of_lot and lot_key(what.of_lot) in self.known:
            self.own[lot_key(what.of_lot)] += amount
        elif what.bin:
            self.bins[what.bin] += amount
            days = [each.on for each in self.harvests.get(what.bin, [])]
            self._to_harvest(self.own, what.bin, amount, bisect_left(days, on))
        else:
            came = {key: _came_kg(lot, on.year) for key, lot in self.known.items()}
            came = {key: kg for key, kg in came.items() if kg > 0}
            if not came:
                self.rest[NOT_SHARED] += amount
            for key, share in zip(came, shared(amount, list(came.values())), strict=True):
                self.general[key] += share

    def made(self, lot: Lot) -> Made:
        """What one lot cost and brought."""
        key = lot_key(lot.name)
        finished = max(0.0, lot.kg) + lot.sold_kg + lot.used_kg
        return Made(
            lot.name, finished, lot.sold_kg, _brought(lot), self.feed[key], self.own[key], self.general[key],
            lot.step is LotStep.STOCK,
        )  # fmt: skip

    def by_bin(self, entered: Iterable[Entered]) -> dict[str, tuple[Decimal, Decimal]]:
        """What each bin took, a lot's sales by what came into it, and what was spent on it."""
        taken = _Sums()
        for lot in self.known.values():
            came = [each.line.what for each in lot.intakes if isinstance(each.line.what, Intake)]
            for what, amount in zip(came, shared(_brought(lot), [each.kg for each in came]), strict=True):
                taken[what.source] += amount
        for each in entered:
            if each.what == "worms sold":
                taken[each.bin] += each.amount
        return {key: (taken[key], self.bins[key]) for key in sorted({*taken, *self.bins, *self.harvests})}


def _came_kg(lot: Lot, year: int) -> float:
    return sum(
        each.line.what.kg for each in lot.intakes if isinstance(each.line.what, Intake) and each.line.when.year == year
    )


def _brought(lot: Lot) -> Decimal:
    whats = (each.line.what for each in lot.moves)
    return sum((exact(what.price) for what in whats if isinstance(what, Sale) and what.price), NONE)
