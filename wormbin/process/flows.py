"""The equations: how fast each thing goes at this moment, for all compartments of all courses of all bins at once.

The shapes come from ``science/response``, laid out as close-spaced tables once. An array has its rows first (see
``pools``); all other axes stand side by side. Every operation is on whole rows: a hundred small ones a step.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Final

import numpy as np

from wormbin.process import pools
from wormbin.process.parameters import Parameters
from wormbin.process.pools import (
    AGED,
    CASTS,
    FOODS,
    FRESH,
    HEADS,
    NITROGEN,
    POOLS,
    QUICK,
    RAW,
    RISE,
    STEADY,
    VOLATILE,
    WATER,
    WORMS,
    Array,
)
from wormbin.records.bins import Bin, Cover
from wormbin.science import response
from wormbin.science.constants import FRESH_SCRAPS_KG_M3, SECONDS_A_DAY
from wormbin.science.response import OXYGEN_DIFFUSIVITY_M2_S, OXYGEN_IN_AIR_KG_M3, OXYGEN_PER_BURNED

COLD_C: Final = -15.0
PER_DEGREE: Final = 4
_STEPS: Final = 90 * PER_DEGREE
PER_MOISTURE: Final = 200
SPECIES: Final = ("eisenia", "eudrilus", "perionyx", "dendrobaena")

# Air reaches sqrt(2 D_eff C0 / R) deep, D_eff = FAS^2 D (Papendick & Campbell 1981): the part without FAS and burning.
REACH: Final = sqrt(2.0 * OXYGEN_DIFFUSIVITY_M2_S * OXYGEN_IN_AIR_KG_M3 * SECONDS_A_DAY / OXYGEN_PER_BURNED)

# Rows of the flows. PULL times the liking of a pool is the share of it eaten a day; DECAY times its book rate the share
# that decays; GAIN and DEATH are shares of the herd a day; DRIES kg of water a day; OPEN how far a heap of quick and
# steady feed goes at the pace of a thin layer, 0-1; HEAT in W over LOSS in W/K is where the rise goes, STORE (W day/K)
# how slowly; SOFTENS the share of raw quick and steady feed that softens a day; STIRS how many times faster microbes
# work for the worms among it, on all but aged matter and castings; SURPLUS the kg of water over what the pools hold,
# below zero where they could hold more. The step goes by these. What is told besides: AIR is the share of the work that
# air allows; FREE, DEPTH and REACH_M the layer's free air space, depth and air reach; CAPACITY kg dry a day at most;
# BURN kg dry a day, NEEDS what would burn with air enough.
PULL, DECAY, GAIN, DEATH, DRIES, OPEN, HEAT, LOSS, STORE, SOFTENS, STIRS, SURPLUS = range(12)
AIR, FREE, DEPTH, REACH_M, CAPACITY, BURN, NEEDS = range(12, 19)
MIDDLED, FLOWS = 7, 19
"""So many rows are carried on to the middle of a step from the step before."""

# Rows of what is a bin's own against the book, natural logs: how fast it works, how much must lie there for half of its
# appetite, how fast its fibre goes and its microbes work beside that, what it yields and holds of water, how fast it
# dries, what its worms gain, how far the keeper's amounts lie off, and what heat, cold and wet do to its herd.
RATE, HALF, FIBRES, MICROBES, YIELDS, HOLDING, DRYING, GROWTH, AMOUNTS, HARMS = range(10)
OWN = 10

# Rows of what does not change until a reading or a hand changes it: see ``settled``.
LIKE, RATES, CAST, HUMUS, BURNS, ROTS, BULK, HOLDS = 0, 6, 14, 20, 26, 32, 40, 48
APPETITE, HALF_KG, SOFT, GROW, AREA, DRYING_KG, DRAINED, FIRST_WARMTH = range(56, 64)
TOP_LOSS, RIM_LOSS, HELD, HEAP_KG, ROOM_KG, SITE_C, SITE_VAPOUR, HARM = range(64, 72)
SETTLED = 72


@dataclass(frozen=True, slots=True)
class Box:
    """What does not change in a day: surface (m2), evaporation (kg/m2/day at 20 C), drainage, species, and the air.

    ``bulk`` multiplies the room that the contents take (learned from a ruler). ``held`` keeps the bin at the site's
    temperature. ``humidity`` is that of the air of the site, 0-1; None takes what is usual.
    """

    area_m2: float
    evaporation: float
    drained: bool
    species: str = "eisenia"
    bulk: float = 1.0
    held: bool = False
    humidity: float | None = None


VAPOUR_PER_K: Final = 0.062
"""Share by which saturated vapour rises a degree, near 20 degC (Tetens)."""
_VAPOUR_UNIT: Final = 0.5 * response.saturation_vapour_kpa(20.0)


def _with_rises(rows: list[tuple[float, ...]]) -> Array:
    """The table with its rows first, and below them their rises to the next column: one look-up for a straight line."""
    table = np.array(rows).T
    rises = np.diff(table, axis=1, append=table[:, -1:])
    return np.ascontiguousarray(np.concatenate([table, rises]))


@lru_cache(maxsize=1)
def warmth_table() -> Array:
    """Eating, growth, microbes, upkeep, harm and vapour (over half that at 20 degC) by quarter degrees and species."""
    degrees = [COLD_C + step / PER_DEGREE for step in range(_STEPS + 1)]
    return np.concatenate([
        _with_rises([
            (
                response.eating(t, species), response.growth(t, species), response.microbes(t), response.upkeep(t),
                response.heat_harm(t, species), response.saturation_vapour_kpa(t) / _VAPOUR_UNIT,
            )
            for t in degrees
        ])
        for species in SPECIES
    ], axis=1)  # fmt: skip


@lru_cache(maxsize=1)
def wet_table() -> Array:
    """Eating, microbes, harm and surface wetness at every half percent of moisture."""
    return _with_rises([
        (response.moist_eating(w), response.moist_microbes(w), response.moist_harm(w), response.surface_wetness(w))
        for w in (step / PER_MOISTURE for step in range(PER_MOISTURE + 2))
    ])  # fmt: skip


def _looked_up(table: Array, place: Array) -> Array:
    """The rows of a table at places that are counted in its columns, on straight lines between them."""
    spot = place.astype(np.intp)
    found, rows = table.take(spot, axis=1), len(table) // 2
    return np.asarray(found[:rows] + found[rows:] * (place - spot))


@lru_cache(maxsize=256)
def site_vapour(site_c: float, humidity: float | None) -> float:
    """Vapour pressure of the site's air, over half that of saturated air at 20 degC."""
    humid = response.usual_humidity(site_c) if humidity is None else humidity
    return humid * response.saturation_vapour_kpa(site_c) / _VAPOUR_UNIT


