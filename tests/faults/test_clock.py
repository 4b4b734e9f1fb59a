"""A clock that is set back, summer time, leap days, year ends and offsets: order and days stay right."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

from tests.store.lines import AT, note
from wormbin.store import Store


def days(store: Store) -> list[tuple[str, date]]:
    return [(line.id, line.when.date()) for line in store.entries("kitchen")]


def test_the_hour_that_comes_twice_keeps_its_order(tmp_path: Path) -> None:
    berlin = ZoneInfo("Europe/Berlin")
    first = datetime(2026, 10, 25, 2, 30, tzinfo=berlin)
    second = first.replace(fold=1)
    store = Store.open(tmp_path)
    store.record([note("z-first", when=first), note("a-second", when=second)])
    again = Store.open(tmp_path)
    assert [line.id for line in again.entries("kitchen")] == ["z-first", "a-second"]
    assert again.find("a-second").when - again.find("z-first").when == timedelta(hours=1)


def test_a_day_is_that_of_the_keepers_own_clock(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    tokyo, quito = timezone(timedelta(hours=9)), timezone(timedelta(hours=-5))
    store.record(
        [
            note("new-year", when=datetime(2027, 1, 1, 0, 5, tzinfo=tokyo)),
            note("old-year", when=datetime(2026, 12, 31, 23, 55, tzinfo=quito)),
            note("leap", when=datetime(2024, 2, 29, 23, 59, tzinfo=UTC)),
        ]
    )
    again = Store.open(tmp_path)
    assert days(again) == [
        ("leap", date(2024, 2, 29)),
        ("new-year", date(2027, 1, 1)),
        ("old-year", date(2026, 12, 31)),
    ]
    assert tuple(each.year for each in again.places_of("kitchen")) == (2024, 2026, 2027)
    assert not [flaw for flaw in again.check().flaws if "stands in the book" in flaw.what]


def test_a_clock_set_back_loses_no_line_and_no_backup(tmp_path: Path) -> None:
    now = [AT]
    store = Store.open(tmp_path, clock=lambda: now[0])
    for number, day in enumerate((0, 1, 40, -300, 2, 0, 500, 3)):
        now[0] = AT + timedelta(days=day)
        store.record([note(f"n{number}")])
    assert len(store.entries("kitchen")) == 8
    assert store.undo("", AT).wrote == ("n7",), "the last change is the last one made, whatever the clock said"
    assert len(store.backups()) == 7, "one for each day that a change was made on, but the first of an empty store"
    assert store.check().sound
