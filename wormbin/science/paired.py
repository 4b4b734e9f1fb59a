"""Readings held against each other: several of one thing on one day, pairs of two bins, and Student's t for both."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, hypot, lgamma, log, log1p, pi, sqrt
from statistics import NormalDist, mean, median

_TINY = 1e-300


def t_quantile(p: float, df: float) -> float:
    """The value that Student's t with ``df`` degrees of freedom (> 0, need not be whole) stays below with chance ``p``.

    Good to 1e-9 of the value for df from 0.5 to 100,000 and p from 1e-9 to 1 - 1e-9. Raises ValueError outside
    0 < p < 1 or df > 0.
    """
    if not 0 < p < 1 or not df > 0:
        raise ValueError("p must lie between 0 and 1, and df above 0")
    if p == 0.5:
        return 0.0
    return _above(1.0 - p, df) if p > 0.5 else -_above(p, df)


def _above(p: float, df: float) -> float:
    """The t > 0 that is passed with chance ``p`` < 1/2: Newton on log t, kept inside a bracket."""
    low, high = -30.0, 0.0
    while _tail(exp(high), df) > p:
        low, high = high, high + 2.0
    at = 0.5 * (low + high)
    for _ in range(200):
        t = exp(at)
        off = _tail(t, df) - p
        if off > 0:
            low = at
        else:
            high = at
        slope = -t * _density(t, df)
        nearer = at - off / slope if slope < 0 else low
        if not low < nearer < high:
            nearer = 0.5 * (low + high)
        if abs(nearer - at) < 1e-14 * max(1.0, abs(at)):
            return exp(nearer)
        at = nearer
    return exp(at)


def _density(t: float, df: float) -> float:
    """Student's t density at ``t``."""
    log_front = lgamma(0.5 * (df + 1.0)) - lgamma(0.5 * df) - 0.5 * log(df * pi)
    return exp(log_front - 0.5 * (df + 1.0) * log1p(t * t / df))


def _tail(t: float, df: float) -> float:
    """Chance above ``t`` > 0: half the incomplete beta function at df / (df + t^2)."""
    square = t * t
    if square < df:
        return 0.5 * (1.0 - _beta(0.5, 0.5 * df, square / (df + square)))
    return 0.5 * _beta(0.5 * df, 0.5, df / (df + square))


def _beta(a: float, b: float, x: float) -> float:
    """Regularised incomplete beta function I_x(a, b) by its continued fraction, turned round where that is quicker."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _fraction(a, b, x) / a
    return 1.0 - front * _fraction(b, a, 1.0 - x) / b


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction of the incomplete beta function, by Lentz's method."""
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d if abs(d) > _TINY else _TINY)
    total = d
    for m in range(1, 400 + int(5 * sqrt(max(a, b)))):
        even = m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0))
        for step in (even, odd):
            d = 1.0 + step * d
            d = 1.0 / (d if abs(d) > _TINY else _TINY)
            c = 1.0 + step / c
            c = c if abs(c) > _TINY else _TINY
            total *= c * d
        if abs(c * d - 1.0) < 1e-16:
            break
    return total


USUAL = 0.2
"""The carry-over that is held before anything was read (ours): most of what parts two weeks is the reading itself. In
the made-up bins of ``tests/benchmarks/comparing`` weeks carry over by 0 to 0.15, those of the scale by 0.7."""
CARRY_WEEKS = 10.0
"""For how many weeks of readings that counts (ours)."""
MOST_CARRY = 0.9
LEAST_WEEKS = 6
"""Fewer weeks say nothing yet (ours)."""
MOST_WEEKS = 26
"""No longer wait is promised: in half a year boxes kept alike have drifted apart for reasons of their own (ours)."""
WITHIN, WITHIN_EARLY = 0.95, 0.999
"""How sure an interval is: at the planned end, and at a look before it. Who looks every week and stops at the first
difference would else be fooled far more than one time in twenty (Haybittle 1971; Peto et al. 1976)."""
FOUND = 0.85
"""The chance of seeing a difference that is there, for which the weeks to come are reckoned (ours)."""


