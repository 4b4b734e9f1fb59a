"""Two bins read side by side, held to scipy's paired t-test, and to runs of chance with a known carry-over."""

from __future__ import annotations

from random import Random

import pytest
from scipy import stats

from wormbin.science.paired import LEAST_WEEKS, USUAL, WITHIN_EARLY, Paired, paired

DIFFERENCES = (2.1, -0.4, 1.7, 0.9, 2.6, -1.1, 1.3, 0.2, 1.9, -0.6, 2.2, 0.8)


def test_weeks_that_do_not_go_along_are_students_paired_t_test() -> None:
    """With no carry-over the interval is scipy's own (``ttest_1samp`` of the differences)."""
    found = paired(dict(enumerate(DIFFERENCES)))
    assert found is not None
    alone = Paired(found.mean, found.weeks, stats.tstd(DIFFERENCES), 0.0)
    for within in (0.95, WITHIN_EARLY):
        theirs = stats.ttest_1samp(DIFFERENCES, 0.0).confidence_interval(within)
        assert alone.interval(within) == pytest.approx((theirs.low, theirs.high), rel=1e-9)


def test_a_wider_carry_over_counts_for_fewer_weeks() -> None:
    """n (1 - r) / (1 + r), Zwiers & von Storch 1995: twelve weeks of r = 0.5 count for four."""
    assert Paired(1.0, 12, 1.0, 0.5).counts == pytest.approx(4.0)
    assert Paired(1.0, 12, 1.0, 0.0).counts == 12.0
    assert Paired(1.0, 3, 1.0, 0.9).counts == 2.0


def test_the_spread_of_weeks_that_carry_over_is_known_better_than_their_mean() -> None:
    """Freedom n (1 - r^2) / (1 + r^2) - 1, Bayley & Hammersley 1946: 6.2 for twelve weeks of r = 0.5, not 3."""
    assert Paired(1.0, 12, 1.0, 0.5).half() == pytest.approx(stats.t.ppf(0.975, 6.2) / 2.0)
    assert Paired(1.0, 6, 1.0, 0.9).half() == pytest.approx(stats.t.ppf(0.975, 1.0) / 2.0**0.5), "never under one"


def test_more_weeks_are_to_show_the_difference_so_far_where_that_is_the_larger() -> None:
    assert Paired(-0.5, 8, 1.0, 0.0).aim(0.3) == 0.5
    assert Paired(-0.2, 8, 1.0, 0.0).aim(0.3) == 0.3


def test_one_week_says_nothing() -> None:
    assert paired({}) is None
    assert paired({0: 1.0}) is None


def test_weeks_more_are_those_of_scipys_power() -> None:
    """The weeks after which a difference is seen with the chance asked for, by the noncentral t distribution."""
    now = Paired(0.0, LEAST_WEEKS, 1.0, 0.0)
    more = now.weeks_more(0.8)
    assert more is not None

    def seen(weeks: int) -> float:
        edge = stats.t.ppf(0.975, weeks - 1)
        return float(stats.nct.sf(edge, weeks - 1, 0.8 * weeks**0.5))

    assert seen(LEAST_WEEKS + more) == pytest.approx(0.85, abs=0.03)
    assert now.weeks_more(5.0) == 0
    assert now.weeks_more(0.01) is None


@pytest.mark.parametrize(("carry", "usual"), [(0.0, USUAL), (0.3, USUAL), (0.6, 0.6)])
def test_chance_is_seldom_called_a_difference(carry: float, usual: float) -> None:
    """Of 400 made-up terms of fourteen weeks without a difference at most 8 in 100 leave nought out."""
    rng = Random(f"paired/{carry}")
    fooled = 0
    for _ in range(400):
        week, weeks = rng.gauss(0.0, 1.0), []
        for _ in range(14):
            week = carry * week + (1 - carry**2) ** 0.5 * rng.gauss(0.0, 1.0)
            weeks.append(week)
        found = paired(dict(enumerate(weeks)), usual=usual)
        assert found is not None
        low, high = found.interval()
        fooled += low > 0 or high < 0
    assert fooled <= 0.08 * 400


def test_a_missing_week_is_no_neighbour() -> None:
    """Weeks on both sides of a holiday are not taken to follow on one another."""
    together = paired(dict(enumerate((1.0, 1.0, 1.0, -1.0, -1.0, -1.0))))
    apart = paired({0: 1.0, 2: 1.0, 4: 1.0, 6: -1.0, 8: -1.0, 10: -1.0})
    assert together is not None
    assert apart is not None
    assert together.carry > apart.carry == pytest.approx(USUAL)


def test_boxes_kept_alike_lie_apart_however_often_they_are_read() -> None:
    """With endless weeks the interval is that of the chance gap alone; a difference within it is never promised."""
    many = Paired(1.0, 10**6, 1.0, 0.0, apart=0.5)
    assert many.half() == pytest.approx(stats.norm.ppf(0.975) * 0.5, rel=1e-3)
    assert Paired(0.0, LEAST_WEEKS, 0.1, 0.0, apart=0.5).weeks_more(0.9) is None
    assert Paired(0.0, LEAST_WEEKS, 0.1, 0.0, apart=0.5).weeks_more(1.2) == 0
