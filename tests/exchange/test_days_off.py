"""Days off out of calendar files that another program wrote (icalendar, after RFC 5545)."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest

from wormbin.exchange.calendar import days_off
from wormbin.problems import RefusedError
from wormbin.records.farms import Away


def _file(*events: dict[str, object]) -> str:
    calendar = icalendar.Calendar()
    calendar.add("prodid", "-//a school//holidays//EN")
    calendar.add("version", "2.0")
    for event in events:
        made = icalendar.Event()
        for name, value in event.items():
            made.add(name, value)
        calendar.add_component(made)
    return bytes(calendar.to_ical()).decode()


def test_the_end_is_the_day_after_and_words_come_back_as_they_were() -> None:
    long = "Herbstferien; in allen Schulen, auch der Förderschule \\ des Kreises, und zwar ohne jede Ausnahme"
    text = _file(
        {"summary": long, "dtstart": date(2026, 10, 24), "dtend": date(2026, 11, 2)},
        {"summary": "one day", "dtstart": date(2026, 10, 3)},
        {"summary": "two days", "dtstart": date(2026, 5, 14), "duration": timedelta(days=2)},
    )
    assert "\r\n " in text  # it is folded
    assert days_off(text) == (
        Away(date(2026, 5, 14), date(2026, 5, 15), "two days"),
        Away(date(2026, 10, 3), date(2026, 10, 3), "one day"),
        Away(date(2026, 10, 24), date(2026, 11, 1), long),
    )


def test_an_event_at_a_time_of_day_is_no_day_off() -> None:
    evening = datetime(2026, 9, 15, 18, 30, tzinfo=UTC)
    assert days_off(_file({"summary": "parents' evening", "dtstart": evening})) == ()


def test_days_that_repeat_and_files_of_another_sort_are_refused_with_what_to_do() -> None:
    repeated = {"summary": "every year", "dtstart": date(2026, 10, 3), "rrule": {"freq": "yearly"}}
    with pytest.raises(RefusedError, match="type these by hand"):
        days_off(_file(repeated))
    with pytest.raises(RefusedError, match="iCalendar"):
        days_off("when,what\n2026-10-03,fair")