@dataclass(frozen=True, slots=True)
class Paired:
    """The mean difference of two bins over ``weeks`` weeks of readings, in the unit of the readings.

    ``spread`` is how far the weeks lie apart (standard deviation), ``carry`` the carry-over from week to week, 0 to
    ``MOST_CARRY``; ``apart`` is how far boxes kept alike lie apart by chance (standard deviation).
    """

    mean: float
    weeks: int
    spread: float
    carry: float
    apart: float = 0.0

    @property
    def counts(self) -> float:
        """For how many independent weeks they count."""
        return _counts(self.weeks, self.carry)

    def half(self, within: float = WITHIN) -> float:
        """Half the width of the interval that holds the true difference with the chance ``within``."""
        return self._half(within, self.weeks)

    def interval(self, within: float = WITHIN) -> tuple[float, float]:
        """The lowest and the highest difference that the readings leave open."""
        half = self.half(within)
        return self.mean - half, self.mean + half

    def aim(self, least: float) -> float:
        """The difference that more weeks are to show: the one so far, or ``least`` where that is less."""
        return max(least, abs(self.mean))

    def weeks_more(self, least: float) -> int | None:
        """Weeks more until a difference of ``least`` (> 0) would be seen: 0 for enough, None beyond ``MOST_WEEKS``."""
        for weeks in range(max(self.weeks, LEAST_WEEKS), MOST_WEEKS + 1):
            if self._half(WITHIN, weeks) + self._off(FOUND, weeks) <= least:
                return weeks - self.weeks
        return None

    def _half(self, within: float, weeks: int) -> float:
        share = 0.5 + within / 2
        return hypot(self._off(share, weeks), NormalDist().inv_cdf(share) * self.apart)

    def _off(self, share: float, weeks: int) -> float:
        """How far off the mean of so many weeks stays with the chance ``share``."""
        # What they tell of their spread goes by r squared (Bayley & Hammersley 1946, J R Stat Soc Suppl 8:184-197).
        freedom = max(1.0, weeks * (1.0 - self.carry**2) / (1.0 + self.carry**2) - 1.0)
        return t_quantile(share, freedom) * self.spread / sqrt(_counts(weeks, self.carry))


def _counts(weeks: int, carry: float) -> float:
    return max(2.0, weeks * (1.0 - carry) / (1.0 + carry))


def paired(differences: Mapping[int, float], apart: float = 0.0, usual: float = USUAL) -> Paired | None:
    """What the differences of the weeks (by the week's number) say together; None for fewer than two weeks.

    Readings carry over from week to week by r, so that n weeks count for ``n (1 - r) / (1 + r)`` (Zwiers & von Storch
    1995, Journal of Climate 8:336-351). What is found of r in a term is too low by about ``(1 + 3 r) / n`` (Kendall
    1954, Biometrika 41:403-404): that is put right, and it is leant on ``usual``. ``apart`` is how far boxes kept alike
    lie apart for good, in the same unit: no number of readings makes the interval narrower than that.
    """
    n = len(differences)
    if n < 2:
        return None
    mean = sum(differences.values()) / n
    off = {week: value - mean for week, value in differences.items()}
    square = sum(each * each for each in off.values()) / n
    carry = usual
    both = [off[week] * off[week + 1] for week in off if week + 1 in off]
    if n > 4 and both and square > 0.0:
        found = (sum(both) / len(both) / square + 1.0 / n) / (1.0 - 3.0 / n)
        carry = (n * found + CARRY_WEEKS * usual) / (n + CARRY_WEEKS)
    carry = min(max(carry, 0.0), MOST_CARRY)
    # Weeks that go together lie too near to their own mean: the share of the spread that is missing is put back.
    missing = (n / _counts(n, carry) - 1.0) / (n - 1.0)
    spread = sqrt(square * n / (n - 1.0) / max(1.0 - missing, 0.2))
    return Paired(mean, n, spread, carry, apart)


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
