from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, strategies as st

from tests.schedule.lines import BIN, MONDAY, fed, line, looked
from wormbin.records.entries import Entry, Feeding, Note, Portion
from wormbin.records.farms import Away, Settings, Turns
from wormbin.schedule.days import (
    WEEKDAYS,
    back_on,
    checks,
    feeding_after,
    feeding_days,
    is_away,
    last_chance,
    next_check,
    next_feeding,
)

TWICE = Settings(feed_days=("MO", "TH"))


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def test_feeding_days_are_the_weekdays_asked_for() -> None:
    days = feeding_days(TWICE, MONDAY, MONDAY + timedelta(days=13))
    assert [(day - MONDAY).days for day in days] == [0, 3, 7, 10]


@given(
    st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.integers(0, 800), st.sets(st.sampled_from(WEEKDAYS), min_size=1)
)
def test_feeding_days_are_those_of_the_calendar(first: date, span: int, names: set[str]) -> None:
    last = first + timedelta(days=span)
    expected = [first + timedelta(days=n) for n in range(span + 1)]
    expected = [day for day in expected if WEEKDAYS[day.weekday()] in names]
    assert list(feeding_days(Settings(feed_days=tuple(names)), first, last)) == expected


def test_a_leap_day_is_a_feeding_day_like_any_other() -> None:
    assert date(2028, 2, 29) in feeding_days(Settings(feed_days=("TU",)), date(2028, 2, 1), date(2028, 3, 7))


def test_absences_are_skipped_for_all_bins_or_one() -> None:
    everyone = Settings(away=(Away(MONDAY, MONDAY + timedelta(days=6)),))
    assert feeding_days(everyone, MONDAY, MONDAY + timedelta(days=8))[0] == MONDAY + timedelta(days=7)
    other = Settings(away=(Away(MONDAY, MONDAY + timedelta(days=6), bin="shed"),))
    assert feeding_days(other, MONDAY, MONDAY + timedelta(days=8), "kitchen")[0] == MONDAY
    assert feeding_days(other, MONDAY, MONDAY + timedelta(days=8), "shed")[0] == MONDAY + timedelta(days=7)
    assert is_away(other.away, MONDAY, "kitchen") is None


def test_absences_that_follow_one_another_are_one() -> None:
    away = (Away(MONDAY, MONDAY + timedelta(days=6)), Away(MONDAY + timedelta(days=7), MONDAY + timedelta(days=9)))
    assert back_on(away, MONDAY + timedelta(days=2)) == MONDAY + timedelta(days=10)


def test_no_weekday_or_an_unknown_one() -> None:
    assert feeding_days(Settings(feed_days=()), MONDAY, MONDAY + timedelta(days=30)) == ()
    assert feeding_days(TWICE, MONDAY, MONDAY - timedelta(days=1)) == ()
    with pytest.raises(ValueError, match="XX"):
        feeding_days(Settings(feed_days=("XX",)), MONDAY, MONDAY)


def test_the_next_feeding_is_today_until_it_is_done() -> None:
    assert next_feeding(BIN.key, (), TWICE, MONDAY) == MONDAY
    assert next_feeding(BIN.key, (fed(0.5, MONDAY),), TWICE, MONDAY) == MONDAY + timedelta(days=3)
    late = MONDAY + timedelta(days=5)
    assert next_feeding(BIN.key, (), TWICE, MONDAY, not_before=late) == MONDAY + timedelta(days=7)
    assert next_feeding(BIN.key, (), Settings(feed_days=()), MONDAY) is None
    assert next_feeding(BIN.key, (), Settings(away=(Away(MONDAY, MONDAY + timedelta(days=900)),)), MONDAY) is None


def test_what_is_given_lasts_until_the_feeding_day_after() -> None:
    assert feeding_after(BIN.key, TWICE, MONDAY) == MONDAY + timedelta(days=3)
    assert feeding_after(BIN.key, Settings(feed_days=()), MONDAY) == MONDAY + timedelta(days=7)


def test_a_feeding_off_the_plan_lasts_for_the_usual_gap_and_not_only_until_tomorrow() -> None:
    wednesday, sunday = MONDAY + timedelta(days=2), MONDAY + timedelta(days=6)
    assert feeding_after(BIN.key, TWICE, wednesday) == MONDAY + timedelta(days=7)
    assert feeding_after(BIN.key, TWICE, sunday) == MONDAY + timedelta(days=10)
    daily = Settings(feed_days=WEEKDAYS)
    assert feeding_after(BIN.key, daily, wednesday) == wednesday + timedelta(days=1)
    pair = Settings(feed_days=("MO", "TU"))
    assert feeding_after(BIN.key, pair, MONDAY) == MONDAY + timedelta(days=1)


