from __future__ import annotations

import pytest
from hypothesis import given, strategies as st
from scipy.stats import norm

from wormbin.advice.limits import Edge, Limit, chance_beyond, chance_over, level_of
from wormbin.figures import Band, Level

HIGH = Limit("x", "", True, Edge(10.0, 8.0), Edge(20.0, 18.0), "ours")
LOW = Limit("x", "", False, Edge(10.0, 12.0), Edge(5.0, 6.0), "ours")


def walked(values: list[float | Band | None], limit: Limit = HIGH) -> Level:
    bands = [Band.exactly(value) if isinstance(value, float) else value for value in values]
    return level_of(bands, lambda band: band, limit)


def test_a_figure_enters_at_the_edge_and_leaves_only_below_the_lower_one() -> None:
    assert walked([7.0, 9.9]) is Level.STEADY
    assert walked([7.0, 10.0]) is Level.WATCH
    assert walked([7.0, 10.0, 9.0, 8.1]) is Level.WATCH
    assert walked([7.0, 10.0, 9.0, 7.9]) is Level.STEADY
    assert walked([7.0, 10.0, 7.9, 9.0]) is Level.STEADY


def test_a_figure_that_swings_about_the_edge_does_not_flap() -> None:
    days: list[float | Band | None] = [5.0]
    levels = []
    for value in [9.9, 10.1] * 10:
        days.append(value)
        levels.append(walked(days))
    assert levels == [Level.STEADY] + [Level.WATCH] * 19


def test_act_has_a_latch_of_its_own_and_falls_back_to_watch() -> None:
    assert walked([20.0, 19.0]) is Level.ACT
    assert walked([20.0, 17.0]) is Level.WATCH
    assert walked([20.0, 17.0, 19.0]) is Level.WATCH


def test_a_limit_on_the_low_side_works_the_other_way_round() -> None:
    assert walked([13.0, 10.5], LOW) is Level.STEADY
    assert walked([13.0, 10.0, 11.0], LOW) is Level.WATCH
    assert walked([13.0, 5.0], LOW) is Level.ACT
    assert walked([13.0, 5.0, 12.5], LOW) is Level.STEADY


def test_a_band_that_is_only_wide_alarms_nobody() -> None:
    assert walked([Band(4.0, 8.0, 40.0)]) is Level.STEADY
    assert walked([Band(4.0, 10.0, 40.0)]) is Level.WATCH


def test_a_day_without_a_figure_is_calm() -> None:
    assert walked([]) is Level.STEADY
    assert walked([25.0, None, 9.0]) is Level.STEADY


def test_chance_is_that_of_the_normal_curve_its_band_stands_for() -> None:
    sd = 2.0
    band = Band(10 - 1.2815515655446004 * sd, 10.0, 10 + 1.2815515655446004 * sd)
    for value in (4.0, 8.5, 10.0, 11.0, 15.0):
        assert chance_over(band, value) == pytest.approx(norm.sf(value, 10.0, sd), abs=1e-9)
        assert chance_beyond(band, value, above=False) == pytest.approx(norm.cdf(value, 10.0, sd), abs=1e-9)


def test_a_known_figure_is_past_its_limit_or_not() -> None:
    assert chance_over(Band.exactly(5.0), 5.0) == 1.0
    assert chance_over(Band.exactly(5.0), 5.1) == 0.0
    assert chance_beyond(Band.exactly(5.0), 5.0, above=False) == 1.0


@given(st.lists(st.floats(0, 40), min_size=1, max_size=30), st.floats(0, 20))
def test_the_level_never_falls_when_every_day_is_worse(values: list[float], more: float) -> None:
    lower = walked([float(value) for value in values])
    higher = walked([value + more for value in values])
    assert higher.rank >= lower.rank


@given(st.lists(st.floats(0, 40), min_size=1, max_size=30))
def test_walking_backwards_finds_what_walking_forwards_does(values: list[float]) -> None:
    watch = act = False
    for value in values:
        watch = value >= 10.0 or (watch and value >= 8.0)
        act = value >= 20.0 or (act and value >= 18.0)
    expected = Level.ACT if act else Level.WATCH if watch else Level.STEADY
    assert walked([float(value) for value in values]) is expected
