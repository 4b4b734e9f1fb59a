"""A bin believed in as nine courses: the likely one, and eight companions that stand one standard deviation off.

The companions stand at the corners of a cube with a factor in each direction (a two-level design of eight runs), so
that any linear effect of up to seven doubts is caught exactly, with few courses and no random numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log, sqrt
from typing import Final

from wormbin.figures import Band
from wormbin.process.course import Course
from wormbin.process.pools import WATER, WORMS, dry, empty, scale_pool
from wormbin.science.constants import TENTH_SD

COMPANIONS: Final = 8
_A = (1, -1, 1, -1, 1, -1, 1, -1)
_B = (1, 1, -1, -1, 1, 1, -1, -1)
_C = (1, 1, 1, 1, -1, -1, -1, -1)
RATE: Final = _A
DRYING: Final = _B
HERD: Final = _C
INPUT: Final = tuple(a * b * c for a, b, c in zip(_A, _B, _C, strict=True))
DAMP: Final = tuple(a * b for a, b in zip(_A, _B, strict=True))
FEED: Final = tuple(a * c for a, c in zip(_A, _C, strict=True))
MADE: Final = tuple(b * c for b, c in zip(_B, _C, strict=True))

_SMALL: Final = 1e-12
HERD_WITHIN: Final = 2.5


def courses(
    parts: int, rate_sd: float, drying_sd: float, input_sd: float, fibre_sd: float, yield_sd: float
) -> list[Course]:
    """The nine courses of an empty bin; the likely one first. Standard deviations are of natural logs."""
    likely = Course([empty() for _ in range(parts)])
    return [
        likely,
        *(
            Course(
                [empty() for _ in range(parts)],
                rate_sd * RATE[k],
                drying_sd * DRYING[k],
                input_sd * INPUT[k],
                fibre_sd * MADE[k],
                yield_sd * MADE[k],
            )
            for k in range(COMPANIONS)
        ),
    ]


def spread(values: Sequence[float]) -> float:
    """Standard deviation that the eight companions show, about their own mean. ``values`` holds all nine."""
    _, a, b, c, d, e, f, g, h = values
    mean = (a + b + c + d + e + f + g + h) / COMPANIONS
    a, b, c, d = a - mean, b - mean, c - mean, d - mean
    e, f, g, h = e - mean, f - mean, g - mean, h - mean
    return sqrt((a * a + b * b + c * c + d * d + e * e + f * f + g * g + h * h) / COMPANIONS)


def band(values: Sequence[float], extra_sd: float = 0.0) -> Band:
    """The 10/50/90 band of a quantity without bounds, from its nine values."""
    half = TENTH_SD * sqrt(spread(values) ** 2 + extra_sd**2)
    return Band(values[0] - half, values[0], values[0] + half)


def mass_band(values: Sequence[float], small: float = 1e-6, extra_sd: float = 0.0) -> Band:
    """The band of something that cannot fall below zero; ``small`` is an amount that hardly counts, same unit."""
    half = TENTH_SD * sqrt(spread([log(max(value, 0.0) + small) for value in values]) ** 2 + extra_sd**2)
    middle = values[0] + small
    return _around(max(0.0, middle * exp(-half) - small), values[0], middle * exp(half) - small)


def share_band(values: Sequence[float], extra_sd: float = 0.0) -> Band:
    """The band of a fraction between 0 and 1; ``extra_sd`` is a doubt on the logit scale."""
    half = TENTH_SD * sqrt(spread([logit(value) for value in values]) ** 2 + extra_sd**2)
    middle = logit(values[0])
    return _around(from_logit(middle - half), values[0], from_logit(middle + half))


def _around(low: float, middle: float, high: float) -> Band:
    """A band that holds its middle, also where rounding would put it outside."""
    return Band(min(low, middle), middle, max(high, middle))


def logit(share: float) -> float:
    """``log(x / (1 - x))``, kept finite at both ends."""
    share = min(max(share, 1e-6), 1.0 - 1e-6)
    return log(share / (1.0 - share))


def from_logit(value: float) -> float:
    """The share whose logit is ``value``."""
    return 1.0 / (1.0 + exp(-value))


def _widening(values: Sequence[float], column: Sequence[int], variance: float, cap_sd: float) -> float:
    """How far to move companions along ``column`` (times +-1) so that the variance of ``values`` grows by ``variance``.

    Nothing once the spread is at ``cap_sd``: doubt does not grow beyond what it was before any reading.
    """
    mean = sum(values) / COMPANIONS
    lean = total = 0.0
    for value, sign in zip(values, column, strict=True):
        value -= mean
        lean += value * sign
        total += value * value
    lean /= COMPANIONS
    room = cap_sd * cap_sd - total / COMPANIONS
    if room <= 0.0:
        return 0.0
    moved = sqrt(lean * lean + min(variance, room)) - abs(lean)
    return moved if lean >= 0.0 else -moved


def drift(nine: list[Course], days: float, daily: Drift) -> None:
    """Let old evidence fade: widen each doubt by what a bin may have changed in ``days``."""
    others = nine[1:]
    step = _widening([c.log_rate for c in others], RATE, daily.rate**2 * days, daily.rate_cap)
    for course, sign in zip(others, RATE, strict=True):
        course.log_rate += step * sign
    step = _widening([c.log_drying for c in others], DRYING, daily.drying**2 * days, daily.drying_cap)
    for course, sign in zip(others, DRYING, strict=True):
        course.log_drying += step * sign
    for part in range(len(nine[0].parts)):
        _hold_herd([c.parts[part] for c in nine])
        _drift_part([c.parts[part] for c in others], days, daily)


def _hold_herd(parts: list[list[float]]) -> None:
    """Keep companions' herds within a factor of the likely one: a herd that died in one of them says little of ours."""
    likely = parts[0][WORMS]
    if likely > _SMALL:
        for c in parts[1:]:
            c[WORMS] = min(max(c[WORMS], likely / HERD_WITHIN), likely * HERD_WITHIN)


