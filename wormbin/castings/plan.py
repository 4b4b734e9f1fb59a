"""Whether so many castings can be ready by a day: what each bin can bring, and how likely the sum is enough."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import inf, sqrt
from statistics import NormalDist, median
from typing import Any

from wormbin.castings.lot import Lot, Moved
from wormbin.figures import Band
from wormbin.records.bins import Bin
from wormbin.records.lots import STEPS, Intake, LotStep, Stepped
from wormbin.science.practice import COOL_C, cure_days

LEAST_CURE_DAYS = 7
"""A lot that was put into stock sooner was written up afterwards, or not cured: it teaches nothing (ours)."""
KEPT = Band(0.45, 0.60, 0.80)
"""Share of the harvested mass that is left after curing and sieving while no lot tells [common practice, no source]."""
KEPT_COARSE = Band(0.75, 0.85, 0.95)
"""The same of what is cured and not sieved [common practice, no source]."""
_COMMON, _EACH = 25, 40
"""Draws: so many for what all bins have in common, and for each of them so many of every bin by itself."""
GRAIN_KG = 1e-9
LIKELY = 0.8
"""From so likely on a plan stands."""
COMES = 0.60
"""Share of the castings foreseen of bins that comes by a day: of made-up bins whose truth shares no equation with the
model, tuned on seed 2026 (`tests/benchmarks/test_plans.py`, which reports on others): which promise most, promise too
much."""
WIDER = 2.0
"""So much wider than foreseen is what a bin brings: its band held 5 in 10 of those made-up bins, where 8 are meant."""
TOGETHER = 0.05
"""Share of the doubt about a bin's day and mass that all bins of a farm have in common: weather, feed, hand (ours)."""
_NORMAL = NormalDist()
_POINTS = tuple(_NORMAL.inv_cdf((at + 0.5) / 64) for at in range(64))
"""What one draw of a normal is taken from."""
_TENTH = -_NORMAL.inv_cdf(0.1)


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

    @property
    def comes(self) -> Band:
        """What is counted of its kg: of one that is not due less, in a wider band (its low end may be below nought)."""
        low, kg, high = self.kg.p10, self.kg.p50, self.kg.p90
        wider = Band(kg - WIDER * (kg - low), kg, kg + WIDER * (high - kg)).times(COMES)
        return self.kg if self.due else wider


@dataclass(frozen=True, slots=True)
class Outcome:
    """What can be ready: ``ready`` is each bin's chance to be harvested in time, ``brings`` the kg of all together.

    ``harvest_by`` are the days by which each must be harvested, ``sure_kg`` is what they bring 8 times in 10.
    """

    harvest_by: tuple[date, ...]
    ready: tuple[float, ...]
    brings: Band
    likelihood: float
    sure_kg: float


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

    Each bin brings nothing when it is not ready in time, else its band of kg times what is ``kept`` of it, and what
    ``COMES`` of one that is not due yet. Nothing is harvested before ``today``, so that a bin which would have to be
    brings nothing. What makes one bin late makes the others late in part, too (``TOGETHER``). Worked out by draws,
    always the same ones, whatever the amounts are.
    """
    harvest_by = tuple(by - timedelta(days=each.cure_days) for each in deliveries)
    ready = tuple(_still(each, today, last, horizon) for each, last in zip(deliveries, harvest_by, strict=True))
    sums = _sums([(each.comes, odds) for each, odds in zip(deliveries, ready, strict=True) if odds > 0], kept)
    brings = Band(*(sums[round(share * (len(sums) - 1))] for share in (0.1, 0.5, 0.9)))
    enough = (len(sums) - bisect_left(sums, wanted_kg - GRAIN_KG)) / len(sums)
    return Outcome(harvest_by, ready, brings, enough, sums[round((1 - LIKELY) * (len(sums) - 1))])


def _still(delivery: Delivery, today: date, by: date, horizon: date) -> float:
    """The chance that a bin can be harvested from today to a day: one that might have been by now, and was not
    harvested, is not ready yet.
    """
    before = 0.0 if delivery.due else chance(delivery, today, horizon)
    if by < today or before >= 1:
        return float(by >= today)
    return (chance(delivery, by, horizon) - before) / (1 - before)


def _sums(bins: Sequence[tuple[Band, float]], kept: Band) -> list[float]:
    """Finished kg that all bins bring together, one a draw, the least first: bands of kg, and the odds to be ready."""
    import numpy as np  # takes long to load, and no other answer of a seller needs it

    draws, points = np.random.RandomState(_COMMON), np.array(_POINTS)
    shared, own = sqrt(TOGETHER), sqrt(1 - TOGETHER)
    common = [_NORMAL.inv_cdf((at + 0.5) / _COMMON) for at in range(_COMMON)]
    edges = [_NORMAL.inv_cdf(odds) if odds < 1 else inf for _kg, odds in bins]
    odds = np.array([[_NORMAL.cdf((edge - shared * each) / own) for edge in edges] for each in common])
    size = (_COMMON * _EACH, len(bins))

    def within(low: Any, middle: Any, high: Any, doubt: Any) -> Any:
        """So many standard deviations from the middle of bands, each side by its own width; never under 0."""
        side = np.where(doubt > 0, high - middle, middle - low)
        return np.maximum(0.0, middle + doubt * side / _TENTH)

    doubt = own * draws.choice(points, size) - shared * np.repeat(common, _EACH)[:, None]
    low, middle, high = np.array([(kg.p10, kg.p50, kg.p90) for kg, _ in bins]).reshape(-1, 3).T
    kg = within(low, middle, high, doubt)
    come = np.where(draws.random_sample(size) < np.repeat(odds.reshape(_COMMON, -1), _EACH, axis=0), kg, 0.0)
    left = within(kept.p10, kept.p50, kept.p90, draws.choice(points, size[0]))
    return sorted((come.sum(axis=1) * left).tolist())


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


def _cures(move: Moved) -> bool:
    return isinstance(move.line.what, Stepped) and move.line.what.step is LotStep.CURING


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


def ready_on(lot: Lot, own_days: int | None, bins: Mapping[str, Bin]) -> date:
    """The day on which a lot has cured: so many days after its last harvest, as long as its coolest bin asks for.

    One that was sieved after it had been laid out to cure has.
    """
    if lot.step is LotStep.SCREENED and any(map(_cures, lot.moves)):
        return lot.step_on
    sources = [each.line.what.source for each in lot.intakes if isinstance(each.line.what, Intake)]
    coolest = min((bins[key].site_temp_c for key in sources if key in bins), default=COOL_C)
    return lot.intakes[-1].line.when.date() + timedelta(days=cure_days(coolest, own_days))


def curing(known: Sequence[Lot], bins: Mapping[str, Bin]) -> Iterator[tuple[Lot, date]]:
    """Lots that are not sieved yet, and the day on which each has cured."""
    own_days = own_cure_days(known)
    for lot in known:
        if not lot.empty and STEPS.index(lot.step) < STEPS.index(LotStep.SCREENED):
            yield lot, ready_on(lot, own_days, bins)