def test_the_next_check_comes_so_many_days_after_the_last_look_and_is_never_in_the_past() -> None:
    assert next_check(BIN.key, (), TWICE, MONDAY) == MONDAY
    assert next_check(BIN.key, (looked(MONDAY),), TWICE, MONDAY) == MONDAY + timedelta(days=3)
    assert next_check(BIN.key, (looked(MONDAY - timedelta(days=30)),), TWICE, MONDAY) == MONDAY
    away = Settings(away=(Away(MONDAY + timedelta(days=2), MONDAY + timedelta(days=8)),))
    assert next_check(BIN.key, (looked(MONDAY),), away, MONDAY) == MONDAY + timedelta(days=9)
    assert next_check(BIN.key, (line(Note(), MONDAY),), TWICE, MONDAY) == MONDAY


def school(weeks: int, *extra: date) -> tuple[Entry, ...]:
    """Looks on Mondays, Wednesdays and Fridays of the last weeks, and on these days."""
    days = [MONDAY - timedelta(days=7 * week + n) for week in range(1, weeks + 1) for n in (0, -2, -4)]
    return tuple(looked(day) for day in sorted([*days, *extra]))


def looks(entries: tuple[Entry, ...], settings: Settings, on: date, last: date) -> tuple[date, ...]:
    return checks(BIN.key, entries, settings, next_check(BIN.key, entries, settings, on), last)


def test_where_nobody_ever_is_at_a_weekend_no_look_falls_on_one() -> None:
    friday = MONDAY + timedelta(days=4)
    entries = (*school(8), looked(friday - timedelta(days=1)))
    every = Settings(check_every_days=2)
    assert next_check(BIN.key, entries, every, friday) == MONDAY + timedelta(days=7)
    assert all(day.weekday() < 5 for day in looks(entries, every, friday, friday + timedelta(days=40)))
    once = (*school(8, MONDAY - timedelta(days=9)), looked(friday - timedelta(days=1)))
    assert next_check(BIN.key, once, every, friday) == friday + timedelta(days=1)
    few = (*school(2), looked(friday - timedelta(days=1)))
    assert next_check(BIN.key, few, every, friday) == friday + timedelta(days=1)


def test_a_school_looks_on_its_own_days_from_the_first_week_on_and_only_in_term() -> None:
    friday = MONDAY + timedelta(days=4)
    for last, due in ((friday, MONDAY + timedelta(days=7)), (friday - timedelta(days=1), friday + timedelta(days=1))):
        term = Settings(check_every_days=2, turns=Turns(days=("MO", "TH", "FR"), first=MONDAY, last=last))
        assert next_check(BIN.key, (looked(friday - timedelta(days=1)),), term, friday) == due, last


def test_looks_are_laid_around_absences() -> None:
    away = Settings(check_every_days=3, away=(Away(MONDAY + timedelta(days=2), MONDAY + timedelta(days=8)),))
    found = looks((looked(MONDAY),), away, MONDAY, MONDAY + timedelta(days=14))
    assert [(day - MONDAY).days for day in found] == [9, 12]


def test_the_first_day_back_from_a_long_absence_is_a_day_for_a_look() -> None:
    """Even where the next look would be later, and where a neighbour looked in on the last day of it."""
    long, short = (Settings(check_every_days=14, away=(Away(day(2), day(last)),)) for last in (6, 5))
    assert looks((looked(MONDAY),), long, MONDAY, day(30)) == (day(7), day(21))
    assert looks((looked(MONDAY),), short, MONDAY, day(30)) == (day(14), day(28))
    assert next_check(BIN.key, (looked(day(6)),), long, day(7)) == day(7)
    assert next_check(BIN.key, (looked(day(7)),), long, day(7)) == day(21)


def test_the_last_chance_to_feed_before_leaving_is_no_feeding_day() -> None:
    """Fed on Mondays and Thursdays, away from the second Monday on: only who let Thursday go by has a last chance."""
    settings = Settings(feed_days=("MO", "TH"), away=(Away(day(7), day(14)),))

    def chances(*fed_days: int) -> list[int]:
        log = tuple(fed(0.3, day(each)) for each in fed_days)
        return [n for n in range(9) if last_chance(BIN.key, log, settings, day(n))]

    assert chances() == [3, 4, 5, 6]
    assert chances(0) == [3, 4, 5, 6]
    assert chances(3) == []
    assert not last_chance(BIN.key, (), replace(settings, away=(Away(day(7), day(10)),)), day(5))


def test_the_night_the_clocks_change_moves_no_day() -> None:
    zone = ZoneInfo("Europe/Berlin")
    when = datetime(2026, 3, 29, 23, 30, tzinfo=zone)
    entry = Entry("a", BIN.key, when, Feeding((Portion("scraps", 0.5),)))
    assert entry.when.astimezone(UTC).date() == date(2026, 3, 29)
    settings = Settings(feed_days=("SU", "MO"))
    assert next_feeding(BIN.key, (entry,), settings, date(2026, 3, 29)) == date(2026, 3, 30)
    late = Entry("b", BIN.key, datetime(2026, 10, 25, 0, 30, tzinfo=zone), Feeding((Portion("scraps", 0.5),)))
    assert late.when.astimezone(UTC).date() == date(2026, 10, 24)
    assert next_feeding(BIN.key, (late,), settings, date(2026, 10, 25)) == date(2026, 10, 26)
