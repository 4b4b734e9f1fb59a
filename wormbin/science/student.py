"""Student's t: how far to go either side of a mean of few samples. Written out here so that nothing heavy is loaded."""

from __future__ import annotations

from math import exp, lgamma, log, log1p, pi, sqrt

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
