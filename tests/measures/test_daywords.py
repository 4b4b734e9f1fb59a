from __future__ import annotations

from datetime import date, timedelta

import pytest

from wormbin.measures.daywords import day_words, days_words, on_day

TODAY = date(2026, 12, 30)


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 12, 30), "today"),
        (date(2026, 12, 31), "tomorrow"),
        (date(2026, 12, 29), "yesterday"),
        (date(2027, 1, 14), "14 January"),
        (date(2027, 9, 14), "14 September 2027"),
        (date(2028, 2, 29), "29 February 2028"),
    ],
)
def test_a_day_as_a_keeper_says_it(day: date, words: str) -> None:
    assert day_words(day, TODAY) == words


def test_a_day_in_the_middle_of_a_sentence() -> None:
    assert on_day(TODAY, TODAY) == "today"
    assert on_day(TODAY - timedelta(days=1), TODAY) == "yesterday"
    assert on_day(TODAY + timedelta(days=2), TODAY) == f"on {day_words(TODAY + timedelta(days=2), TODAY)}"


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (0.0, "0 days"), (0.6, "0.5 days"), (1.0, "1 day"), (1.3, "1.5 days"), (9.2, "9 days"), (60.0, "60 days"),
        (61.0, "over 60 days"), (float("inf"), "over 60 days"), (float("nan"), "over 60 days"),
    ],
)  # fmt: skip
def test_a_number_of_days(count: float, words: str) -> None:
    assert days_words(count) == words
