"""What one compartment is made of: a flat list of floats for speed, its layout, and what a portion adds to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from wormbin.materials.material import Material, Pace
from wormbin.process.parameters import Parameters
from wormbin.process.views import Mass

QUICK, STEADY, SLOW, AGED, FIBRE, CASTINGS = range(6)

# The layout of a compartment: volatile solids, carbon, nitrogen and ash of the six pools, kg; the fresh mass that the
# first four came in as, kg; what survives of the last feeding's share in each of them, 0-1; water and live worms, kg;
# rise over the site's temperature, K; then what has left or come since the start, kg.
VOLATILE, CARBON, NITROGEN, ASH, FRESH, LEFT = 0, 6, 12, 18, 24, 28
WATER, WORMS, RISE = 32, 33, 34
BURNED, CARBON_OUT, AMMONIA, EVAPORATED, DRAINED, MADE, EATEN, DECAYED = range(35, 43)
RAW, LEFT_RAW, RAW_FIBRE = 43, 45, 47
"""What has not softened yet: of quick and steady feed, volatile kg; of the last feeding's share; of fibre, kg."""
HEADS = 48
"""How many worms there were at the start, where that is known beside their mass, as in a trial; else 0."""
SIZE = 49

POOL_OF = {Pace.QUICK: QUICK, Pace.STEADY: STEADY, Pace.SLOW: SLOW, Pace.AGED: AGED, Pace.FIBRE: FIBRE}

Compartment = list[float]


class Materials(Protocol):
    """Anything that knows materials by key."""

    def get(self, key: str, /) -> Material | None:
        """The material with this key."""


def empty() -> Compartment:
    """A compartment with nothing in it."""
    return [0.0] * SIZE


def add(
    into: Compartment,
    material: Material,
    kg: float,
    moisture: float | None = None,
    *,
    feed: bool,
    dry_factor: float = 1,
) -> None:
    """Put ``kg`` fresh of a material in. ``moisture`` stands in for the material's; ``dry_factor`` scales the dry part.

    With ``feed`` its fresh mass counts as feed brought in (fibre never does).
    """
    wet = material.moisture if moisture is None else moisture
    dry = kg * (1.0 - wet) * dry_factor
    pool = POOL_OF[material.pace]
    into[VOLATILE + pool] += dry * (1.0 - material.ash)
    into[CARBON + pool] += dry * material.carbon
    into[NITROGEN + pool] += dry * material.nitrogen
    into[ASH + pool] += dry * material.ash
    into[WATER] += kg * wet
    if pool <= STEADY:
        into[RAW + pool] += dry * (1.0 - material.ash)
    elif pool == FIBRE:
        into[RAW_FIBRE] += dry * (1.0 - material.ash)
    if pool < FIBRE and feed:
        into[FRESH + pool] += kg


def add_usual(into: Compartment, one: Sequence[float], kg: float) -> None:
    """Put ``kg`` fresh of a mix in; ``one`` is a kg of it as a compartment."""
    if kg > 0.0:
        for i in (*range(FRESH + 4), WATER, RAW, RAW + 1, RAW_FIBRE):
            into[i] += one[i] * kg


def scale_pool(c: Compartment, pool: int, factor: float) -> None:
    """Multiply a pool's matter by ``factor``: all its elements alike, and the fresh mass it came in as."""
    for start in (VOLATILE, CARBON, NITROGEN, ASH):
        c[start + pool] *= factor
    if pool < FIBRE:
        c[FRESH + pool] *= factor
    if pool <= STEADY:
        c[RAW + pool] *= factor
    elif pool == FIBRE:
        c[RAW_FIBRE] *= factor


def volatile(c: Sequence[float]) -> float:
    """Volatile solids of all pools, kg."""
    return c[0] + c[1] + c[2] + c[3] + c[4] + c[5]


