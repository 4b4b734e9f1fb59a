"""A bin that does not exist, tried out day by day: a pot of grams or a windrow of tonnes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from wormbin.figures import Band
from wormbin.measures.units import WORM_KG
from wormbin.process import abreast, pools
from wormbin.process.amounts import material_of
from wormbin.process.day import days_of
from wormbin.process.ensemble import Doubts, mass_bands
from wormbin.process.inside import Balance, balance_of
from wormbin.process.look import Look
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import BURNED, CARBON, CARBON_OUT, HEADS, NITROGEN, POOLS, WATER, WORMS, Materials
from wormbin.process.run import Run
from wormbin.process.views import Day
from wormbin.process.warmth import Warmth
from wormbin.records.bins import Bin, Cover, Species
from wormbin.records.entries import Portion
from wormbin.science.constants import SPONGE_MOISTURE

HOLD_EVERY_DAYS = 0.25
YOUNG_UNDER = 0.8
"""Worms count as young under this share of the weight of a grown herd's."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """Portions given every so many days: on day ``every_days``, twice that, and so on, never on the last evening."""

    every_days: int
    portions: tuple[Portion, ...]


@dataclass(frozen=True, slots=True)
class Setup:
    """What is to be tried. Area m2, depth m, kg, degC; moisture a fraction.

    ``worms_count`` alone stands in for ``worms_kg`` (about 1,000 to the pound); both together say how small they are,
    and small ones grow faster. ``temp_c`` is the bin's own, held. With
    ``hold_moisture`` water is given or taken four times a day to keep it. ``water_kg`` None soaks the bedding to 78 %.
    """

    area_m2: float
    depth_m: float
    days: int
    temp_c: float = 20.0
    worms_kg: float = 0.0
    worms_count: int | None = None
    bedding: tuple[Portion, ...] = ()
    start: tuple[Portion, ...] = ()
    rhythms: tuple[Rhythm, ...] = ()
    water_kg: float | None = None
    hold_moisture: float | None = None
    cover: Cover = Cover.LOOSE
    drainage: bool = True
    species: Species = Species.EISENIA


@dataclass(frozen=True, slots=True)
class TrialDay:
    """One day of a trial: the bin's ``Day`` with its bands, and what has gone since the start (likely course)."""

    day: Day
    castings_wet_kg: Band
    burned_kg: float
    """Dry matter burned so far, kg."""
    carbon_lost_kg: float
    nitrogen_lost_kg: float
    evaporated_kg: float
    drained_kg: float
    put_in_dry_kg: float
    put_in_wet_kg: float
    worms_dry_kg: float
    cn_all: float
    """C:N of all that lies there, castings too, worms left out; what papers give of their product."""
    nitrogen_all: float
    """Nitrogen of the same, a fraction of its dry matter."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What became of it: day 0 as set up, then each evening; and the books."""

    setup: Setup
    days: tuple[TrialDay, ...]
    balance: Balance

    @property
    def last(self) -> TrialDay:
        """The last evening."""
        return self.days[-1]


def trial(
    setup: Setup,
    table: Materials,
    *,
    first: date = date(2001, 1, 1),
    parameters: Parameters = DEFAULT,
    doubts: Doubts | None = None,
) -> Trial:
    """Try ``setup`` out. ``first`` only names the days."""
    bin_ = Bin(
        key="trial", name="Trial", length_m=None, width_m=None, depth_m=setup.depth_m, started=first,
        area_m2=setup.area_m2, drainage=setup.drainage, cover=setup.cover, species=setup.species,
        site_temp_c=setup.temp_c,
    )  # fmt: skip
    run = Run.begin(bin_, table, first, parameters, doubts or Doubts())
    run.held = True
    run.warmth = Warmth(var_slow=0.0, var_fast=0.0)
    _set_up(run, setup)
    given_kg = sum(portion.kg for portion in setup.start)
    evenings = [_evening(run, first, given_kg)]
    for number in range(setup.days):
        for rhythm in setup.rhythms:
            if number and number % rhythm.every_days == 0:
                _put(run, rhythm.portions, feed=True)
                given_kg += sum(portion.kg for portion in rhythm.portions)
        _through(run, setup)
        run.age(1.0)
        evenings.append(_evening(run, first + timedelta(days=number + 1), given_kg))
    looks = [look for look, _ in evenings]
    days = [told(day) for day, (_, told) in zip(days_of(looks), evenings, strict=True)]
    return Trial(setup, tuple(days), balance_of(run))


