"""Plain numbers are read between their limits, and told when they may mean two things."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from wormbin.measures import parse_number, shown, tidy
from wormbin.measures.numbers import written
from wormbin.problems import RefusedError, UnclearError


@pytest.mark.parametrize(
    ("text", "value"), [("12", 12.0), ("6,5", 6.5), ("6.50", 6.5), ("1 1/2", 1.5), ("0.125", 0.125)]
)
def test_numbers_are_read(text: str, value: float) -> None:
    assert parse_number(text, "pH") == value


@pytest.mark.parametrize("text", ["", "x", "6 g", "-1", "15", "1e2", "NaN", "6..5", "٦", "1_0", "6.5.", "½½"])
def test_what_is_no_number_within_the_limits_is_refused(text: str) -> None:
    with pytest.raises(RefusedError) as refusal:
        parse_number(text, "pH", low=0, high=14, example="6.5")
    assert "a number from 0 to 14" in str(refusal.value)


def test_a_number_with_two_readings_is_asked_about() -> None:
    with pytest.raises(UnclearError) as refusal:
        parse_number("1,500")
    assert refusal.value.choices == ("1.5", "1500")


@given(st.decimals(min_value=0, max_value=10**8, places=2))
def test_written_numbers_are_read_back(value: float) -> None:
    assert parse_number(written(float(value))) == pytest.approx(float(value), abs=1e-6)


@given(st.text())
def test_tidy_text_has_nothing_unseen_in_it_and_stays_tidy(text: str) -> None:
    plain = tidy(text)
    assert plain.isprintable()
    assert tidy(plain) == plain
    assert shown(text).isprintable()
    assert len(shown(text)) <= 60


def test_direction_marks_and_control_characters_are_dropped() -> None:
    assert tidy("tea\u202e\x00\x1b[31m\u200b leaves\n") == "tea[31m leaves"
