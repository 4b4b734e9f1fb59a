"""Two bins read side by side: the mean of their differences, its interval, and how many weeks more would settle it.

Readings of one bin carry over from week to week (a wet bin stays wet), so that twelve weeks are not twelve independent
looks: they count for ``n (1 - r) / (1 + r)`` of them, r being the carry-over (Zwiers & von Storch 1995, Journal of
Climate 8:336-351). In a term r itself is hardly known, and what is found of it is too low by about ``(1 + 3 r) / n``
(Kendall 1954, Biometrika 41:403-404): that is put right, and the rest is leant on what is ``USUAL``, so that chance is
called a difference at most about one time in twenty. Boxes kept alike lie apart for good, too, by ``apart``: the
interval is the wider for it, and no number of readings makes it narrower than that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, sqrt
from statistics import NormalDist

from wormbin.science.student import t_quantile

USUAL = 0.45
"""The carry-over that is held before anything was read (ours): most of what parts two weeks is the reading itself."""
CARRY_WEEKS = 10.0
"""For how many weeks of readings that counts (ours)."""
MOST_CARRY = 0.9
LEAST_WEEKS = 6
"""Fewer weeks say nothing yet (ours)."""
MOST_WEEKS = 26
"""No longer wait is promised: in half a year boxes kept alike have drifted apart for reasons of their own (ours)."""
ALIKE = 0.25
"""How far boxes kept alike lie apart for good (standard deviation), of the least difference worth telling (ours; in
the made-up bins of ``tests/benchmarks/comparing`` 0.2 to 0.4)."""
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
        return _half(within, self.counts, self.spread, self.apart)

    def interval(self, within: float = WITHIN) -> tuple[float, float]:
        """The lowest and the highest difference that the readings leave open."""
        half = self.half(within)
        return self.mean - half, self.mean + half

    def weeks_more(self, least: float) -> int | None:
        """Weeks more until a difference of ``least`` (> 0) would be seen: 0 for enough, None beyond ``MOST_WEEKS``."""
        for weeks in range(max(self.weeks, LEAST_WEEKS), MOST_WEEKS + 1):
            counts = _counts(weeks, self.carry)
            sure = t_quantile(FOUND, counts - 1.0) * self.spread / sqrt(counts)
            if _half(WITHIN, counts, self.spread, self.apart) + sure <= least:
                return weeks - self.weeks
        return None


def _half(within: float, counts: float, spread: float, apart: float) -> float:
    share = 0.5 + within / 2
    return hypot(t_quantile(share, counts - 1.0) * spread / sqrt(counts), NormalDist().inv_cdf(share) * apart)


def _counts(weeks: int, carry: float) -> float:
    return max(2.0, weeks * (1.0 - carry) / (1.0 + carry))


def paired(differences: Mapping[int, float], apart: float = 0.0) -> Paired | None:
    """What the differences of the weeks (by the week's number) say together; None for fewer than two weeks.

    ``apart`` is how far boxes kept alike lie apart by chance, in the same unit.
    """
    n = len(differences)
    if n < 2:
        return None
    mean = sum(differences.values()) / n
    off = {week: value - mean for week, value in differences.items()}
    square = sum(each * each for each in off.values()) / n
    carry = USUAL
    both = [off[week] * off[week + 1] for week in off if week + 1 in off]
    if n > 4 and both and square > 0.0:
        found = (sum(both) / len(both) / square + 1.0 / n) / (1.0 - 3.0 / n)
        carry = (n * found + CARRY_WEEKS * USUAL) / (n + CARRY_WEEKS)
    carry = min(max(carry, 0.0), MOST_CARRY)
    # Weeks that go together lie too near to their own mean: the share of the spread that is missing is put back.
    missing = (n / _counts(n, carry) - 1.0) / (n - 1.0)
    spread = sqrt(square * n / (n - 1.0) / max(1.0 - missing, 0.2))
    return Paired(mean, n, spread, carry, apart)