def _drift_part(parts: list[list[float]], days: float, daily: Drift) -> None:
    """Widen the doubts about one compartment's companions."""
    if all(c[WORMS] > _SMALL for c in parts):
        step = _widening([log(c[WORMS]) for c in parts], HERD, daily.worms**2 * days, daily.worms_cap)
        up, down = exp(step), exp(-step)
        for c, sign in zip(parts, HERD, strict=True):
            c[WORMS] *= up if sign > 0 else down
    if all(c[WATER] > _SMALL for c in parts):
        wet = [log(c[WATER] / (dry(c) + _SMALL)) for c in parts]
        step = _widening(wet, DAMP, daily.damp**2 * days, daily.damp_cap)
        up, down = exp(step), exp(-step)
        for c, sign in zip(parts, DAMP, strict=True):
            c[WATER] *= up if sign > 0 else down
    for pool, column, per_day, cap in (
        (0, FEED, daily.feed, daily.feed_cap),
        (1, FEED, daily.feed, daily.feed_cap),
        (5, MADE, daily.castings, daily.castings_cap),
    ):
        if all(c[pool] > _SMALL for c in parts):
            step = _widening([log(c[pool]) for c in parts], column, per_day**2 * days, cap)
            up, down = exp(step), exp(-step)
            for c, sign in zip(parts, column, strict=True):
                scale_pool(c, pool, up if sign > 0 else down)


class Drift:
    """How fast a bin may wander, per square root of a day, and the widest doubt allowed; all of natural logs."""

    __slots__ = (
        "castings", "castings_cap", "damp", "damp_cap", "drying", "drying_cap", "feed", "feed_cap", "rate", "rate_cap",
        "worms", "worms_cap",
    )  # fmt: skip

    def __init__(
        self,
        rate: float = 0.025,
        drying: float = 0.025,
        worms: float = 0.02,
        damp: float = 0.029,
        feed: float = 0.10,
        castings: float = 0.004,
        feed_cap: float = 0.8,
    ) -> None:
        self.rate, self.drying, self.worms, self.damp = rate, drying, worms, damp
        self.feed, self.castings = feed, castings
        self.rate_cap, self.drying_cap, self.worms_cap = 0.6, 0.5, 0.6
        self.damp_cap, self.feed_cap, self.castings_cap = 0.6, feed_cap, 0.4


def values(nine: Sequence[Course], of: Callable[[Course], float]) -> list[float]:
    """A quantity of each of the nine courses, the likely one first."""
    return [of(course) for course in nine]