def ash(c: Sequence[float]) -> float:
    """Ash of all pools, kg."""
    return c[18] + c[19] + c[20] + c[21] + c[22] + c[23]


def dry(c: Sequence[float]) -> float:
    """Dry matter of all pools, kg; worms are not in it."""
    return (
        c[0] + c[1] + c[2] + c[3] + c[4] + c[5] + c[18] + c[19] + c[20] + c[21] + c[22] + c[23]
    )  # Laid out for speed: nothing is asked for as often.


def castings(c: Sequence[float]) -> float:
    """Dry castings, kg."""
    return c[VOLATILE + CASTINGS] + c[ASH + CASTINGS]


def total(c: Sequence[float]) -> float:
    """What a scale would show of the contents: dry matter, water and worms, kg."""
    return dry(c) + c[WATER] + c[WORMS]


def moisture(c: Sequence[float]) -> float:
    """Moisture of the contents, wet basis; 0 of nothing."""
    wet = dry(c) + c[WATER]
    return c[WATER] / wet if wet > 0.0 else 0.0


def waiting_fresh(c: Sequence[float]) -> float:
    """Feed waiting, as the fresh mass it came in as, kg."""
    return c[FRESH + QUICK] + c[FRESH + STEADY] + c[FRESH + AGED]


def holds(c: Sequence[float], p: Parameters) -> float:
    """Water that the pools can hold, kg; what is above it stands at the base or runs out."""
    return (
        p.holds_quick * (c[0] + c[18])
        + p.holds_steady * (c[1] + c[19])
        + p.holds_slow * (c[2] + c[20])
        + p.holds_aged * (c[3] + c[21])
        + p.holds_fibre * (c[4] + c[22])
        + p.holds_castings * (c[5] + c[23])
    )


def handful(c: Sequence[float], p: Parameters) -> float:
    """Moisture of a handful of bedding and castings as a keeper takes it, wet basis: whole feed keeps its own water.

    Water is shared by what each pool can hold; what stands at the base is not in the hand.
    """
    bed = c[4] + c[22] + c[5] + c[23]
    can = p.holds_fibre * (c[4] + c[22]) + p.holds_castings * (c[5] + c[23])
    if bed <= 0.0 or can <= 0.0:
        return moisture(c)
    water = can * min(1.0, c[WATER] / holds(c, p))
    return water / (water + bed)


def saturated(c: Sequence[float], p: Parameters) -> float:
    """Moisture of a handful of bedding and castings that hold all the water they can, wet basis; 1 without any."""
    bed = c[4] + c[22] + c[5] + c[23]
    can = p.holds_fibre * (c[4] + c[22]) + p.holds_castings * (c[5] + c[23])
    return can / (can + bed) if bed > 0.0 else 1.0


def room(c: Sequence[float], p: Parameters) -> float:
    """Room that the contents take when settled, m3, before a ruler has said how loosely this bin lies."""
    return (
        p.bulk_quick * (c[0] + c[18])
        + p.bulk_steady * (c[1] + c[19])
        + p.bulk_slow * (c[2] + c[20])
        + p.bulk_aged * (c[3] + c[21])
        + p.bulk_fibre * (c[4] + c[22])
        + p.bulk_castings * (c[5] + c[23])
    )


def mass(parts: Sequence[Compartment], p: Parameters) -> Mass:
    """Everything that is there, worms included, by element; ``dry`` counts the worms' dry matter."""
    worms = sum(c[WORMS] for c in parts)
    return Mass(
        dry=sum(dry(c) for c in parts) + p.worm_dry * worms,
        carbon=sum(sum(c[6:12]) for c in parts) + p.worm_dry * p.worm_carbon * worms,
        nitrogen=sum(sum(c[12:18]) for c in parts) + p.worm_dry * p.worm_nitrogen * worms,
        ash=sum(ash(c) for c in parts),
        water=sum(c[WATER] for c in parts) + (1.0 - p.worm_dry) * worms,
    )
