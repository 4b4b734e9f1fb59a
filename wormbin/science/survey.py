"""How many worms a few samples speak for: a band for the whole bin, and how many more samples would halve it.

Worms sit in clumps. The spread of equal samples is 50-100 % of their mean, so a plain t-interval of four samples would
reach below nought. Here the logarithm of the mean is given a t-interval, with the spread of the samples weighed
together with the quoted one, which is worth eight samples of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log1p, sqrt

from wormbin.figures import Band
from wormbin.measures.units import WORM_KG
from wormbin.science.paired import t_quantile

QUOTED_SPREAD = 0.75
"""Standard deviation over mean of equal samples: the middle of 50-100 % (Monroy et al. 2006; Daniel et al. 1992)."""
QUOTED_WORTH = 8.0
"""Degrees of freedom that the quoted spread counts for: 50-100 % as an eight-in-ten band is a log-sd of about 0.25,
and that is 1/sqrt(2 df) at df 8. Worked out."""


@dataclass(frozen=True, slots=True)
class Surveyed:
    """What a survey says: live kg/m2 and kg in the bin as 10/50/90 bands.

    ``spread`` is the standard deviation over the mean that was used. ``more_samples`` would halve the width (None when
    the bin has no room for so many, or when nothing was found).
    """

    samples: int
    spread: float
    kg_m2: Band
    bin_kg: Band
    more_samples: int | None


def survey(samples_kg: Sequence[float], sample_m2: float, bin_m2: float) -> Surveyed:
    """Work out a survey of equal-area samples (ISO 23611-1 hand sorting: washed, blotted, weighed).

    ``samples_kg`` live kg found in each sample, noughts included; ``sample_m2`` the area of one; ``bin_m2`` the whole
    surface. The mass is mean / sample area x bin area. Sampling a good share of the bin narrows the band (what has been
    dug up is known). One sample alone gives a band of a factor of about 2.5 each way; that is honest. Raises ValueError
    for no samples, a negative mass, an area not above 0, or samples larger than the bin together.
    """
    count = len(samples_kg)
    if not count or min(samples_kg) < 0:
        raise ValueError("a survey needs at least one sample, each of 0 kg or more")
    if sample_m2 <= 0 or bin_m2 <= 0:
        raise ValueError("the areas must be above zero")
    known = count * sample_m2 / bin_m2
    if known > 1.0 + 1e-9:
        raise ValueError("the samples together are larger than the bin")
    mean = sum(samples_kg) / count
    per_m2 = mean / sample_m2
    if mean <= 0:
        return _none_found(count, sample_m2, bin_m2)
    own = sum((kg - mean) ** 2 for kg in samples_kg) / mean**2
    df = QUOTED_WORTH + count - 1
    spread = sqrt((QUOTED_WORTH * QUOTED_SPREAD**2 + own) / df)
    away = t_quantile(0.9, df) * _log_sd(spread, count, known)
    kg_m2 = Band(per_m2 * exp(-away), per_m2, per_m2 * exp(away))
    more = more_samples_to_halve(spread, count, sample_m2 / bin_m2)
    return Surveyed(count, spread, kg_m2, kg_m2.times(bin_m2), more)


def _log_sd(spread: float, count: int, known: float) -> float:
    """Standard deviation of the logarithm of a mean of ``count`` samples that cover the share ``known`` of the bin."""
    return sqrt(log1p(spread * spread / count) * max(0.0, 1.0 - known))


def _half_width(spread: float, count: int, share_each: float) -> float:
    """Half the width of the 10-90 band of the logarithm."""
    return t_quantile(0.9, QUOTED_WORTH + count - 1) * _log_sd(spread, count, count * share_each)


def more_samples_to_halve(spread: float, count: int, share_each: float) -> int | None:
    """How many further samples, each ``share_each`` of the bin, halve the band; None without room for them."""
    wanted = 0.5 * _half_width(spread, count, share_each)
    room = int(1.0 / share_each + 1e-9)
    low = high = count
    while _half_width(spread, high, share_each) > wanted:
        if high >= room:
            return None
        low, high = high, min(room, 2 * high)
    while high - low > 1:
        middle = (low + high) // 2
        if _half_width(spread, middle, share_each) > wanted:
            low = middle
        else:
            high = middle
    return high - count if high > count else None


def _none_found(count: int, sample_m2: float, bin_m2: float) -> Surveyed:
    """The band when every sample is empty: the densities at which that happens 9, 5 and 1 times in 10.

    Counts are taken as negative binomial with the quoted spread (Daniel et al. 1992 for young worms):
    chance of none in n samples ``(1 + mean/k) ** (-k n)`` with ``k = 1 / spread^2``.
    """
    k = 1.0 / QUOTED_SPREAD**2
    p10, p50, p90 = (k * (chance ** (-1.0 / (k * count)) - 1.0) * WORM_KG / sample_m2 for chance in (0.9, 0.5, 0.1))
    band = Band(p10, p50, p90)
    return Surveyed(count, QUOTED_SPREAD, band, band.times(bin_m2), None)
