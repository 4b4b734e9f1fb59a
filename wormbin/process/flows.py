"""The equations of one compartment: how fast each thing goes at this moment. Used by the step and by its checks alike.

The shapes come from ``science/response``; they are laid out here as close-spaced tables once, because this is the one
place where speed matters: a year of a bin asks for some 25,000 evaluations.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Final

from wormbin.process.parameters import Parameters
from wormbin.process.pools import ASH, NITROGEN, VOLATILE, Compartment
from wormbin.science import response
from wormbin.science.air import OXYGEN_DIFFUSIVITY_M2_S, OXYGEN_IN_AIR_KG_M3, OXYGEN_PER_BURNED, SECONDS_A_DAY

COLD_C: Final = -15.0
PER_DEGREE: Final = 4
_STEPS: Final = 90 * PER_DEGREE
PER_MOISTURE: Final = 200

# Air reaches sqrt(2 D_eff C0 / R) deep, D_eff = FAS^2 D (Papendick & Campbell 1981): the part without FAS and burning.
REACH: Final = sqrt(2.0 * OXYGEN_DIFFUSIVITY_M2_S * OXYGEN_IN_AIR_KG_M3 * SECONDS_A_DAY / OXYGEN_PER_BURNED)

Flow = tuple[float, ...]
FlowOf = Callable[[float, float, float, float, float, float, float, float, float], Flow]

# Places in a flow: shares a day of each pool eaten (0-4) and decayed (5-10); then what the words say.
EATEN_OF, DECAYED_OF = 0, 5
GAIN, DEATH, BURN, EVAPORATION, DRAINAGE, HEAT, LOSS, STORE, AIR, FREE, DEPTH, REACH_M, CAPACITY, TEMP = range(11, 25)


@dataclass(frozen=True, slots=True)
class Box:
    """What does not change in a day: surface (m2), evaporation (kg/m2/day at 20 C), drainage, species, and the air.

    ``bulk`` multiplies the room that the contents take (learned from a ruler). ``held`` keeps the bin at the site's
    temperature. ``humidity`` is that of the air of the site.
    """

    area_m2: float
    evaporation: float
    drained: bool
    species: str = "eisenia"
    bulk: float = 1.0
    held: bool = False
    humidity: float = 0.5


@lru_cache(maxsize=8)
def warmth_table(species: str) -> tuple[tuple[float, float, float, float, float], ...]:
    """Eating, growth, microbes, upkeep and harm at every quarter degree from ``COLD_C`` up."""
    at = [COLD_C + step / PER_DEGREE for step in range(_STEPS + 2)]
    return tuple(
        (
            response.eating(t, species),
            response.growth(t, species),
            response.microbes(t),
            response.upkeep(t),
            response.heat_harm(t, species),
        )
        for t in at
    )


@lru_cache(maxsize=1)
def vapour_table() -> tuple[float, ...]:
    """Saturation vapour pressure over that at 50 % and 20 degC, at every quarter degree from ``COLD_C`` up."""
    unit = 0.5 * response.saturation_vapour_kpa(20.0)
    return tuple(response.saturation_vapour_kpa(COLD_C + step / PER_DEGREE) / unit for step in range(_STEPS + 2))


@lru_cache(maxsize=1)
def wet_table() -> tuple[tuple[float, float, float, float], ...]:
    """Eating, microbes, harm and surface wetness at every half percent of moisture."""
    at = [step / PER_MOISTURE for step in range(PER_MOISTURE + 2)]
    return tuple(
        (
            response.moist_eating(w),
            response.moist_microbes(w),
            response.moist_harm(w),
            response.surface_wetness(w),
        )
        for w in at
    )


def flow_of(c: Compartment, box: Box, site_c: float, rate: float, drying: float, p: Parameters) -> FlowOf:
    """The equations of a compartment for a short while: a function of the five feeds, castings, water, worms and rise.

    Nitrogen and ash of each pool per kg volatile are those of ``c`` now: they do not change while matter only leaves.
    ``rate`` and ``drying`` are this bin's factors against the book.
    """
    v = c[VOLATILE : VOLATILE + 6]
    nitrogen = [c[NITROGEN + i] / v[i] if v[i] > 0.0 else 0.0 for i in range(5)]
    ashes = [c[ASH + i] / v[i] if v[i] > 0.0 else 0.0 for i in range(5)]
    n0, n1, n2, n3, n4 = nitrogen
    a0, a1, a2, a3, a4 = ashes
    ash = sum(c[ASH : ASH + 6])
    idle_ash = sum(c[ASH + i] for i in range(5) if v[i] <= 0.0)
    area, drained, bulk, held = box.area_m2, box.drained, box.bulk, box.held
    like0, like1, like2, like3, like4 = p.like_quick, p.like_steady, p.like_slow, p.like_aged, p.like_fibre
    q, half = rate * p.appetite, p.half_days * p.appetite
    d0, d1, d2 = rate * p.decay_quick, rate * p.decay_steady, rate * p.decay_slow
    d3, d4, d5 = rate * p.decay_aged, rate * p.decay_fibre, rate * p.decay_castings
    b0, b1, b2 = bulk * p.bulk_quick, bulk * p.bulk_steady, bulk * p.bulk_slow
    b3, b4, b5 = bulk * p.bulk_aged, bulk * p.bulk_fibre, bulk * p.bulk_castings
    h0, h1, h2 = p.holds_quick, p.holds_steady, p.holds_slow
    h3, h4, h5 = p.holds_aged, p.holds_fibre, p.holds_castings
    lost0, lost1, lost2 = 1.0 - p.cast_quick, 1.0 - p.cast_steady, 1.0 - p.cast_slow
    lost3, lost4 = 1.0 - p.cast_aged, 1.0 - p.cast_fibre
    gone0, gone1, gone2 = 1.0 - p.humus_quick, 1.0 - p.humus_steady, 1.0 - p.humus_slow
    gone3, gone4 = 1.0 - p.humus_aged, 1.0 - p.humus_fibre
    grow, upkeep, airless, with_air = p.growth, p.upkeep, p.airless, 1.0 - p.airless
    tissue_dry = p.worm_dry
    # Five percent of the nitrogen eaten always passes through, so that castings never owe any.
    per_nitrogen = 0.95 / (p.worm_dry * p.worm_nitrogen)
    per_burn = 0.9 / p.worm_dry
    room_m2, room_kg = p.room_m2 * area, p.room_kg
    evaporation, runs_out = area * box.evaporation * drying, p.runs_out
    to_watts, latent_watts = p.heat_mj * 1e6 / SECONDS_A_DAY, p.latent_mj * 1e6 / SECONDS_A_DAY
    heat_loss, rim = p.heat_loss, 4.0 * sqrt(area)
    warmth, wetness, vapour = warmth_table(box.species), wet_table(), vapour_table()
    place = (site_c - COLD_C) * PER_DEGREE
    spot = min(max(int(place), 0), _STEPS)
    site_vapour = box.humidity * (vapour[spot] + (vapour[spot + 1] - vapour[spot]) * (place - spot))
    origin, last, reach = site_c - COLD_C, _STEPS, REACH

    def flow(v0: float, v1: float, v2: float, v3: float, v4: float, v5: float, w: float, m: float, rise: float) -> Flow:
        place = (origin + rise) * PER_DEGREE
        spot = int(place)
        if spot < 0 or place < 0.0:
            spot, place = 0, 0.0
        elif spot > last:
            spot, place = last, float(last)
        part = place - spot
        eat, growing, decay, living, harm = warmth[spot]
        eat2, growing2, decay2, living2, harm2 = warmth[spot + 1]
        eat += (eat2 - eat) * part
        growing += (growing2 - growing) * part
        decay += (decay2 - decay) * part
        living += (living2 - living) * part
        harm += (harm2 - harm) * part
        deficit = vapour[spot] + (vapour[spot + 1] - vapour[spot]) * part - site_vapour

        g0, g1, g2, g3, g4 = a0 * v0, a1 * v1, a2 * v2, a3 * v3, a4 * v4
        g5 = ash - idle_ash - g0 - g1 - g2 - g3 - g4
        solids = v0 + v1 + v2 + v3 + v4 + v5
        dry = solids + ash
        wet = dry + w + 1e-15
        place = PER_MOISTURE * w / wet
        spot = int(place)
        part = place - spot
        damp_eat, damp_decay, drown, surface = wetness[spot]
        damp_eat2, damp_decay2, drown2, surface2 = wetness[spot + 1]
        damp_eat += (damp_eat2 - damp_eat) * part
        damp_decay += (damp_decay2 - damp_decay) * part
        drown += (drown2 - drown) * part
        surface += (surface2 - surface) * part

        k0, k1, k2, k3, k4, k5 = v0 + g0, v1 + g1, v2 + g2, v3 + g3, v4 + g4, v5 + g5
        volume = b0 * k0 + b1 * k1 + b2 * k2 + b3 * k3 + b4 * k4 + b5 * k5
        filled = solids * 0.000625 + ash * 0.0004 + w * 0.001
        if volume < 1.02 * filled:
            volume = 1.02 * filled + 1e-15
        free = 1.0 - filled / volume

        # Eating: saturating in what there is, shared over the pools by liking.
        liked = like0 * v0 + like1 * v1 + like2 * v2 + like3 * v3 + like4 * v4
        capacity = q * m * eat * damp_eat
        pull = capacity / (liked + half * m + 1e-15)
        decay *= damp_decay
        e0, e1, e2, e3, e4 = like0 * pull, like1 * pull, like2 * pull, like3 * pull, like4 * pull
        r0, r1, r2, r3, r4, r5 = d0 * decay, d1 * decay, d2 * decay, d3 * decay, d4 * decay, d5 * decay
        x0, x1, x2, x3, x4 = e0 * v0, e1 * v1, e2 * v2, e3 * v3, e4 * v4
        by_worms = x0 * lost0 + x1 * lost1 + x2 * lost2 + x3 * lost3 + x4 * lost4
        burn = (
            by_worms + r0 * v0 * gone0 + r1 * v1 * gone1 + r2 * v2 * gone2 + r3 * v3 * gone3 + r4 * v4 * gone4 + r5 * v5
        )
        # Air: what lies deeper than oxygen reaches works at a fraction.
        depth = volume / area
        reaches = reach * free * sqrt(volume / (burn + 1e-15))
        air = airless + with_air * (reaches / depth if reaches < depth else 1.0)
        e0 *= air
        e1 *= air
        e2 *= air
        e3 *= air
        e4 *= air
        burn *= air

        # Worms: gain from what is eaten, held back by crowding and by the nitrogen in the feed.
        gain = 0.0
        if m > 0.0:
            room = room_kg * (wet + m)
            if room > room_m2:
                room = room_m2
            if m < room:
                eaten = air * (x0 + x1 + x2 + x3 + x4)
                gain = grow * growing * (1.0 - m / room) * eaten
                most = per_nitrogen * air * (x0 * n0 + x1 * n1 + x2 * n2 + x3 * n3 + x4 * n4)
                if gain > most:
                    gain = most
                most = per_burn * air * by_worms
                if gain > most:
                    gain = most
                burn -= tissue_dry * gain
                gain /= m
        death = upkeep * living + harm + drown

        lost_water = evaporation * surface * deficit if deficit > 0.0 else 0.0
        if w <= 0.0:
            lost_water = 0.0
        runs = 0.0
        if drained:
            over = w - (h0 * k0 + h1 * k1 + h2 * k2 + h3 * k3 + h4 * k4 + h5 * k5)
            if over > 0.0:
                runs = runs_out * over
        if held:
            heat, loss, store = 0.0, 1.0, 1.0
        else:
            heat = to_watts * burn - latent_watts * lost_water
            loss = heat_loss * (2.0 * area + rim * depth)
            store = (1500.0 * dry + 4190.0 * w + 4000.0 * m + 500.0 * area) / SECONDS_A_DAY
        return (
            e0, e1, e2, e3, e4,
            r0 * air, r1 * air, r2 * air, r3 * air, r4 * air, r5 * air,
            gain, death, burn, lost_water, runs, heat, loss, store,
            air, free, depth, reaches, capacity * air, site_c + rise,
        )  # fmt: skip

    return flow


def flow_now(c: Compartment, box: Box, site_c: float, rate: float, drying: float, p: Parameters) -> Flow:
    """The flow of a compartment as it is now."""
    flow = flow_of(c, box, site_c, rate, drying, p)
    return flow(c[0], c[1], c[2], c[3], c[4], c[5], c[32], c[33], c[34])
