"""The equations of one compartment: how fast each thing goes at this moment. Used by the step and by its checks alike.

The shapes come from ``science/response``; they are laid out here as close-spaced tables once, because this is the one
place where speed matters: a year of a bin asks for some 25,000 evaluations.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import sqrt
from typing import Final, NamedTuple

from wormbin.process.parameters import Parameters
from wormbin.process.pools import FRESH, HEADS, RAW, RAW_FIBRE, RISE, WATER, WORMS
from wormbin.science import response
from wormbin.science.air import OXYGEN_DIFFUSIVITY_M2_S, OXYGEN_IN_AIR_KG_M3, OXYGEN_PER_BURNED
from wormbin.science.constants import FRESH_SCRAPS_KG_M3, SECONDS_A_DAY

COLD_C: Final = -15.0
PER_DEGREE: Final = 4
_STEPS: Final = 90 * PER_DEGREE
PER_MOISTURE: Final = 200

# Air reaches sqrt(2 D_eff C0 / R) deep, D_eff = FAS^2 D (Papendick & Campbell 1981): the part without FAS and burning.
REACH: Final = sqrt(2.0 * OXYGEN_DIFFUSIVITY_M2_S * OXYGEN_IN_AIR_KG_M3 * SECONDS_A_DAY / OXYGEN_PER_BURNED)

Flow = tuple[float, ...]
FlowOf = Callable[[float, float, float, float, float, float, float, float, float, float, float, float], Flow]

# Places in a flow. PULL times the liking of a pool is the share of it eaten a day; DECAY times its book rate the share
# that decays; GAIN and DEATH are shares of the herd a day; BURN, DRIES and RUNS kg a day (dry matter, water, water);
# HEAT in W over LOSS in W/K is where the rise goes, STORE (W day/K) how slowly; AIR is the share of the work that air
# allows; FREE, DEPTH and REACH_M the layer's free air space, depth and air reach; CAPACITY kg dry a day at most;
# SOFTENS the share of raw quick and steady feed that softens a day; OPEN how far a heap of quick and steady feed goes
# at the pace of a thin layer, 0-1: their pull and decay are times that. NEEDS is what would burn with air enough.
PULL, DECAY, GAIN, DEATH, BURN, DRIES, RUNS, HEAT, LOSS, STORE, AIR, FREE, DEPTH, REACH_M, CAPACITY, SOFTENS = range(16)
OPEN, NEEDS = 16, 17


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


_VAPOUR_UNIT: Final = 0.5 * response.saturation_vapour_kpa(20.0)


def _with_rises(rows: list[tuple[float, ...]]) -> tuple[tuple[float, ...], ...]:
    """Each row with its rise to the next one behind it, so that one look-up serves a straight line between them."""
    return tuple(row + tuple(b - a for a, b in zip(row, after, strict=True)) for row, after in pairwise(rows))


class Own(NamedTuple):
    """What is a bin's own against the book: how fast it works, dries, and its fibre goes; how much it yields."""

    rate: float = 1.0
    drying: float = 1.0
    fibre: float = 1.0
    yields: float = 1.0


@lru_cache(maxsize=8)
def warmth_table(species: str) -> tuple[tuple[float, ...], ...]:
    """Eating, growth, microbes, upkeep, harm and vapour pressure (over half that at 20 degC) by quarter degrees."""
    return _with_rises(
        [
            (
                response.eating(t, species),
                response.growth(t, species),
                response.microbes(t),
                response.upkeep(t),
                response.heat_harm(t, species),
                response.saturation_vapour_kpa(t) / _VAPOUR_UNIT,
            )
            for t in (COLD_C + step / PER_DEGREE for step in range(_STEPS + 2))
        ]
    )


@lru_cache(maxsize=1)
def wet_table() -> tuple[tuple[float, ...], ...]:
    """Eating, microbes, harm and surface wetness at every half percent of moisture."""
    return _with_rises(
        [
            (
                response.moist_eating(w),
                response.moist_microbes(w),
                response.moist_harm(w),
                response.surface_wetness(w),
            )
            for w in (step / PER_MOISTURE for step in range(PER_MOISTURE + 2))
        ]
    )


def likings(own: Own, p: Parameters) -> tuple[float, float, float, float, float]:
    """How well each feed is liked against the best, 0-1."""
    return p.like_quick, p.like_steady, p.like_slow, p.like_aged, p.like_fibre * own.fibre