def settled(own: Array, box: Box, p: Parameters) -> Array:
    """What a bin's own factors (logs, ``(OWN, courses)``) and its box come to, ``(SETTLED, courses)``.

    Liking of the six foods, rates of decay of all pools (a day at 20 degC), castings made of a kg eaten and decayed,
    what is burned of a pull (liking times that) and of a decay (rate times that), room and water held a kg dry; then
    one row each. The site's own rows are set as days go by (``at_site``).

    A bin's pace is learned mostly from what its worms get through. Microbes share its warmth, damp and air, but a herd
    that eats two and a half times the book does not make every heap burn as fast: they go by the root of it. Fibre has
    microbes of its own.
    """
    its, book = np.exp(np.tensordot(_POWERS, own, 1)), _book(box, p)
    k: Array = book.reshape(-1, *[1] * (own.ndim - 1)) * its[_GOES_BY]
    np.minimum(k[CAST:BURNS], 0.95, out=k[CAST:BURNS])
    k[BURNS:ROTS], k[ROTS:BULK] = k[LIKE:RATES] * (1.0 - k[CAST:HUMUS]), k[RATES:CAST]
    k[ROTS : ROTS + FOODS] *= 1.0 - k[HUMUS:BURNS]
    return k


_GOES_BY: Final = np.full(SETTLED, OWN)
"""Which of a bin's own factors each settled row goes by: ``OWN`` none, ``OWN`` + 1 the work of its microbes."""
_POWERS: Final = np.concatenate([np.eye(OWN), np.zeros((2, OWN))])
_POWERS[OWN + 1, [RATE, MICROBES]] = 0.5, 1.0
_GOES_BY[RATES:CAST], _GOES_BY[CAST:BURNS], _GOES_BY[HOLDS:APPETITE] = OWN + 1, YIELDS, HOLDING
_GOES_BY[LIKE + pools.FIBRE : RATES] = _GOES_BY[RATES + pools.FIBRE : RATES + FOODS] = FIBRES
_GOES_BY[[APPETITE, HALF_KG, SOFT, GROW, DRYING_KG, HARM]] = RATE, HALF, RATE, GROWTH, DRYING, HARMS


