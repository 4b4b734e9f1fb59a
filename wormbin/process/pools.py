"""What a compartment is made of: rows of one array, a column for each possible course, and what a portion adds to it.

An array is ``(SIZE, ...)``: the first axis is what, all others whose (compartments, members of the ensemble, bins).
Every function here takes such arrays of any shape behind the first axis, and one compartment alone is ``(SIZE,)``.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from wormbin.materials.material import CASTINGS, Material, Pace
from wormbin.process.parameters import Parameters
from wormbin.process.views import Mass

Array = NDArray[np.float64]

QUICK, STEADY, SLOW, AGED, FIBRE, HARD, CASTS, OLD = range(8)
"""Feed by its pace; fibre soft (paper, leaves, straw) and hard (board, wood); castings fresh and old."""
FOODS, POOLS = 6, 8
"""The first six are worked; the last two are what they become."""

# The rows. What is left of the last feeding in each of the four feeds, 0-1; of each pool the volatile solids, carbon,
# nitrogen, ash and the fresh mass that it came in as, kg; then, in the order of the first ten rows, what of them has
# not softened yet; water and live worms, kg; rise over the site's temperature, K; how many worms there were at the
# start, where that is known beside their mass, as in a trial; the flows of the last step (see ``flows``); and what
# has left or come since the start, kg.
LEFT, VOLATILE, CARBON, NITROGEN, ASH, FRESH = 0, 4, 12, 20, 28, 36
RAW_LEFT, RAW = 44, 48
WATER, WORMS, RISE, HEADS = 54, 55, 56, 57
BEFORE = 58
BURNED, CARBON_OUT, AMMONIA, EVAPORATED, DRAINED, MADE, EATEN, DECAYED = range(67, 75)
SIZE = 75
TOLD = BEFORE
"""So many rows from the first say what is there; the rest is how it came."""

POOL_OF = {Pace.QUICK: QUICK, Pace.STEADY: STEADY, Pace.SLOW: SLOW, Pace.AGED: AGED, Pace.FIBRE: FIBRE}
SOFT_FIBRE = frozenset((
    "newspaper", "office-paper", "mixed-paper", "paper-bags", "paper-towels", "coffee-filters", "dry-leaves", "straw",
    "wheat-straw", "oat-straw", "corn-husks",
))  # fmt: skip
"""Materials whose fibre is soft; all other is hard: board, wood, coir, and what nobody knows."""
FEEDS = (QUICK, STEADY, SLOW, AGED)
SOFTENED = (QUICK, STEADY, FIBRE, HARD)
"""Pools that go in raw and soften before they are eaten."""


class Materials(Protocol):
    """Anything that knows materials by key."""

    def get(self, key: str, /) -> Material | None:
        """The material with this key."""


def empty(*shape: int) -> Array:
    """Compartments with nothing in them."""
    return np.zeros((SIZE, *shape))


def matter(c: Array) -> Array:
    """A view of all pools: ``[volatile, carbon, nitrogen, ash, fresh][pool]``."""
    return c[VOLATILE : FRESH + POOLS].reshape(5, POOLS, *c.shape[1:])


def brings(material: Material, moisture: float | None = None, *, feed: bool) -> Array:
    """What one fresh kg of a material adds to a compartment. ``moisture`` stands in for the material's.

    With ``feed`` its fresh mass counts as feed brought in (fibre never does).
    """
    wet = material.moisture if moisture is None else moisture
    dry, one, pool = 1.0 - wet, empty(), POOL_OF[material.pace]
    if pool == FIBRE and material.key not in SOFT_FIBRE:
        pool = HARD
    elif material.key == CASTINGS:
        pool = OLD
    one[VOLATILE + pool] = dry * (1.0 - material.ash)
    one[CARBON + pool] = dry * material.carbon
    one[NITROGEN + pool] = dry * material.nitrogen
    one[ASH + pool] = dry * material.ash
    one[WATER] = wet
    if pool in SOFTENED:
        one[RAW + pool] = one[VOLATILE + pool]
    if pool in FEEDS and feed:
        one[FRESH + pool] = 1.0
    return one


def scale_pools(c: Array, factors: Array | float, first: int = 0, last: int = POOLS) -> None:
    """Multiply pools ``first`` to before ``last`` by ``factors``: all their elements, fresh mass and raw part alike.

    ``factors`` is one for all of them, or has a row a pool.
    """
    matter(c)[:, first:last] *= factors
    foods = min(last, FOODS) - first
    if foods > 0:
        c[RAW + first : RAW + first + foods] *= np.asarray(factors)[:foods] if np.ndim(factors) == c.ndim else factors


def ash(c: Array) -> Any:
    """Ash of all pools, kg."""
    return c[ASH : ASH + POOLS].sum(axis=0)


def volatile(c: Array) -> Any:
    """Volatile solids of all pools, kg."""
    return c[VOLATILE : VOLATILE + POOLS].sum(axis=0)


def dry(c: Array) -> Any:
    """Dry matter of all pools, kg; worms are not in it."""
    return volatile(c) + ash(c)


def castings(c: Array) -> Any:
    """Dry castings, kg."""
    return c[VOLATILE + CASTS] + c[VOLATILE + OLD] + c[ASH + CASTS] + c[ASH + OLD]


def total(c: Array) -> Any:
    """What a scale would show of the contents: dry matter, water and worms, kg."""
    return dry(c) + c[WATER] + c[WORMS]


def moisture(c: Array) -> Any:
    """Moisture of the contents, wet basis; 0 of nothing."""
    return c[WATER] / (dry(c) + c[WATER] + 1e-300)


def waiting_fresh(c: Array) -> Any:
    """Feed waiting, as the fresh mass it came in as, kg."""
    return c[FRESH + QUICK] + c[FRESH + STEADY] + c[FRESH + AGED]


_NAMES = ("quick", "steady", "slow", "aged", "fibre", "hard", "casts", "castings")
_LIKE = {"hard": "fibre", "casts": "castings"}


@lru_cache(maxsize=64)
def of_pools(p: Parameters, what: str) -> Array:
    """A parameter that each of the eight pools has (``decay``, ``holds``, ``bulk``), in their order; not to be changed.

    Hard fibre is as soft one, and fresh castings as old ones, where there is no value of their own.
    """
    return np.array([getattr(p, f"{what}_{name}", getattr(p, f"{what}_{_LIKE.get(name, name)}")) for name in _NAMES])


@lru_cache(maxsize=64)
def of_foods(p: Parameters, what: str) -> Array:
    """A parameter that each of the six foods has (``like``, ``cast``, ``humus``), in their order; not to be changed."""
    return np.array(
        [getattr(p, f"{what}_{name}", getattr(p, f"{what}_{_LIKE.get(name, name)}")) for name in _NAMES[:FOODS]]
    )


def roomy(c: Array) -> Array:
    """Dry matter of each pool that takes room and holds water, kg: grit without anything volatile lies between it."""
    volatile = c[VOLATILE : VOLATILE + POOLS]
    return np.asarray((volatile + c[ASH : ASH + POOLS]) * (volatile > 0.0))


def weighed(c: Array, weights: Array) -> Any:
    """The sum of all pools' dry matter times ``weights``, ``(POOLS, ...)``."""
    return ((c[VOLATILE : VOLATILE + POOLS] + c[ASH : ASH + POOLS]) * weights).sum(axis=0)