def decay_pace(own: Own) -> float:
    """How fast microbes work here against the book: the root of the bin's own pace.

    A bin's pace is learned mostly from what its worms get through. Microbes share its warmth, damp and air, but a herd
    that eats two and a half times the book does not make every heap burn as fast.
    """
    return sqrt(own.rate)


def decay_rates(own: Own, p: Parameters) -> tuple[float, float, float, float, float, float]:
    """Book rates of decay of the six pools at 20 degC times this bin's own pace of decay, a day."""
    rate = decay_pace(own)
    return (
        rate * p.decay_quick,
        rate * p.decay_steady,
        rate * p.decay_slow,
        rate * p.decay_aged,
        rate * own.fibre * p.decay_fibre,
        rate * p.decay_castings,
    )


def yields(own: Own, p: Parameters) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Castings of each of the five feeds: per kg eaten, and per kg decayed; 0.95 at most."""
    eaten = (p.cast_quick, p.cast_steady, p.cast_slow, p.cast_aged, p.cast_fibre)
    decayed = (p.humus_quick, p.humus_steady, p.humus_slow, p.humus_aged, p.humus_fibre)
    times = own.yields
    if times == 1.0:
        return eaten, decayed
    return tuple([min(0.95, times * y) for y in eaten]), tuple([min(0.95, times * y) for y in decayed])


@lru_cache(maxsize=256)
def paces(own: Own, p: Parameters) -> tuple[float, ...]:
    """All that a bin's own factors settle, in one row: likings (5), decay rates (6), castings per kg eaten (5) and
    decayed (5), then burned of what is eaten, times liking (5), and of what decays, times its rate (6)."""
    like0, like1, like2, like3, like4 = likings(own, p)
    d0, d1, d2, d3, d4, d5 = decay_rates(own, p)
    (y0, y1, y2, y3, y4), (z0, z1, z2, z3, z4) = yields(own, p)
    return (
        like0, like1, like2, like3, like4, d0, d1, d2, d3, d4, d5, y0, y1, y2, y3, y4, z0, z1, z2, z3, z4,
        like0 * (1.0 - y0), like1 * (1.0 - y1), like2 * (1.0 - y2), like3 * (1.0 - y3), like4 * (1.0 - y4),
        d0 * (1.0 - z0), d1 * (1.0 - z1), d2 * (1.0 - z2), d3 * (1.0 - z3), d4 * (1.0 - z4), d5,
    )  # fmt: skip


def appetite_of_size(c: Sequence[float], p: Parameters) -> float:
    """How much more than a grown herd's kilogram a kilogram of young worms eats, at least 1.

    Only where their number is known beside their mass; once they are grown they breed, and count as any herd.
    """
    if len(c) <= HEADS or c[HEADS] <= 0.0 or c[WORMS] <= 0.0:
        return 1.0
    times_smaller = p.grown_mg * 1e-6 * c[HEADS] / c[WORMS]
    return float(times_smaller**p.young) if times_smaller > 1.0 else 1.0


@lru_cache(maxsize=64)
def _site_vapour(site_c: float, humidity: float | None) -> float:
    """Vapour pressure of the site's air, over half that of saturated air at 20 degC."""
    humid = response.usual_humidity(site_c) if humidity is None else humidity
    return humid * response.saturation_vapour_kpa(site_c) / _VAPOUR_UNIT