@lru_cache(maxsize=256)
def _book(box: Box, p: Parameters) -> Array:
    """The settled rows of a bin that is as the book says, ``(SETTLED,)``."""
    k = np.ones(SETTLED)
    k[LIKE:RATES], k[RATES:CAST] = pools.of_foods(p, "like"), pools.of_pools(p, "decay")
    k[CAST:HUMUS], k[HUMUS:BURNS] = pools.of_foods(p, "cast"), pools.of_foods(p, "humus")
    k[BULK:HOLDS], k[HOLDS:APPETITE] = box.bulk * pools.of_pools(p, "bulk"), pools.of_pools(p, "holds")
    k[APPETITE], k[HALF_KG], k[SOFT], k[GROW] = p.appetite, p.half_days * p.appetite, p.softens, p.growth
    k[AREA], k[DRYING_KG] = box.area_m2, box.area_m2 * box.evaporation
    k[DRAINED], k[HELD] = p.runs_out * box.drained, box.held
    k[FIRST_WARMTH] = SPECIES.index(box.species) * (_STEPS + 1)
    k[TOP_LOSS], k[RIM_LOSS] = 2.0 * box.area_m2 * p.heat_loss, 4.0 * sqrt(box.area_m2) * p.heat_loss
    k[HEAP_KG], k[ROOM_KG] = FRESH_SCRAPS_KG_M3 * box.area_m2 * p.heap_m, p.room_m2 * box.area_m2
    return k


def holding(own: Array, p: Parameters) -> Array:
    """Water that each pool holds, kg a kg dry, ``(POOLS, courses)``."""
    return np.asarray(pools.of_pools(p, "holds").reshape(-1, *[1] * (own.ndim - 1)) * np.exp(own[HOLDING]))


def at_site(k: Array, box: Box, site_c: float) -> Array:
    """The same with the site's temperature and the vapour of its air filled in."""
    k[SITE_C], k[SITE_VAPOUR] = site_c, site_vapour(site_c, box.humidity)
    return k


