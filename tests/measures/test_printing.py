"""Measures are printed to what a keeper can weigh or see, and can be read back to within their rounding."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given, strategies as st

from wormbin.measures import area, length, mass, parse_amount, percent, temperature, told, volume
from wormbin.measures.printing import figure

PRINTED = [
    (mass(0.12), "120 g"),
    (mass(1.4), "1.4 kg"),
    (mass(0.9996), "1 kg"),
    (mass(0.347), "350 g"),
    (mass(0.347, digits=3), "347 g"),
    (mass(0.0042), "4.2 g"),
    (mass(12.35), "12 kg"),
    (mass(0.0), "0 g"),
    (mass(0.12, "us"), "4.2 oz"),
    (mass(0.4535, "us"), "1 lb"),
    (mass(1.4, "us"), "3.1 lb"),
    (mass(-0.2), "-200 g"),
    (volume(0.25), "250 mL"),
    (volume(3.5), "3.5 L"),
    (volume(0.2366, "us"), "1 cup"),
    (volume(0.3549, "us"), "1.5 cups"),
    (volume(2.0, "us"), "2.1 qt"),
    (volume(18.9, "us"), "5 gal"),
    (length(0.18), "18 cm"),
    (length(1.2), "1.2 m"),
    (length(0.18, "us"), "7.1 in"),
    (length(1.2, "us"), "3.9 ft"),
    (area(0.0225, digits=3), "225 cm2"),
    (area(0.24), "0.24 m2"),
    (area(0.24, "us"), "2.6 ft2"),
    (temperature(21.3), "21 °C"),
    (temperature(21.1, "us"), "70 °F"),
    (temperature(-0.2), "0 °C"),
    (temperature(21.34, places=1), "21.3 °C"),
    (percent(0.824), "82%"),
    (percent(0.0), "0%"),
    (percent(0.001), "under 1%"),
    (percent(0.999), "over 99%"),
    (percent(1.0), "100%"),
    (percent(0.8245, places=1), "82.5%"),
    (figure(6.75), "6.8"),
    (figure(52.5), "53"),
    (mass(math.nan), "unknown"),
    (temperature(math.inf), "unknown"),
    (percent(math.nan), "unknown"),
]


@pytest.mark.parametrize(("printed", "expected"), PRINTED)
def test_measures_are_printed_as_a_keeper_would_say_them(printed: str, expected: str) -> None:
    assert printed == expected


@pytest.mark.parametrize("printer", [mass, volume, length, area])
@pytest.mark.parametrize("units", ["metric", "us"])
@given(si=st.floats(min_value=1e-4, max_value=900))
def test_what_is_printed_is_read_back_within_its_rounding(printer: Callable[..., str], units: str, si: float) -> None:
    printed = printer(si, units)
    assert parse_amount(printed).si == pytest.approx(si, rel=0.051)
    assert "e" not in printed.split(" ")[0]


@given(celsius=st.floats(-40, 60))
def test_a_printed_temperature_is_read_back_within_half_a_degree(celsius: float) -> None:
    assert parse_amount(temperature(celsius)).celsius() == pytest.approx(celsius, abs=0.51)
    assert parse_amount(temperature(celsius, "us")).celsius() == pytest.approx(celsius, abs=0.29)


@given(value=st.floats(min_value=-1e9, max_value=1e9), digits=st.integers(1, 6))
def test_a_figure_never_strays_by_more_than_half_its_last_digit(value: float, digits: int) -> None:
    shown = float(figure(value, digits))
    assert abs(shown - value) <= abs(value) * 0.51 * 10.0 ** (1 - digits) + 1e-12


@pytest.mark.parametrize(("kg", "words"), [(5.8e-10, "0 g"), (-3e-7, "0 g"), (2e-6, "0.002 g"), (0.0005, "0.5 g")])
def test_less_than_a_milligram_is_nothing(kg: float, words: str) -> None:
    assert mass(kg) == words


@pytest.mark.parametrize(
    ("text", "us"),
    [
        ("layers of 2.5-4 cm at most (AG-473-18)", "layers of 1-1.5 in at most (AG-473-18)"),
        ("4 samples of 15 x 15 cm", "4 samples of 6 x 6 in"),
        ("share any lift over 20 kg; children do not", "share any lift over 45 lb; children do not"),
        ("start with 1.6-2.5 kg/m2", "start with 0.33-0.51 lb/ft2"),
        ("limits 4-30 C, 35 C is lethal", "limits 39-86 °F, 95 °F is lethal"),
        ("screen it at 3-6 mm", "screen it at 0.125-0.25 in"),
        ("C:N 25 to 30 and 12 oz, in 3 goes", "C:N 25 to 30 and 12 oz, in 3 goes"),
        ("samples of 225 cm2", "samples of 225 cm2"),
        ("7 CFR 205.203 and 3 C:N", "7 CFR 205.203 and 3 C:N"),
    ],
)
def test_fixed_texts_are_told_in_us_measures_and_left_alone_in_metric(text: str, us: str) -> None:
    assert told(text, "us") == us
    assert told(text, "metric") == text
    assert told(told(text, "us"), "us") == us