def _bed(c: Array, weights: Array | float = 1.0) -> Any:
    """Dry matter, kg, of what a handful of bedding and castings is taken from, times ``weights`` (one a pool of it)."""
    return ((c[VOLATILE + FIBRE : VOLATILE + POOLS] + c[ASH + FIBRE : ASH + POOLS]) * weights).sum(axis=0)


def handful(c: Array, holds: Array) -> Any:
    """Moisture of a handful of bedding and castings as a keeper takes it, wet basis: whole feed keeps its own water.

    Water is shared by what each pool can hold (``holds``, kg a kg dry, ``(POOLS, ...)``); what stands at the base is
    not in the hand.
    """
    there, can = _bed(c), _bed(c, holds[FIBRE:])
    water = can * np.minimum(1.0, c[WATER] / (weighed(c, holds) + 1e-300))
    return np.where(can > 0.0, water / (water + there + 1e-300), moisture(c))


def saturated(c: Array, holds: Array) -> Any:
    """Moisture of a handful of bedding and castings that hold all the water they can, wet basis; 1 without any."""
    there, can = _bed(c), _bed(c, holds[FIBRE:])
    return np.where(there > 0.0, can / (can + there + 1e-300), 1.0)


def mass(parts: Array, p: Parameters) -> Mass:
    """Everything in the compartments ``(SIZE, parts)`` of one course, by element; ``dry`` counts the worms' too."""
    worms, sums = float(parts[WORMS].sum()), matter(parts).sum(axis=(1, 2)).tolist()
    return Mass(
        dry=sums[0] + sums[3] + p.worm_dry * worms,
        carbon=sums[1] + p.worm_dry * p.worm_carbon * worms,
        nitrogen=sums[2] + p.worm_dry * p.worm_nitrogen * worms,
        ash=sums[3],
        water=float(parts[WATER].sum()) + (1.0 - p.worm_dry) * worms,
    )
