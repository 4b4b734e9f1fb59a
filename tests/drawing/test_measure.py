from __future__ import annotations

import pytest

from wormbin.drawing.axes import measure_of, weighed


@pytest.mark.parametrize(
    ("kg", "units", "words"),
    [
        (0.0, "metric", "0 g"),
        (0.00001234, "metric", "under 1 g"),
        (0.0034, "metric", "3 g"),
        (0.57, "metric", "570 g"),
        (1.42, "metric", "1.4 kg"),
        (0.0001, "us", "under 0.1 oz"),
        (0.1, "us", "3.5 oz"),
    ],
)
def test_a_mass_is_told_as_a_kitchen_scale_would(kg: float, units: str, words: str) -> None:
    assert weighed(kg, units) == words


@pytest.mark.parametrize(
    ("value", "unit", "units", "factor"),
    [
        (0.57, "kg", "metric", 1000.0),
        (2.3, "kg", "metric", 1.0),
        (2.3, "kg", "us", 2.204622622),
        (0.1, "kg", "us", 35.27396195),
        (0.18, "m", "metric", 100.0),
        (20.0, "degC", "metric", 1.0),
        (20.0, "degC", "us", 1.8),
        (0.8, "fraction", "metric", 100.0),
        (25.0, "ratio", "metric", 1.0),
    ],
)
def test_a_spread_is_told_in_the_unit_of_its_value(value: float, unit: str, units: str, factor: float) -> None:
    assert measure_of(unit, units).difference(value) == pytest.approx(factor)