def flow_of(c: Sequence[float], box: Box, site_c: float, own: Own, p: Parameters) -> FlowOf:
    """The equations of a compartment for a short while, as a function of what it holds.

    Its arguments: the five feeds and castings (volatile kg), water, worms, rise, softened part of quick, steady
    and fibre.

    Nitrogen and ash of each pool per kg volatile are those of ``c`` now: they do not change while matter only leaves.
    So room, water held, burning and the rest are plain sums over the pools, with weights worked out here once.
    """
    rate, drying, _, _ = own
    (
        like0, like1, like2, like3, like4, _, _, _, _, _, _, _, _, _, _, _, _, _, _, _, _,
        w0, w1, w2, w3, w4, d0, d1, d2, d3, d4, d5,
    ) = paces(own, p)  # fmt: skip
    a0 = c[18] / c[0] if c[0] > 0.0 else 0.0
    a1 = c[19] / c[1] if c[1] > 0.0 else 0.0
    a2 = c[20] / c[2] if c[2] > 0.0 else 0.0
    a3 = c[21] / c[3] if c[3] > 0.0 else 0.0
    a4 = c[22] / c[4] if c[4] > 0.0 else 0.0
    ash = c[18] + c[19] + c[20] + c[21] + c[22] + c[23]
    moving_ash = (c[18] if c[0] > 0.0 else 0.0) + (c[19] if c[1] > 0.0 else 0.0) + (c[20] if c[2] > 0.0 else 0.0)
    moving_ash += (c[21] if c[3] > 0.0 else 0.0) + (c[22] if c[4] > 0.0 else 0.0) + c[23]
    area, drained, bulk, held = box.area_m2, box.drained, box.bulk, box.held
    n0 = like0 * c[12] / c[0] if c[0] > 0.0 else 0.0
    n1 = like1 * c[13] / c[1] if c[1] > 0.0 else 0.0
    n2 = like2 * c[14] / c[2] if c[2] > 0.0 else 0.0
    n3 = like3 * c[15] / c[3] if c[3] > 0.0 else 0.0
    n4 = like4 * c[16] / c[4] if c[4] > 0.0 else 0.0
    # Castings have the ash that the other pools have not (any more): their weight falls on both.
    b5, h5 = bulk * p.bulk_castings, p.holds_castings
    b0 = bulk * p.bulk_quick * (1.0 + a0) - b5 * a0
    b1 = bulk * p.bulk_steady * (1.0 + a1) - b5 * a1
    b2 = bulk * p.bulk_slow * (1.0 + a2) - b5 * a2
    b3 = bulk * p.bulk_aged * (1.0 + a3) - b5 * a3
    b4 = bulk * p.bulk_fibre * (1.0 + a4) - b5 * a4
    h0, h1 = p.holds_quick * (1.0 + a0) - h5 * a0, p.holds_steady * (1.0 + a1) - h5 * a1
    h2, h3 = p.holds_slow * (1.0 + a2) - h5 * a2, p.holds_aged * (1.0 + a3) - h5 * a3
    h4 = p.holds_fibre * (1.0 + a4) - h5 * a4
    b6, h6 = b5 * moving_ash, h5 * moving_ash
    q, half = rate * p.appetite * appetite_of_size(c, p), p.half_days * p.appetite
    softens = rate * p.softens
    grow, upkeep, airless, with_air, tissue_dry = p.growth, p.upkeep, p.airless, 1.0 - p.airless, p.worm_dry
    # Five percent of the nitrogen eaten always passes through, so that castings never owe any.
    per_nitrogen = 0.95 / (p.worm_dry * p.worm_nitrogen)
    per_burn = 0.9 / p.worm_dry
    room_m2, room_kg = p.room_m2 * area, p.room_kg
    heap = FRESH_SCRAPS_KG_M3 * area * p.heap_m
    heap0, heap1 = c[FRESH] / (c[0] * heap) if c[0] > 0.0 else 0.0, c[FRESH + 1] / (c[1] * heap) if c[1] > 0.0 else 0.0
    heap_low, heap_more = p.heap_open, 1.0 - p.heap_open
    evaporation, runs_out = area * box.evaporation * drying, p.runs_out
    to_watts, latent_watts = p.heat_mj * 1e6 / SECONDS_A_DAY, p.latent_mj * 1e6 / SECONDS_A_DAY
    top_loss, rim_loss = 2.0 * area * p.heat_loss, 4.0 * sqrt(area) * p.heat_loss
    stored = (1500.0 * ash + 500.0 * area) / SECONDS_A_DAY
    warmth, wetness = warmth_table(box.species), wet_table()
    origin, last, reach, degree, per_moisture = site_c - COLD_C, _STEPS, REACH, PER_DEGREE, PER_MOISTURE
    site_vapour = _site_vapour(site_c, box.humidity)

    def flow(
        v0: float,
        v1: float,
        v2: float,
        v3: float,
        v4: float,
        v5: float,
        w: float,
        m: float,
        rise: float,
        u0: float,
        u1: float,
        u4: float,
    ) -> Flow:
        place = (origin + rise) * degree
        if place < 0.0:
            place = 0.0
        elif place > last:
            place = float(last)
        spot = int(place)
        place -= spot
        eat, growing, decay, living, harm, vapour, eat1, growing1, decay1, living1, harm1, vapour1 = warmth[spot]
        solids = v0 + v1 + v2 + v3 + v4 + v5
        wet = solids + ash + w + 1e-15
        part = per_moisture * w / wet
        spot = int(part)
        part -= spot
        damp_eat, damp_decay, drown, surface, damp_eat1, damp_decay1, drown1, surface1 = wetness[spot]
        decay = (decay + place * decay1) * (damp_decay + part * damp_decay1)
        ripens = softens * decay

        volume = b0 * v0 + b1 * v1 + b2 * v2 + b3 * v3 + b4 * v4 + b5 * v5 + b6
        # Of the water over what the pools hold half swells them, half stands at the base and drowns it.
        over = w - (h0 * v0 + h1 * v1 + h2 * v2 + h3 * v3 + h4 * v4 + h5 * v5 + h6)
        if over < 0.0:
            over = 0.0
        filled = solids * 0.000625 + ash * 0.0004 + (w - over) * 0.001 + 1e-15
        volume += 0.0005 * over
        if volume < 1.02 * filled:
            volume = 1.02 * filled
        free = 1.0 - filled / volume
        aired = 1.0
        if over > 0.0:
            aired -= 0.0005 * over / (volume - filled)
            if aired < 0.0:
                aired = 0.0
                volume = filled + 0.001 * over
        depth = volume / area

        # Eating saturates in what there is, shared over the pools by liking.
        capacity = q * m * (eat + place * eat1) * (damp_eat + part * damp_eat1)
        liked = like0 * u0 + like1 * u1 + like2 * v2 + like3 * v3 + like4 * u4
        pull = capacity / (liked + half * m + 1e-15)
        # A thick layer of fresh feed settles, sours and shuts itself off: it goes more slowly.
        thick = heap0 * v0 + heap1 * v1
        opens = heap_low + heap_more / (1.0 + thick * thick)
        u0 *= opens
        u1 *= opens
        by_worms = pull * (w0 * u0 + w1 * u1 + w2 * v2 + w3 * v3 + w4 * u4)
        by_microbes = decay * (d0 * u0 + d1 * u1 + d2 * v2 + d3 * v3 + d4 * u4 + d5 * v5)
        # What lies deeper than oxygen reaches works at a fraction; worms do with the upper half of it.
        needs = by_worms + by_microbes
        reaches = reach * free * sqrt(volume / (needs + 1e-15))
        if reaches < depth * aired:
            aired = reaches / depth
        air = airless + with_air * aired
        above = airless + with_air * 2.0 * aired if aired < 0.5 else 1.0
        pull *= above
        decay *= air
        by_worms *= above
        burn = by_worms + air * by_microbes

        # Worms gain from what they eat, held back by crowding and by the nitrogen in the feed.
        gain = 0.0
        if m > 0.0:
            room = room_kg * (wet + m)
            if room > room_m2:
                room = room_m2
            if m < room:
                gain = grow * (growing + place * growing1) * (1.0 - m / room)
                gain *= pull * (like0 * u0 + like1 * u1 + like2 * v2 + like3 * v3 + like4 * u4)
                most = per_nitrogen * pull * (n0 * u0 + n1 * u1 + n2 * v2 + n3 * v3 + n4 * u4)
                if gain > most:
                    gain = most
                most = per_burn * by_worms
                if gain > most:
                    gain = most
                burn -= tissue_dry * gain
                gain /= m
        dries = vapour + place * vapour1 - site_vapour
        dries = evaporation * (surface + part * surface1) * dries if dries > 0.0 and w > 0.0 else 0.0
        runs = runs_out * over if drained else 0.0
        if held:
            heat, loss, store = 0.0, 1.0, 1.0
        else:
            heat = to_watts * burn - latent_watts * dries
            loss = top_loss + rim_loss * depth
            store = stored + 0.01736 * solids + 0.0485 * w + 0.0463 * m
        return (
            pull, decay, gain, upkeep * (living + place * living1) + harm + place * harm1 + drown
            + part * drown1, burn, dries, runs, heat, loss, store, air, free, depth, reaches, capacity * above, ripens,
            opens, needs,
        )  # fmt: skip

    return flow


def flow_now(c: Sequence[float], box: Box, site_c: float, own: Own, p: Parameters) -> Flow:
    """The flow of a compartment as it is now."""
    flow = flow_of(c, box, site_c, own, p)
    soft = c[0] - c[RAW], c[1] - c[RAW + 1], c[4] - c[RAW_FIBRE]
    return flow(c[0], c[1], c[2], c[3], c[4], c[5], c[WATER], c[WORMS], c[RISE], *soft)
