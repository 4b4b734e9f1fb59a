"""Readings of many on one day, against scipy and the rule of the NIST/SEMATECH e-Handbook (1.3.5.17)."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as some
from scipy import stats

from wormbin.science.paired import FAR_OFF, together


def test_the_mean_and_the_spread_of_three_pupils() -> None:
    found = together((0.76, 0.80, 0.78), 0.12)
    assert found.mean == pytest.approx(0.78)
    assert found.spread == pytest.approx(stats.tstd([0.76, 0.80, 0.78]))
    assert not any(found.far_off)


def test_one_that_stands_far_off_leaves_the_rest_as_they_are() -> None:
    assert together((0.76, 0.80, 0.78, 0.79, 0.21), 0.12).far_off == (False, False, False, False, True)
    assert together((0.76, 0.80, 0.78, 0.79, 0.21), 0.12).mean == pytest.approx(0.7825)
    eleven = together((*[0.84] * 11, 0.60), 0.12)
    assert eleven.far_off == (*[False] * 11, True)
    assert eleven.mean == pytest.approx(0.84)
    assert eleven.spread == pytest.approx(0.0)


def test_the_edge_is_where_the_instrument_can_tell_and_the_handbook_says() -> None:
    # All alike but one: only what the instrument can tell from them is far off.
    assert not any(together((*[0.84] * 11, 0.72), 0.12).far_off)
    assert together((*[0.84] * 11, 0.719), 0.12).far_off[-1]
    # Spread out: |x - median| / (MAD / 0.6745) past 3.5; here MAD is 0.04, hence 0.2076.
    spread = (0.70, 0.74, 0.78, 0.82, 0.86)
    for off, wanted in ((0.207, False), (0.208, True)):
        assert together((*spread, 0.78, 0.78 - off), 0.0).far_off[-1] is wanted


def test_two_that_differ_are_both_kept() -> None:
    assert together((0.8, 0.2), 0.12).far_off == (False, False)
    assert together((0.8,), 0.12).spread == 0.0


@given(values=some.lists(some.floats(0.0, 1.0), min_size=3, max_size=30))
def test_what_is_far_off_is_so_by_the_handbook_and_never_half_of_them(values: list[float]) -> None:
    found = together(values, 0.05)
    mad = float(stats.median_abs_deviation(values, scale="normal"))
    for value, far in zip(values, found.far_off, strict=True):
        z = abs(value - float(stats.scoreatpercentile(values, 50)))
        if far:
            assert z > 0.05
            assert mad == 0.0 or z / mad > FAR_OFF * 0.999
    assert sum(found.far_off) <= len(values) / 2
