"""Rules of room, worms and feed, each against the figure as printed, in the units it was printed in."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from wormbin.science import practice
from wormbin.science.practice import feed_kg_day, first_worms_kg
from wormbin.science.survey import survey

POUND = 0.45359237


def test_a_pound_of_worms_takes_three_and_a_half_pounds_of_scraps_a_week() -> None:
    # NYC Compost Project 2012.
    assert 7 * feed_kg_day(1.0 * POUND) == pytest.approx(3.5 * POUND)


def test_best_castings_came_at_1_60_kg_a_square_metre() -> None:
    # Ndegwa, Thompson & Das 2000.
    assert first_worms_kg(1.0) == pytest.approx(1.60)


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
        (practice, "START_KG_M2", 1.55, test_best_castings_came_at_1_60_kg_a_square_metre),
    ],
)  # fmt: skip
def test_a_figure_a_few_percent_off_would_be_noticed(
    monkeypatch: pytest.MonkeyPatch, room: object, name: str, value: object, check: Callable[[], None]
) -> None:
    monkeypatch.setattr(room, name, value)
    with pytest.raises(AssertionError):
        check()
