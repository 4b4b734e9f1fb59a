"""Several readings of one thing on one day: their mean, their spread, and which of them stand far off the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import mean, median

FAR_OFF = 3.5
"""Modified z-score past which a value is a likely outlier: NIST/SEMATECH e-Handbook of Statistical Methods 1.3.5.17,
after Iglewicz and Hoaglin (1993)."""
MAD_SD = 0.6745
"""Median absolute deviation of a normal distribution over its standard deviation (same source)."""
LEAST = 3
"""Of two that differ nobody can say which of them it is."""


@dataclass(frozen=True, slots=True)
class Many:
    """Readings put together; ``mean`` and ``spread`` (sample standard deviation) are those of the ones that stand."""

    mean: float
    spread: float
    far_off: tuple[bool, ...]


def together(values: Sequence[float], least_off: float) -> Many:
    """Put readings of one thing together. At least one value, all in one unit.

    One is far off by its modified z-score, and only when it is ``least_off`` or more from the median: readings that
    happen to be alike make no outlier of one that the instrument cannot tell from them. Never half of them or more.
    """
    middle = median(values)
    away = [abs(value - middle) for value in values]
    limit = max(least_off, FAR_OFF * median(away) / MAD_SD)
    far = tuple(len(values) >= LEAST and each > limit + 1e-12 for each in away)
    stand = [value for value, off in zip(values, far, strict=True) if not off]
    average = mean(stand)
    off = sqrt(sum((value - average) ** 2 for value in stand) / (len(stand) - 1)) if len(stand) > 1 else 0.0
    return Many(average, off, far)