def flows(c: Array, k: Array, p: Parameters) -> Array:
    """How everything goes now, ``(FLOWS, ...)``, in compartments ``c`` with what is settled of them, ``k``."""
    f = np.empty((FLOWS, *c.shape[1:]))
    volatile, worms, water = c[VOLATILE : VOLATILE + POOLS], c[WORMS], c[WATER]
    solids, matter = volatile.sum(axis=0), pools.roomy(c)
    dry = solids + pools.ash(c)
    wet = dry + water + 1e-15
    degrees = np.minimum(np.maximum((k[SITE_C] + c[RISE] - COLD_C) * PER_DEGREE, 0.0), _STEPS - 1e-6)
    eat, growing, warm, living, harm, vapour = _looked_up(warmth_table(), degrees + k[FIRST_WARMTH])
    damp_eat, damp_rot, drown, surface = _looked_up(wet_table(), PER_MOISTURE * water / wet)
    decay = warm * damp_rot
    f[SOFTENS] = k[SOFT] * decay

    # Room and air. Of the water over what the pools hold half swells them, half stands at the base and drowns it.
    f[SURPLUS] = water - (k[HOLDS : HOLDS + POOLS] * matter).sum(axis=0)
    over = np.maximum(f[SURPLUS], 0.0)
    filled = 0.000625 * solids + 0.0004 * (dry - solids) + 0.001 * (water - over) + 1e-15
    volume = np.maximum((k[BULK : BULK + POOLS] * matter).sum(axis=0) + 0.0005 * over, 1.02 * filled)
    pores = volume - filled
    free = pores / volume
    aired = 1.0 - 0.0005 * over / pores
    volume = np.where(aired < 0.0, filled + 0.001 * over, volume)
    aired = np.maximum(aired, 0.0)
    depth = volume / k[AREA]

    # Eating saturates in what there is, shared over the pools by liking.
    crowd = np.minimum(worms / np.minimum(k[ROOM_KG], p.room_kg * (wet + worms)), 1.0)
    capacity = k[APPETITE] * worms * eat * damp_eat * (1.0 - p.crowds * crowd)
    if c[HEADS].any():
        # Worms that were counted when they were small: they eat more for their weight, and stop growing when heavy.
        capacity = capacity * appetite_of_size(c, p)
        grown = 1e6 * worms / (p.heavy_mg * np.maximum(c[HEADS], 1.0)) * (c[HEADS] > 0.0)
        crowd = np.minimum(np.maximum(crowd, grown), 1.0)
    soft = volatile[:FOODS] - c[RAW : RAW + FOODS]
    liked = (k[LIKE:RATES] * soft).sum(axis=0)
    sated = liked + k[HALF_KG] * worms + 1e-15
    pull, hungry = capacity / sated, 1.0 - liked / sated
    # A thick layer of fresh feed settles, sours and shuts the worms out; microbes go on in it, and heat it.
    thick = (c[FRESH] + c[FRESH + STEADY]) / k[HEAP_KG]
    opens = p.heap_open + (1.0 - p.heap_open) / (1.0 + thick * thick)
    rotting = k[ROTS : ROTS + FOODS] * soft
    soft[: STEADY + 1] *= opens
    by_worms = pull * (k[BURNS:ROTS] * soft).sum(axis=0)
    f[STIRS] = stirs = 1.0 + p.stirs * worms / (worms + p.stirs_kg_m2 * k[AREA])
    rots = stirs * rotting.sum(axis=0) - (stirs - 1.0) * rotting[AGED]
    by_microbes = decay * (rots + (k[ROTS + CASTS : BULK] * volatile[CASTS:]).sum(axis=0))
    # What lies deeper than oxygen reaches works at a fraction; worms do with the upper half of it.
    needs = by_worms + by_microbes
    reaches = REACH * free * np.sqrt(volume / (needs + 1e-15))
    aired = np.minimum(aired, reaches / (depth + 1e-15))
    air = p.airless + (1.0 - p.airless) * aired
    above = np.minimum(p.airless + (1.0 - p.airless) * 2.0 * aired, 1.0)
    pull *= above
    by_worms *= above
    burn = by_worms + air * by_microbes

    # Worms gain from what they eat, held back by crowding and by the nitrogen in the feed; five percent of that always
    # passes through, so that castings never owe any.
    liked = k[LIKE:RATES] * soft
    gain = k[GROW] * growing * (1.0 - crowd) * pull * liked.sum(axis=0)
    rich = liked * c[NITROGEN : NITROGEN + FOODS] / (volatile[:FOODS] + 1e-300)
    gain = np.minimum(gain, 0.95 / (p.worm_dry * p.worm_nitrogen) * pull * rich.sum(axis=0))
    gain = np.minimum(gain, 0.9 / p.worm_dry * by_worms)
    burn -= p.worm_dry * gain

    wets = k[DRYING_KG] * surface * (water > 0.0)
    dries = np.maximum(vapour - k[SITE_VAPOUR], 0.0) * wets
    f[PULL], f[DECAY], f[OPEN] = pull, decay * air, opens
    f[GAIN], f[DEATH] = gain / (worms + 1e-300), p.upkeep * living + k[HARM] * (harm + drown)
    f[DEATH] += p.crowd_loss * crowd * crowd + p.starves * (hungry * hungry * hungry) ** 2
    f[DRIES] = dries
    free_to_warm = 1.0 - k[HELD]
    # What is warmer dries faster, and cools by it: counted as a loss by warmth, or a long step would overshoot.
    cools = free_to_warm * (p.latent_mj * 1e6 * VAPOUR_PER_K / SECONDS_A_DAY) * wets * vapour
    f[HEAT] = free_to_warm * (p.heat_mj * 1e6 * burn - p.latent_mj * 1e6 * dries) / SECONDS_A_DAY + cools * c[RISE]
    f[LOSS] = k[TOP_LOSS] + k[RIM_LOSS] * depth + cools
    f[STORE] = (1500.0 * dry + 500.0 * k[AREA] + 4190.0 * water + 4000.0 * worms) / SECONDS_A_DAY
    f[AIR], f[FREE], f[DEPTH], f[REACH_M] = air, free, depth, reaches
    f[CAPACITY], f[BURN], f[NEEDS] = capacity * above, burn, needs
    return f


