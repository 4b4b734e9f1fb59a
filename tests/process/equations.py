"""The model's equations again, as plain formulas one number at a time, as one system for an outside solver.

Nothing here is the model's own but its table of parameters, the places of its rows and the published shapes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sqrt
from typing import Any, cast

from scipy.integrate import solve_ivp

from tests.process import plain_formulas as plain
from wormbin.process.flows import Box
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import ASH, CARBON, FRESH, NITROGEN, RAW, RISE, VOLATILE, WATER, WORMS
from wormbin.science import response
from wormbin.science.constants import FRESH_SCRAPS_KG_M3, SECONDS_A_DAY
from wormbin.science.response import OXYGEN_DIFFUSIVITY_M2_S, OXYGEN_IN_AIR_KG_M3, OXYGEN_PER_BURNED

ROWS = RISE + 1
"""So many of a compartment's rows change with time alone."""
FOODS = ("quick", "steady", "slow", "aged", "fibre", "hard")
POOLS = (*FOODS, "casts", "castings")
AS = {"hard": "fibre", "casts": "castings"}
Slope = Callable[[float, Sequence[float]], list[float]]


def slopes(box: Box, site_c: float, rate: float = 1.0, p: Parameters = DEFAULT) -> Slope:
    """The slope a day of the rows of a compartment whose own pace is ``rate`` times the book's: y' = f(t, y)."""

    def of(what: str, names: Sequence[str]) -> list[float]:
        return [float(getattr(p, f"{what}_{name}", getattr(p, f"{what}_{AS.get(name, name)}"))) for name in names]

    like, cast_of, humus, bulk, holds = (
        of("like", FOODS), of("cast", FOODS), of("humus", FOODS), of("bulk", POOLS), of("holds", POOLS)
    )  # fmt: skip
    decays = [each if i in (4, 5) else sqrt(rate) * each for i, each in enumerate(of("decay", POOLS))]

    def slope(_: float, given: Sequence[float]) -> list[float]:
        y = [float(each) for each in given]
        v, c, n, ash, fresh = (
            [max(each, 0.0) for each in y[i : i + 8]] for i in (VOLATILE, CARBON, NITROGEN, ASH, FRESH)
        )
        raw = [min(max(each, 0.0), v[i]) for i, each in enumerate(y[RAW : RAW + 6])]
        water, worms = max(y[WATER], 0.0), y[WORMS]
        temp, solids = site_c + y[RISE], sum(v)
        dry = solids + sum(ash)
        wet = water / (dry + water)
        pace = response.microbes(temp) * response.moist_microbes(wet)
        held = sum(h * (a + b) for h, a, b in zip(holds, v, ash, strict=True))
        over = max(0.0, water - held)
        filled = solids / 1600.0 + sum(ash) / 2500.0 + (water - over) / 1000.0
        volume = sum(box.bulk * b * (x + z) for b, x, z in zip(bulk, v, ash, strict=True)) + 0.0005 * over
        volume = max(volume, 1.02 * filled)
        free = 1.0 - filled / volume
        aired = 1.0 - 0.0005 * over / (volume - filled)
        if aired < 0.0:
            aired, volume = 0.0, filled + 0.001 * over
        depth = volume / box.area_m2
        crowd = 1.0 - plain.crowding(worms, plain.room_for(box.area_m2, dry + water + worms, p.room_m2, p.room_kg))
        capacity = plain.capacity_kg_day(worms, temp, wet, rate * p.appetite, box.species) * (1.0 - p.crowds * crowd)
        stirs = plain.stirred(worms, box.area_m2, p.stirs, p.stirs_kg_m2)
        rates = [each * (1.0 if i in (3, 6, 7) else stirs) for i, each in enumerate(decays)]
        soft = [a - b for a, b in zip(v, raw, strict=False)]
        liked = sum(a * b for a, b in zip(like, soft, strict=True))
        eaten = plain.eaten_kg_day(capacity, liked, p.half_days * p.appetite * worms)
        pull = eaten / liked if liked > 0.0 else 0.0
        opens = plain.heap_pace((fresh[0] + fresh[1]) / FRESH_SCRAPS_KG_M3 / box.area_m2, p.heap_m, p.heap_open)
        reached = [opens * each if i < 2 else each for i, each in enumerate(soft)]
        by_worms = pull * sum(a * (1.0 - b) * s for a, b, s in zip(like, cast_of, reached, strict=True))
        by_microbes = sum(d * (1.0 - z) * s for d, z, s in zip(rates, humus, soft, strict=False))
        by_microbes = pace * (by_microbes + decays[6] * v[6] + decays[7] * v[7])
        oxygen = 2.0 * OXYGEN_DIFFUSIVITY_M2_S * SECONDS_A_DAY * OXYGEN_IN_AIR_KG_M3 / OXYGEN_PER_BURNED
        aired = min(aired, free * sqrt(oxygen * volume / (by_worms + by_microbes + 1e-15)) / depth)
        air = p.airless + (1.0 - p.airless) * aired
        above = min(1.0, p.airless + (1.0 - p.airless) * 2.0 * aired) if aired < 0.5 else 1.0
        pull, pace = pull * above, pace * air
        eats = [like[i] * pull * reached[i] for i in range(6)]
        rots = [rates[i] * pace * soft[i] for i in range(6)]
        up = p.growth * response.growth(temp, box.species) * (1.0 - crowd) * sum(eats)
        nitrogen = sum(eats[i] * n[i] / v[i] for i in range(6) if v[i] > 0.0)
        up = min(up, 0.95 * nitrogen / (p.worm_dry * p.worm_nitrogen), 0.9 * by_worms * above / p.worm_dry)
        down = p.upkeep * response.upkeep(temp) + response.heat_harm(temp, box.species) + response.moist_harm(wet)
        hungry = 1.0 - liked / (liked + p.half_days * p.appetite * worms + 1e-15)
        down = worms * (down + p.crowd_loss * crowd**2 + p.starves * hungry**6)
        d = [0.0] * ROWS
        for i in range(6):
            goes = (eats[i] + rots[i]) / v[i] if v[i] > 0.0 else 0.0
            kept = (cast_of[i] * eats[i] + humus[i] * rots[i]) / v[i] if v[i] > 0.0 else 0.0
            for block, each in ((VOLATILE, v), (CARBON, c), (NITROGEN, n), (ASH, ash), (FRESH, fresh)):
                d[block + i] -= goes * each[i]
            d[VOLATILE + 6] += kept * v[i]
            d[CARBON + 6] += kept * c[i]
            d[NITROGEN + 6] += goes * n[i]
            d[ASH + 6] += goes * ash[i]
            softens = p.softens if i in (0, 1) else p.softens_fibre
            d[RAW + i] = -rate * softens * pace / air * raw[i]
        for i in (6, 7):
            d[VOLATILE + i] -= decays[i] * pace * v[i]
            d[CARBON + i] -= decays[i] * pace * c[i]
        for block, each in ((VOLATILE, v), (CARBON, c), (NITROGEN, n), (ASH, ash)):
            d[block + 6] -= p.settles * pace * each[6]
            d[block + 7] += p.settles * pace * each[6]
        d[NITROGEN + 6] -= p.worm_dry * p.worm_nitrogen * up
        d[VOLATILE] += p.worm_dry * down
        d[CARBON] += p.worm_dry * p.worm_carbon * down
        d[NITROGEN] += p.worm_dry * p.worm_nitrogen * down
        over_n = [max(0.0, n[i] - c[i] / p.ammonia_under) for i in range(4)]
        surplus = sum(n[:4]) - sum(c[:4]) / p.ammonia_under
        if surplus > 0.0:
            for i in range(4):
                d[NITROGEN + i] -= p.ammonia_rate * surplus * over_n[i] / sum(over_n)
        burn = by_worms * above + by_microbes * air - p.worm_dry * up
        dries = plain.dried_kg_day(box.evaporation, box.area_m2, wet, temp, site_c, box.humidity)
        runs = p.runs_out * over if box.drained else 0.0
        d[WORMS] = up - down
        d[WATER] = p.water_made * burn - (1.0 - p.worm_dry) * (up - down) - dries - runs
        stored = (1500.0 * dry + 500.0 * box.area_m2 + 4190.0 * water + 4000.0 * worms) / SECONDS_A_DAY
        loss = p.heat_loss * (2.0 * box.area_m2 + 4.0 * sqrt(box.area_m2) * depth)
        d[RISE] = ((p.heat_mj * 1e6 * burn - p.latent_mj * 1e6 * dries) / SECONDS_A_DAY - loss * y[RISE]) / stored
        return d

    return slope


def solved(slope: Slope, days: float, start: Sequence[float], rtol: float, atol: float) -> list[float]:
    """Where LSODA (scipy.integrate.solve_ivp) takes ``start`` in ``days``."""
    answer = cast(Any, solve_ivp)(slope, (0.0, days), list(start), method="LSODA", rtol=rtol, atol=atol)
    assert answer.success
    return [float(value) for value in answer.y[:, -1]]
