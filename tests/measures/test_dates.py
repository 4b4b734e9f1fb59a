"""Dates are read when they mean one day only; the rest is asked about or refused."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta, timezone

import pytest
from dateutil import tz
from hypothesis import given, strategies as st

from wormbin.measures import parse_date, parse_when, says_time
from wormbin.measures.dates import day_words, days_words, on_day
from wormbin.problems import RefusedError, UnclearError

THURSDAY = date(2026, 7, 9)
NOW = datetime(2026, 7, 9, 8, 0, tzinfo=UTC)
PARIS = tz.gettz("Europe/Paris")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2026-03-02", date(2026, 3, 2)),
        (" 2026-03-02 ", date(2026, 3, 2)),
        ("2024-02-29", date(2024, 2, 29)),
        ("today", THURSDAY),
        ("Yesterday", date(2026, 7, 8)),
        ("TOMORROW", date(2026, 7, 10)),
        ("thursday", THURSDAY),
        ("saturday", date(2026, 7, 4)),
        ("sat", date(2026, 7, 4)),
        ("last thursday", date(2026, 7, 2)),
        ("this saturday", date(2026, 7, 11)),
        ("3 days ago", date(2026, 7, 6)),
        ("2 weeks ago", date(2026, 6, 25)),
        ("in 5 days", date(2026, 7, 14)),
        ("2 March 2026", date(2026, 3, 2)),
        ("March 2nd, 2026", date(2026, 3, 2)),
        ("14 sept 2025", date(2025, 9, 14)),
    ],
)
def test_clear_dates_are_read(text: str, expected: date) -> None:
    assert parse_date(text, THURSDAY) == expected


def test_a_weekday_in_a_plan_is_the_coming_one() -> None:
    assert parse_date("saturday", THURSDAY, toward="future") == date(2026, 7, 11)
    assert parse_date("thursday", THURSDAY, toward="future") == THURSDAY


@pytest.mark.parametrize(
    ("text", "choices"),
    [
        ("7/8/2026", ("2026-07-08", "2026-08-07")),
        ("7.8.2026", ("2026-07-08", "2026-08-07")),
        ("07-08-26", ("2026-07-08", "2026-08-07")),
        ("10/11", ("2026-10-11", "2026-11-10")),
        ("13/8/2026", ("2026-08-13",)),
        ("7/7/2026", ("2026-07-07",)),
        ("next saturday", ("2026-07-11", "2026-07-18")),
    ],
)
def test_dates_with_two_meanings_are_asked_about_with_both_offered(text: str, choices: tuple[str, ...]) -> None:
    with pytest.raises(UnclearError) as refusal:
        parse_date(text, THURSDAY, "started")
    assert refusal.value.choices == choices
    assert str(refusal.value).startswith("started: ")


@pytest.mark.parametrize(
    ("text", "last", "next_one"),
    [
        ("14 march", "2026-03-14", "2027-03-14"),
        ("8 nov", "2025-11-08", "2026-11-08"),
        (f"{THURSDAY:%B} {THURSDAY.day}", THURSDAY.isoformat(), THURSDAY.isoformat()),
        ("29 feb", "2024-02-29", "2028-02-29"),
    ],
)
def test_a_day_without_its_year_is_the_last_one_and_for_a_plan_the_next(text: str, last: str, next_one: str) -> None:
    assert parse_date(text, THURSDAY).isoformat() == last
    assert parse_date(text, THURSDAY, toward="future").isoformat() == next_one


@pytest.mark.parametrize(
    "text",
    ["", "2026-02-30", "2026-13-01", "2026-03", "0001-01-01", "9999-12-31", "32/45/2026", "may", "soon", "20260302",
     "٢٠٢٦-٠٣-٠٢", "in 5 days ago", "5 days", "31 june 2026", "2026-3-2", "x" * 500],
)  # fmt: skip
def test_what_is_no_date_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(RefusedError) as refusal:
        parse_date(text, THURSDAY)
    assert not isinstance(refusal.value, UnclearError)
    assert refusal.value.problems[0].example == "2026-03-02"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2026-03-02T18:10", datetime(2026, 3, 2, 18, 10, tzinfo=UTC)),
        ("2026-03-02 18:10", datetime(2026, 3, 2, 18, 10, tzinfo=UTC)),
        ("2026-03-02T18:10:05Z", datetime(2026, 3, 2, 18, 10, 5, tzinfo=UTC)),
        ("2026-03-02T18:10-0530", datetime(2026, 3, 2, 18, 10, tzinfo=timezone(-timedelta(hours=5, minutes=30)))),
        ("yesterday 7:30", datetime(2026, 7, 8, 7, 30, tzinfo=UTC)),
        ("2026-03-02", datetime(2026, 3, 2, 12, 0, tzinfo=UTC)),
        ("7:30", NOW.replace(hour=7, minute=30)),
        ("today", NOW),
    ],
)
def test_moments_are_read_with_the_zone_of_now_unless_they_name_one(text: str, expected: datetime) -> None:
    found = parse_when(text, NOW)
    assert found == expected
    assert found.utcoffset() == expected.utcoffset()


@pytest.mark.parametrize(
    "text", ["2026-03-02T25:10", "2026-03-02T18:61", "25:10", "7", "2026-03-02T18:10+99:00", "noonish"]
)
def test_what_is_no_moment_is_refused(text: str) -> None:
    with pytest.raises(RefusedError):
        parse_when(text, NOW)


@pytest.mark.parametrize(
    ("text", "says"),
    [("7:30", True), ("12:00", True), ("yesterday 12:00", True), ("2026-03-02T12:00Z", True), ("yesterday", False),
     ("2026-03-02", False), ("saturday", False), ("", False)],
)  # fmt: skip
def test_a_time_said_is_told_from_a_day_alone(text: str, says: bool) -> None:
    assert says_time(text) is says


def test_a_slashed_date_stays_a_question_when_a_time_follows() -> None:
    with pytest.raises(UnclearError):
        parse_when("7/8/2026 18:10", NOW)


def test_a_time_that_the_clocks_skip_is_moved_past_the_gap() -> None:
    now = datetime(2026, 4, 1, 9, 0, tzinfo=PARIS)
    found = parse_when("2026-03-29T02:30", now)
    assert found.replace(tzinfo=None) == datetime(2026, 3, 29, 3, 30)  # noqa: DTZ001
    assert parse_when("2026-01-15T02:30", now).utcoffset() == timedelta(hours=1)
    assert parse_when("2026-07-15T02:30", now).utcoffset() == timedelta(hours=2)


def test_a_moment_needs_a_now_that_knows_its_zone() -> None:
    with pytest.raises(ValueError, match="time zone"):
        parse_when("today", datetime(2026, 7, 9))  # noqa: DTZ001


@given(st.dates(date(1970, 1, 1), date(2199, 12, 31)), st.times())
def test_iso_dates_and_moments_are_read_back(day: date, clock: time) -> None:
    assert parse_date(day.isoformat(), THURSDAY) == day
    whole = clock.replace(microsecond=0, tzinfo=None)
    assert parse_when(f"{day}T{whole}", NOW) == datetime.combine(day, whole, UTC)


@given(st.dates(date(1971, 1, 1), date(2199, 1, 1)), st.sampled_from(["mon", "tue", "wed", "thu", "fri", "sat", "sun"]))
def test_a_weekday_is_within_a_week_on_the_side_asked_for(today: date, word: str) -> None:
    past, future = parse_date(word, today), parse_date(word, today, toward="future")
    assert timedelta(0) <= today - past < timedelta(7)
    assert timedelta(0) <= future - today < timedelta(7)
    assert past.strftime("%a").lower() == future.strftime("%a").lower() == word


@given(st.text(max_size=220))
def test_no_text_whatever_breaks_the_reading_of_dates(text: str) -> None:
    with suppress(RefusedError):
        assert isinstance(parse_date(text, THURSDAY), date)
    with suppress(RefusedError):
        assert parse_when(text, NOW).tzinfo is not None


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
