"""A bin believed in as 33 courses: the likely one, and 32 companions that stand one standard deviation off.

The companions are a two-level design of 32 runs and 16 columns, the words of odd length over five letters: no two
columns are mixed up, and none with what two others do together. So each cause is told from all others, with few
courses and no random numbers. The likely course is the first along the last axis.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from functools import lru_cache
from typing import Any, Final

import numpy as np

from wormbin.figures import Band
from wormbin.process import flows, pools
from wormbin.process.amounts import AMOUNTS_SD
from wormbin.process.pools import CASTS, LEFT, OLD, QUICK, RAW_LEFT, STEADY, VOLATILE, WATER, WORMS, Array
from wormbin.science.constants import TENTH_SD

COURSES: Final = 33
SMALL: Final = 1e-12
OUTER: Final = 6
"""No more companions than these, a fifth of them, lie beyond an end of a band."""

_letters = np.array([[1.0 if run >> bit & 1 else -1.0 for run in range(COURSES - 1)] for bit in range(5)])
_words = [word for word in range(32) if bin(word).count("1") % 2 == 1]
DESIGN: Final = np.array(
    [
        np.concatenate([[0.0], np.prod([_letters[bit] for bit in range(5) if word >> bit & 1], axis=0)])
        for word in _words
    ]
)
"""``[column][course]``: 0 for the likely one, else 1 or -1. The first columns are those of ``flows``' own factors."""
HERD, DAMP, FEED, MADE, HABIT, IDLING = DESIGN[flows.OWN : flows.OWN + 6]


@dataclass(frozen=True, slots=True)
class Doubts:
    """How little is known before any reading (standard deviations of natural logs), and how fast doubt comes back.

    The first are those of ``flows``' own factors, in their order.
    """

    rate: float = 0.6
    half: float = 0.4
    fibres: float = 0.45
    microbes: float = 0.4
    yields: float = 0.2
    holding: float = 0.12
    drying: float = 0.5
    growth: float = 0.3
    amounts: float = AMOUNTS_SD
    harms: float = 0.7
    worms_weighed: float = 0.25
    worms_counted: float = 0.35
    drift: Drift = field(default_factory=lambda: Drift())

    def own(self) -> Array:
        """Of each course what it holds to be the bin's own, ``(OWN, COURSES)``."""
        sds = [getattr(self, each.name) for each in fields(self)[: flows.OWN]]
        return np.asarray(np.array(sds)[:, None] * DESIGN[: flows.OWN])


@dataclass(frozen=True, slots=True)
class Drift:
    """How fast a bin may wander, per square root of a day, and the widest doubt allowed; all of natural logs."""

    rate: float = 0.025
    drying: float = 0.025
    fibres: float = 0.01
    worms: float = 0.02
    damp: float = 0.029
    feed: float = 0.10
    castings: float = 0.004
    rate_cap: float = 0.6
    drying_cap: float = 0.5
    fibres_cap: float = 0.45
    worms_cap: float = 0.6
    damp_cap: float = 0.6
    feed_cap: float = 0.8
    castings_cap: float = 0.4


USUAL: Final = Drift()
_OWN_ROWS: Final = [flows.RATE, flows.DRYING, flows.FIBRES]


def spread(values: Array) -> Any:
    """Standard deviation that the companions show, about their own mean, along the last axis."""
    off = values[..., 1:] - np.add.reduce(values[..., 1:], axis=-1, keepdims=True) / (COURSES - 1)
    return np.sqrt(np.einsum("...i,...i->...", off, off) / (COURSES - 1))


def drift(c: Array, own: Array, days: float, daily: Drift) -> None:
    """Let old evidence fade: widen each doubt by what a bin may have changed in ``days``.

    ``c`` is ``(SIZE, parts, COURSES)``, ``own`` ``(OWN, COURSES)``; both are changed in place.
    """
    parts = c.shape[1]
    columns, variance, widest = _wandering(daily, parts)
    rows = np.empty((5, parts, COURSES))
    rows[0], rows[1] = c[WORMS], c[WATER] / (pools.dry(c) + SMALL)
    rows[2:4], rows[4] = c[VOLATILE + QUICK : VOLATILE + STEADY + 1], c[VOLATILE + CASTS] + c[VOLATILE + OLD]
    each = rows.reshape(-1, COURSES)
    moved = _widening(np.concatenate([own[_OWN_ROWS], np.log(each + SMALL)]), columns, variance * days, widest)
    own[_OWN_ROWS] += moved[:3]
    times = np.exp(moved[3:] * (each.min(axis=1) > SMALL)[:, None]).reshape(5, parts, COURSES)
    c[WORMS] *= times[0]
    c[WATER] *= times[1]
    pools.scale_pools(c, times[2:4], QUICK, STEADY + 1)
    pools.scale_pools(c, times[4], CASTS, OLD + 1)


