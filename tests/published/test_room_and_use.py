"""Rules of room, worms, feed, use and heat, each against the figure as printed, in the units it was printed in."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from wormbin.science import rules, stocking, uses
from wormbin.science.rules import HOT_C, HOT_START_CN, ORGANIC, hot_phase_met, manure_wait_days
from wormbin.science.stocking import feed_kg_day, first_worms_kg
from wormbin.science.survey import survey
from wormbin.science.uses import aerated_extract, potting_mix

POUND = 0.45359237


def test_a_pound_of_worms_takes_three_and_a_half_pounds_of_scraps_a_week() -> None:
    # NYC Compost Project 2012.
    assert 7 * feed_kg_day(1.0 * POUND) == pytest.approx(3.5 * POUND)


def test_best_castings_came_at_1_60_kg_a_square_metre() -> None:
    # Ndegwa, Thompson & Das 2000.
    assert first_worms_kg(1.0) == pytest.approx(1.60)


def test_a_tenth_to_a_fifth_of_a_potting_mix_is_castings() -> None:
    # Atiyeh et al. 2000: 10 % and 20 % substitution.
    assert uses.POTTING_SHARE == (0.10, 0.20)
    assert [potting_mix(50.0, share).castings_l for share in uses.POTTING_SHARE] == pytest.approx([5.0, 10.0])


def test_an_extract_is_ten_to_one_for_at_most_a_day() -> None:
    # Ohio State, BioCycle 2007.
    extract = aerated_extract(1.0)
    assert (extract.water_l / extract.castings_l, extract.hours) == (10.0, 24)


def test_hot_composting_is_131_fahrenheit_for_three_days_or_fifteen_and_five_turns() -> None:
    # 7 CFR 205.203: 131 F; 3 days in vessel; 15 days and 5 turns in a windrow; C:N 25:1 to 40:1.
    assert pytest.approx((131 - 32) / 1.8) == HOT_C
    fahrenheit = [(reading - 32) / 1.8 for reading in (131, 131, 131)]
    assert hot_phase_met([round(reading, 6) for reading in fahrenheit], turns=0, in_vessel=True)
    assert not hot_phase_met([(130 - 32) / 1.8] * 30, turns=9, in_vessel=True)
    assert HOT_START_CN == (25.0, 40.0)


def test_raw_manure_waits_120_days_under_and_90_above_the_soil() -> None:
    # 7 CFR 205.203.
    assert (manure_wait_days(touches_soil=True), manure_wait_days(touches_soil=False)) == (120, 90)


def test_castings_for_organic_growers_take_twelve_four_four_months_or_sixty_days() -> None:
    # NOSB Compost Task Force 2002.
    months = {way: days / (365 / 12) for way, days in ORGANIC.least_days.items()}
    assert months == pytest.approx(
        {"outdoor windrow": 12, "indoor container": 4, "wedge": 4, "continuous flow": 1.97}, abs=0.05
    )
    assert (ORGANIC.layer_days, ORGANIC.moisture) == ((1, 3), (0.70, 0.90))


@pytest.mark.parametrize("spread", [0.5, 1.0])
def test_four_clumped_samples_leave_a_factor_of_one_and_a_half_or_so(spread: float) -> None:
    # Spread of 50-100 % of the mean (Monroy et al. 2006; Daniel et al. 1992): plain standard error at n = 4 is 25-50 %,
    # so 8 times in 10 within about 1.28 of those: a factor of 1.4 to 1.9. Samples made to have just that spread.
    step = 0.02 * spread * (3 / 4) ** 0.5
    done = survey([0.02 - step, 0.02 - step, 0.02 + step, 0.02 + step], 0.0225, 10.0)
    assert 1.4 < done.bin_kg.p90 / done.bin_kg.p50 < 1.9
    assert done.bin_kg.p10 > 0


@pytest.mark.parametrize(
    ("room", "name", "value", "check"),
    [
        (stocking, "START_KG_M2", 1.55, test_best_castings_came_at_1_60_kg_a_square_metre),
        (uses, "EXTRACT_WATER_PARTS", 10.4, test_an_extract_is_ten_to_one_for_at_most_a_day),
        (rules, "HOT_C", 56.5, test_hot_composting_is_131_fahrenheit_for_three_days_or_fifteen_and_five_turns),
        (rules, "MANURE_DAYS_OFF_SOIL", 93, test_raw_manure_waits_120_days_under_and_90_above_the_soil),
    ],
)  # fmt: skip
def test_a_figure_a_few_percent_off_would_be_noticed(
    monkeypatch: pytest.MonkeyPatch, room: object, name: str, value: object, check: Callable[[], None]
) -> None:
    monkeypatch.setattr(room, name, value)
    with pytest.raises(AssertionError):
        check()
