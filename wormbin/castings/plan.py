"""Whether so many castings can be ready by a day: what each bin can bring, and how likely the sum is enough."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

from wormbin.castings.lot import Lot
from wormbin.figures import Band
from wormbin.records.lots import STEPS, LotStep, Stepped

LEAST_CURE_DAYS = 7
"""A lot that was put into stock sooner was written up afterwards, or not cured: it teaches nothing (ours)."""
KEPT = Band(0.45, 0.60, 0.80)
"""Share of the harvested mass that is left after curing and sieving while no lot tells [common practice, no source]."""
_WEIGHTS = (0.3, 0.4, 0.3)
"""Weights of the 10, 50 and 90 % points that stand for a band (Keefer & Bodily 1983, the extended Swanson rule)."""
_STEPS = 400
"""Cells into which the amount asked for is parted when sums are put together."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """What one bin (or tray) can bring: wet kg as harvested, and its harvest window (None: beyond the look-ahead).

    ``due`` is whether it can be harvested in time as it is; ``cure_days`` go by from its harvest to the bag.
    """

    bin: str
    kg: Band
    earliest: date | None
    likely: date | None
    latest: date | None
    due: bool = False
    cure_days: int = 0


@dataclass(frozen=True, slots=True)
class Outcome:
    """What can be ready: ``ready`` is each bin's chance to be harvested in time, ``brings`` the kg of all together.

    ``harvest_by`` are the days by which each must be harvested.
    """

    harvest_by: tuple[date, ...]
    ready: tuple[float, ...]
    brings: Band
    likelihood: float


def chance(delivery: Delivery, by: date, horizon: date) -> float:
    """How likely a bin can be harvested by a day, 0 to 1, from its window: 10 % earliest, 50 % likely, 90 % latest.

    Between these days it rises evenly, and beyond them as steeply as beside them. A bin whose likely day is beyond the
    ``horizon`` of the look-ahead stays under one half.
    """
    if delivery.due:
        return 1.0
    first, likely, last = delivery.earliest, delivery.likely, delivery.latest
    if first is None and likely is None:
        return 0.0
    if likely is None:
        assert first is not None
        return min(0.5, _between(by, (first, 0.1), (max(horizon, first + timedelta(days=1)), 0.5)))
    first = first if first is not None and first < likely else likely - timedelta(days=1)
    last = last if last is not None and last > likely else likely + (likely - first)
    if by <= likely:
        return _between(by, (first, 0.1), (likely, 0.5))
    return _between(by, (likely, 0.5), (last, 0.9))


def _between(on: date, one: tuple[date, float], other: tuple[date, float]) -> float:
    slope = (other[1] - one[1]) / max(1, (other[0] - one[0]).days)
    return min(1.0, max(0.0, one[1] + slope * (on - one[0]).days))


def outcome(
    deliveries: Sequence[Delivery], wanted_kg: float, by: date, horizon: date, *, kept: Band, today: date
) -> Outcome:
    """How likely the bins together bring ``wanted_kg`` (> 0, of finished castings) by a day.

    Each bin brings nothing when it is not ready in time, else its band of kg times what is ``kept`` of it. Nothing is
    harvested before ``today``, so that a bin which would have to be brings nothing. Bins are
    taken to be ready or not independently of each other, which a cold spell that hits all of them is not.
    """
    harvest_by = tuple(by - timedelta(days=each.cure_days) for each in deliveries)
    ready = tuple(
        chance(each, last, horizon) if last >= today else 0.0 for each, last in zip(deliveries, harvest_by, strict=True)
    )
    cell = wanted_kg / _STEPS
    sums: dict[int, float] = {}
    for share, weight in zip(_points(kept), _WEIGHTS, strict=True):
        for at, odds in _added(deliveries, ready, share, cell).items():
            sums[at] = sums.get(at, 0.0) + weight * odds
    enough = sum(odds for at, odds in sums.items() if at >= _STEPS)
    brings = Band(*(_quantile(sums, share) * cell for share in (0.1, 0.5, 0.9)))
    return Outcome(harvest_by, ready, brings, min(1.0, max(0.0, enough)))


def _points(band: Band) -> tuple[float, float, float]:
    return band.p10, band.p50, band.p90


def _added(deliveries: Sequence[Delivery], ready: Sequence[float], kept: float, cell: float) -> dict[int, float]:
    """The odds of each sum of kg, in cells."""
    sums = {0: 1.0}
    for each, odds in zip(deliveries, ready, strict=True):
        outcomes = [(0, 1.0 - odds)]
        outcomes += [
            (round(max(0.0, kg) * kept / cell), odds * weight)
            for kg, weight in zip(_points(each.kg), _WEIGHTS, strict=True)
        ]
        after: dict[int, float] = {}
        for at, so_far in sums.items():
            for more, part in outcomes:
                after[at + more] = after.get(at + more, 0.0) + so_far * part
        sums = after
    return sums


def _quantile(sums: dict[int, float], share: float) -> int:
    total = 0.0
    for at in sorted(sums):
        total += sums[at]
        if total >= share - 1e-9:
            return at
    return max(sums, default=0)


def own_cure_days(lots: Sequence[Lot]) -> int | None:
    """Days from the last harvest into a lot until it was in stock, as the keeper's own lots have it; None without.

    Lots that were in stock within a week are left out.
    """
    found = []
    for lot in lots:
        stocked = [m.line.when.date() for m in lot.moves if isinstance(m.line.what, Stepped) and _ready(m.line.what)]
        if stocked:
            found.append((stocked[0] - max(each.line.when.date() for each in lot.intakes)).days)
    found = [days for days in found if days >= LEAST_CURE_DAYS]
    return round(median(found)) if found else None


def _ready(what: Stepped) -> bool:
    return what.step is LotStep.STOCK


def own_kept(lots: Sequence[Lot]) -> float | None:
    """Share of the harvested mass left after curing and sieving, of lots weighed since then; None without any."""
    harvested = left = 0.0
    for lot in lots:
        if STEPS.index(lot.step) >= STEPS.index(LotStep.SCREENED) and lot.weighed_on and lot.weighed_on >= _sieved(lot):
            harvested += lot.harvested_kg
            left += lot.harvested_kg + lot.changed_kg
    return left / harvested if harvested > 0 and left > 0 else None


def _sieved(lot: Lot) -> date:
    """The first day on which it counted as sieved."""
    return next(
        move.line.when.date()
        for move in lot.moves
        if isinstance(move.line.what, Stepped) and STEPS.index(move.line.what.step) >= STEPS.index(LotStep.SCREENED)
    )
