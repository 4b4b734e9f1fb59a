from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import CALM_LOG, SETTINGS, TODAY, a_case, a_day, band, entry, looked, read
from wormbin.advice.rules import readings
from wormbin.figures import Band, Level
from wormbin.records.entries import Note


def test_a_sure_case_asks_for_nothing() -> None:
    assert readings.wanted(a_case()) is None
    assert readings.ask_reading(a_case()) is None


def test_the_reading_that_straddles_a_limit_is_asked_for_with_its_reason() -> None:
    wet = readings.ask_reading(a_case(moisture=Band(0.76, 0.87, 0.94), judged=()))
    assert wet is not None
    assert wet.level is Level.STEADY
    assert "too wet" in wet.why
    assert "76-94%" in wet.why
    assert "squeeze a handful" in wet.do[0]
    air = readings.wanted(a_case(air_reach_m=band(0.18, 0.7), contents_m=band(0.18, 0.02), judged=()))
    assert air is not None
    assert air.quantity == "contents_m"
    assert air.settles == "whether this bin has air"


def test_with_a_ruler_reading_the_scale_is_asked_for_next() -> None:
    ruler = (read("contents_m", 0.18, TODAY - timedelta(days=2)),)
    air = readings.wanted(a_case(air_reach_m=band(0.18, 0.7), contents_m=band(0.18, 0.02), judged=ruler))
    assert air is not None
    assert air.quantity == "total_kg"


def test_the_widest_doubt_wins() -> None:
    both: dict[str, Any] = {"moisture": Band(0.84, 0.87, 0.90), "temp_c": Band(20.0, 28.0, 36.0)}
    want = readings.wanted(a_case(judged=(), **both))
    assert want is not None
    assert want.quantity == "temp_c"


def test_what_was_read_today_is_not_asked_for_again() -> None:
    wide: dict[str, Any] = {"moisture": Band(0.76, 0.87, 0.94)}
    assert readings.wanted(a_case(judged=(read("moisture", 0.87, TODAY, "squeeze"),), **wide)) is None


@pytest.mark.parametrize(("age", "told"), [(9, False), (10, True), (40, True)])
def test_a_bin_nobody_looked_into_is_watched(age: int, told: bool) -> None:
    log = (*CALM_LOG[:1], looked(TODAY - timedelta(days=age)))
    found = readings.old_readings(a_case(entries=log))
    assert (found is not None) is told
    if found is not None:
        assert found.level is Level.WATCH
        assert f"{age} days" in found.what


def test_a_note_is_no_look_and_a_slow_keeper_has_more_time() -> None:
    log = (*CALM_LOG[:1], looked(TODAY - timedelta(days=15)), entry(Note(), TODAY))
    assert readings.old_readings(a_case(entries=log)) is not None
    slow = replace(SETTINGS, check_every_days=7)
    assert readings.old_readings(a_case(entries=log, settings=slow)) is None


def test_an_empty_log_counts_from_the_start_of_the_bin() -> None:
    found = readings.old_readings(a_case(entries=(), judged=()))
    assert found is not None
    assert "over 60 days" in found.what


def test_a_questioned_reading_is_asked_about_kindly_with_its_numbers() -> None:
    log = (*CALM_LOG, looked(TODAY, moisture=0.21))
    odd = replace(read("moisture", 0.21, TODAY, "meter", questioned=True, weight=0.05), expected=Band(0.76, 0.8, 0.84))
    found = readings.questioned(a_case(entries=log, judged=(odd,)))
    assert found is not None
    assert found.level is Level.STEADY
    assert found.what == "moisture meter reading of 21% is a surprise: 76% to 84% was expected"
    assert "counts less" in found.sure
    assert found.do == ("read the moisture meter again. Two that agree are believed",)
    eye = replace(
        read("left", 1.0, TODAY, questioned=True, weight=0.3), expected=Band(0.36, 0.5, 0.58), entry=odd.entry
    )
    left = readings.questioned(a_case(entries=log, judged=(eye,)))
    assert left is not None
    assert left.what == "100% left of the last feeding is a surprise: 36% to 58% was expected"
    assert left.do[0].startswith("look again at how much is left")


def test_a_question_is_dropped_when_the_line_is_struck_or_a_later_reading_fits() -> None:
    odd = read("moisture", 0.21, TODAY, "meter", questioned=True)
    assert readings.questioned(a_case(judged=(odd,))) is None  # its line does not stand
    yesterday = TODAY - timedelta(days=1)
    log = (*CALM_LOG[:-1], looked(yesterday, moisture=0.21), looked(TODAY, moisture=0.8))
    before = read("moisture", 0.21, yesterday, "meter", questioned=True)
    assert readings.questioned(a_case(entries=log, judged=(before,))) is not None
    assert readings.questioned(a_case(entries=log, judged=(before, read("moisture", 0.8, TODAY, "meter")))) is None


def test_an_old_question_is_let_rest() -> None:
    old = TODAY - timedelta(days=12)
    log = (*CALM_LOG, looked(old))
    assert readings.questioned(a_case(entries=log, judged=(read("moisture", 0.2, old, questioned=True),))) is None


@pytest.mark.parametrize(("quantity", "rests"), [("moisture", 3), ("left", 3), ("temp_c", 3), ("worms_kg", 60)])
def test_a_reading_is_not_asked_for_again_at_once(quantity: str, rests: int) -> None:
    """In a bin of which nothing is sure the reading that tells most is asked for, unless it was taken of late."""
    day = a_day(
        moisture=Band(0.5, 0.8, 0.95), feed_waiting_days=Band(0.5, 6.0, 20.0), temp_c=Band(2.0, 15.0, 35.0),
        air_reach_m=Band(0.01, 0.2, 0.5), worms_kg=Band(0.02, 0.3, 2.0),
    )  # fmt: skip
    others = {"moisture", "left", "temp_c", "contents_m", "total_kg", "worms_kg"} - {quantity}
    for ago, asked in ((rests, True), (rests - 1, False)):
        taken = (*(read(each, 0.5, TODAY) for each in others), read(quantity, 0.5, TODAY - timedelta(days=ago)))
        want = readings.wanted(a_case((day,), judged=taken))
        assert (want is not None) is asked, (quantity, ago)