def _set_up(run: Run, setup: Setup) -> None:
    _put(run, setup.bedding, feed=False)
    water = setup.water_kg
    if water is None:
        wet = sum(portion.kg for portion in setup.bedding)
        dry = sum(portion.kg * (1.0 - _moisture_of(run, portion)) for portion in setup.bedding)
        water = max(0.0, dry / (1.0 - SPONGE_MOISTURE) - wet)
    before = pools.mass(run.likely, run.p)
    run.c[WATER] += water
    run.done(before)
    _put(run, setup.start, feed=True)
    worms, heads = setup.worms_kg, setup.worms_count or 0
    if setup.worms_count is not None and worms <= 0.0:
        worms = setup.worms_count * WORM_KG
    if worms >= YOUNG_UNDER * heads * run.p.grown_mg * 1e-6:
        heads = 0
    before = pools.mass(run.likely, run.p)
    run.c[HEADS] = float(heads)
    run.stock(0, worms, run.doubts.worms_weighed if setup.worms_count is None else run.doubts.worms_counted)
    run.done(before)
    if setup.hold_moisture is not None:
        _hold(run, setup.hold_moisture)


def _moisture_of(run: Run, portion: Portion) -> float:
    material = material_of(run.table, portion.material, feed=False)
    return material.moisture if portion.moisture is None else portion.moisture


def _put(run: Run, portions: Sequence[Portion], *, feed: bool) -> None:
    before = pools.mass(run.likely, run.p)
    run.put(0, portions, feed=feed)
    run.done(before)


def _through(run: Run, setup: Setup) -> None:
    """One day, with moisture held if that was asked for."""
    pieces = round(1.0 / HOLD_EVERY_DAYS) if setup.hold_moisture is not None else 1
    midnight = round(run.t)
    for piece in range(pieces):
        abreast.gone([run.forward(midnight + (piece + 1) / pieces)])
        if setup.hold_moisture is not None:
            _hold(run, setup.hold_moisture)


def _hold(run: Run, moisture: float) -> None:
    before = pools.mass(run.likely, run.p)
    run.c[WATER] = pools.dry(run.c) * moisture / (1.0 - moisture)
    run.book(run.ledger.put, run.ledger.taken, before)


def _evening(run: Run, on: date, given_kg: float) -> tuple[Look, Callable[[Day], TrialDay]]:
    """The bin looked at, and what is told of the day that the look makes."""
    c, likely = run.c[:, 0], run.likely[:, 0].copy()
    wet = pools.castings(c) / np.maximum(0.05, 1.0 - pools.moisture(c))
    (castings,) = mass_bands(wet, 0.01 * (float(pools.total(likely)) + 1e-9))
    put = list(run.ledger.put)

    def told(day: Day) -> TrialDay:
        waits = day.feed_waiting_kg
        # Of a lot that may be all there or all gone, no more can wait than was given.
        waits = Band(waits.p10, waits.p50, max(waits.p50, min(waits.p90, given_kg)))
        carbon, nitrogen = (float(likely[i : i + POOLS].sum()) for i in (CARBON, NITROGEN))
        dry = float(pools.dry(likely))
        return TrialDay(
            day=replace(day, feed_waiting_kg=waits),
            castings_wet_kg=castings,
            burned_kg=float(likely[BURNED]),
            carbon_lost_kg=float(likely[CARBON_OUT]),
            nitrogen_lost_kg=float(likely[pools.AMMONIA]),
            evaporated_kg=float(likely[pools.EVAPORATED]),
            drained_kg=float(likely[pools.DRAINED]),
            put_in_dry_kg=put[0],
            put_in_wet_kg=put[0] + put[4],
            worms_dry_kg=float(run.p.worm_dry * likely[WORMS]),
            cn_all=carbon / nitrogen if nitrogen > 1e-12 else 0.0,
            nitrogen_all=nitrogen / dry if dry > 0.0 else 0.0,
        )

    return run.look(on), told