def appetite_of_size(c: Array, p: Parameters) -> Array:
    """How much more than a grown herd's kilogram a kilogram of young worms eats, at least 1.

    Only where their number is known beside their mass; once they are grown they breed, and count as any herd.
    """
    return np.asarray(np.maximum(1.0, p.grown_mg * 1e-6 * c[HEADS] / (c[WORMS] + 1e-300)) ** p.young)


@dataclass(frozen=True, slots=True)
class Housing:
    """One ``Box`` a compartment when it is the uppermost, and when others lie above it."""

    open_above: tuple[Box, ...]
    covered: tuple[Box, ...]
    sideways: bool
    depth_m: float
    area_m2: float

    def boxes(self, likely: Array) -> tuple[Box, ...]:
        """The box of each compartment as things lie now, by what is in them on the likely course, ``(SIZE, parts)``.

        In a stack only the uppermost filled tray dries freely.
        """
        parts = likely.shape[1]
        if self.sideways or parts == 1:
            return self.open_above
        top = max((i for i in range(parts) if likely[WATER, i] > 0.0 or likely[4 + QUICK, i] > 0.0), default=0)
        return tuple(self.open_above[i] if i >= top else self.covered[i] for i in range(parts))


def housing_of(
    bin_: Bin, p: Parameters, bulk: float = 1.0, *, held: bool = False, humidity: float | None = None
) -> Housing:
    """The boxes of a bin; trays above the lowest always let water through. ``bulk`` as learned from the ruler."""
    dries = {Cover.OPEN: p.evaporation_open, Cover.LOOSE: p.evaporation_loose, Cover.CLOSED: p.evaporation_closed}[
        bin_.cover
    ]

    def box(number: int, evaporation: float) -> Box:
        drained = bin_.drainage or (number > 0 and not bin_.sideways)
        return Box(bin_.surface_m2, evaporation, drained, str(bin_.species.value), bulk, held, humidity)

    numbers = range(max(1, bin_.compartments))
    return Housing(
        tuple(box(n, dries) for n in numbers),
        tuple(box(n, dries * p.evaporation_under) for n in numbers),
        bin_.sideways,
        bin_.depth_m,
        bin_.surface_m2,
    )
