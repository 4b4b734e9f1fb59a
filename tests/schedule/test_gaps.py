from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tests.schedule.lines import BIN, MONDAY, fed, line, looked, stocked
from wormbin.records.entries import Note
from wormbin.records.farms import Away, Settings
from wormbin.schedule.gaps import Gap, gaps, likely_feedings

SETTINGS = Settings()
LOG = (stocked(MONDAY), fed(0.5, MONDAY), fed(0.6, MONDAY + timedelta(days=3)), fed(0.7, MONDAY + timedelta(days=7)))


def test_three_forgotten_weeks_are_a_gap_and_a_few_days_are_none() -> None:
    back = MONDAY + timedelta(days=29)
    assert gaps(BIN.key, (*LOG, looked(back)), SETTINGS, back) == (
        Gap(MONDAY + timedelta(days=8), MONDAY + timedelta(days=28), 21),
    )
    assert gaps(BIN.key, LOG, SETTINGS, MONDAY + timedelta(days=12)) == ()


def test_the_gap_up_to_today_counts_and_a_note_does_not_close_it() -> None:
    today = MONDAY + timedelta(days=20)
    note = line(Note(), MONDAY + timedelta(days=15))
    assert gaps(BIN.key, (*LOG, note), SETTINGS, today)[0].forgotten_days == 12


def test_an_absence_is_not_forgetting() -> None:
    today = MONDAY + timedelta(days=29)
    away = Settings(away=(Away(MONDAY + timedelta(days=9), MONDAY + timedelta(days=27)),))
    assert gaps(BIN.key, LOG, away, today) == ()


def test_likely_feedings_are_the_usual_meal_on_the_feeding_days_of_the_gap() -> None:
    gap = Gap(MONDAY + timedelta(days=8), MONDAY + timedelta(days=28), 21)
    likely = likely_feedings(BIN.key, LOG, SETTINGS, gap)
    assert [each.kg for each in likely] == [0.6] * 6
    assert {each.on.weekday() for each in likely} == {0, 3}
    assert {each.material for each in likely} == {"scraps"}
    assert likely_feedings(BIN.key, (), SETTINGS, gap) == ()


def test_an_empty_log_has_no_gaps() -> None:
    assert gaps(BIN.key, (), SETTINGS, MONDAY) == ()


def test_days_of_which_nothing_is_known_are_not_asked_about_again() -> None:
    today = MONDAY + timedelta(days=40)
    first, last = MONDAY + timedelta(days=8), MONDAY + timedelta(days=24)
    told = line(Note(first, last), last)
    assert gaps(BIN.key, (*LOG, told), SETTINGS, today) == (
        Gap(last + timedelta(days=1), today - timedelta(days=1), 15),
    )
    assert gaps(BIN.key, (*LOG, told), SETTINGS, last + timedelta(days=5)) == ()


def test_days_left_before_and_after_what_is_not_known_are_still_gaps() -> None:
    today = MONDAY + timedelta(days=60)
    told = line(Note(MONDAY + timedelta(days=25), MONDAY + timedelta(days=30)), today)
    found = gaps(BIN.key, (*LOG, told), SETTINGS, today)
    assert [(gap.first - MONDAY, gap.last - MONDAY) for gap in found] == [
        (timedelta(days=8), timedelta(days=24)),
        (timedelta(days=31), timedelta(days=59)),
    ]


def test_a_note_in_the_words_of_an_older_log_still_says_that_nothing_is_known() -> None:
    today = MONDAY + timedelta(days=30)
    words = f"nothing is known of {MONDAY + timedelta(days=8)} to {MONDAY + timedelta(days=28)}"
    old = replace(line(Note(), today - timedelta(days=1)), note=words)
    assert gaps(BIN.key, (*LOG, old), SETTINGS, today) == ()
    assert gaps(BIN.key, (*LOG, replace(old, note="nothing is known")), SETTINGS, today) != ()