@lru_cache(maxsize=32)
def _wandering(daily: Drift, parts: int) -> tuple[Array, Array, Array]:
    """Of each row that wanders: its column, its variance a day, and the widest variance allowed."""
    columns = np.concatenate([
        DESIGN[_OWN_ROWS], np.repeat(np.stack([HERD, DAMP, FEED, FEED, MADE]), parts, axis=0)
    ])  # fmt: skip
    names = ["rate", "drying", "fibres", *np.repeat(["worms", "damp", "feed", "feed", "castings"], parts)]
    paces, caps = np.array([(getattr(daily, name), getattr(daily, f"{name}_cap")) for name in names]).T
    return columns, paces**2, caps**2


def _widening(values: Array, columns: Array, variance: Array, widest: Array) -> Array:
    """How far each row's companions move along its column so that its variance grows by ``variance``.

    Nothing once it is at ``widest``: doubt does not grow beyond what it was before any reading.
    """
    off = values[:, 1:] - np.add.reduce(values[:, 1:], axis=1, keepdims=True) / (COURSES - 1)
    lean = np.einsum("ij,ij->i", off, columns[:, 1:]) / (COURSES - 1)
    room = np.minimum(variance, widest - np.einsum("ij,ij->i", off, off) / (COURSES - 1))
    moved = np.sqrt(lean * lean + np.maximum(room, 0.0)) - np.abs(lean)
    return np.asarray(np.where(lean > -SMALL, moved, -moved)[:, None] * columns)


def set_left(c: Array, shares: Array) -> None:
    """Put what is left of the last feeding in each pace at ``shares`` (0-1), with its raw part."""
    left = c[LEFT:VOLATILE]
    c[RAW_LEFT : RAW_LEFT + 4] *= np.where(left > 0.0, shares / np.maximum(left, SMALL), 0.0)
    left[...] = shares


# Bands, eight times in ten: of one quantity ``(COURSES,)``, or of many ``(..., COURSES)`` at once, as a list.


def bands(values: Array, extra_sd: Array | float = 0.0, wider: Array | float = 1.0) -> list[Band]:
    """The 10/50/90 bands of a quantity without bounds, ``wider`` times what the courses and ``extra_sd`` make them."""
    low, high = _edges(values, extra_sd, wider)
    return _banded(low, values[..., 0], high)


def mass_bands(
    values: Array, small: Array | float = 1e-6, extra_sd: Array | float = 0.0, wider: Array | float = 1.0
) -> list[Band]:
    """The same of what cannot fall below zero; ``small`` is an amount that hardly counts, same unit."""
    small = np.asarray(small)
    low, high = _edges(np.log(np.maximum(values, 0.0) + small[..., None]), extra_sd, wider)
    return _banded(np.maximum(0.0, np.exp(low) - small), values[..., 0], np.exp(high) - small)


def share_bands(values: Array, extra_sd: Array | float = 0.0, wider: Array | float = 1.0) -> list[Band]:
    """The same of a fraction between 0 and 1; ``extra_sd`` is a doubt on the logit scale."""
    held = np.clip(values, 1e-6, 1.0 - 1e-6)
    low, high = _edges(np.log(held / (1.0 - held)), extra_sd, wider)
    return _banded(1.0 / (1.0 + np.exp(-low)), values[..., 0], 1.0 / (1.0 + np.exp(-high)))


def _edges(values: Array, extra_sd: Array | float, wider: Array | float) -> tuple[Array, Array]:
    """The ends of four fifths about the likely course: of a normal, but never beyond the outermost companion.

    Where more than a fifth of the companions stand beyond such an end, out to those: after a silence some hold that
    nothing was done, and all that is not fed or watered is far off from the rest. ``extra_sd`` goes on top.
    """
    middle, apart = values[..., 0], np.sort(values[..., 1:], axis=-1)
    half, more = TENTH_SD * wider * spread(values), TENTH_SD * wider * np.asarray(extra_sd)
    low = middle - np.maximum(np.minimum(half, middle - apart[..., 0]), middle - apart[..., OUTER])
    high = middle + np.maximum(np.minimum(half, apart[..., -1] - middle), apart[..., -1 - OUTER] - middle)
    return (
        middle - np.hypot(np.maximum(middle - low, 0.0), more), middle + np.hypot(np.maximum(high - middle, 0.0), more)
    )  # fmt: skip


def _banded(low: Array, middle: Array, high: Array) -> list[Band]:
    """Bands that hold their middle, also where rounding would put it outside."""
    low, high = np.minimum(low, middle), np.maximum(high, middle)
    rows = zip(np.ravel(low).tolist(), np.ravel(middle).tolist(), np.ravel(high).tolist(), strict=True)
    return [Band(*row) for row in rows]
