from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given, strategies as st

from wormbin.exchange.cells import NumberError, joined, moment, number, scaled, shield, split_list, unshield, written


@given(st.text())
def test_a_shielded_text_comes_back_as_it_was(text: str) -> None:
    assert unshield(shield(text)) == text


@pytest.mark.parametrize("text", ["=1+1", "+49", "-x", "@home", "\tx", "\rx"])
def test_what_a_spreadsheet_would_run_is_shielded(text: str) -> None:
    assert shield(text)[0] == "'"


@pytest.mark.parametrize("text", ["melon rind", "'quoted'", "it's", ""])
def test_plain_text_is_written_as_it_is(text: str) -> None:
    assert shield(text) == text


def test_a_hand_written_formula_is_taken_as_text() -> None:
    assert unshield("=2+2") == "=2+2"


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ("1.125", 1.125),
        ("1,5", 1.5),
        ("-0.2", -0.2),
        (" 3 ", 3.0),
        ("1e-3", 0.001),
        (".5", 0.5),
        ("1/2", 0.5),
        ("1 1/4", 1.25),
        ("½", 0.5),
        ("1½", 1.5),
        ("1.500", 1.5),
        ("1.500,2", 1500.2),
        ("−3", -3.0),
    ],
)
def test_numbers_are_read(cell: str, value: float) -> None:
    assert number(cell) == value


@pytest.mark.parametrize(
    "cell", ["", "1,500", "nan", "inf", "1e999", "0x10", "1 500", "two", "half a", "1_000", "٣", "１２", "1/0"]
)
def test_what_is_no_clear_number_is_refused(cell: str) -> None:
    with pytest.raises(NumberError):
        number(cell)


@given(st.floats(allow_nan=False, allow_infinity=False), st.sampled_from([1, 100, 10_000]))
def test_a_number_written_and_read_is_the_same_number(value: float, factor: int) -> None:
    assert scaled(written(value, factor), factor) == value if abs(value) < 1e300 else True


def test_a_percent_sign_is_taken() -> None:
    assert scaled("82 %", 100) == 0.82


def test_a_day_alone_is_noon_and_a_time_without_offset_keeps_its_wall_clock() -> None:
    assert moment("2026-03-02") == datetime(2026, 3, 2, 12, tzinfo=UTC)
    assert moment("2026-03-02T18:10") == datetime(2026, 3, 2, 18, 10, tzinfo=UTC)
    assert moment("2026-03-02 18:10+02:00").isoformat() == "2026-03-02T18:10:00+02:00"


@pytest.mark.parametrize(
    "cell", ["3/2/2026", "2026-02-30", "20260302", "2026-W10-1", "", "yesterday", "2026-03-02T25:00"]
)
def test_a_day_that_is_not_iso_is_refused(cell: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        moment(cell)


@given(st.lists(st.text(st.characters(exclude_categories=["Cc", "Cs", "Z"]), min_size=1)))
def test_lists_come_back(items: list[str]) -> None:
    assert split_list(joined(tuple(items))) == tuple(items)
