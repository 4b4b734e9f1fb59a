"""A bed against the NOSB Compost Task Force (2002): layers every 1-3 days, 70-90 % moisture, 4 months or 60 days."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tests.castings.made_up import KITCHEN, at, fed
from wormbin.castings.inspection import BedRecord, bed_record
from wormbin.records.bins import Method
from wormbin.records.entries import Check, Entry, MoistureBy

FIRST, LAST = date(2026, 3, 1), date(2026, 3, 31)


def read(name: str, day: int, moisture: float | None = None, temp_c: float | None = None, by: str = "meter") -> Entry:
    return Entry(name, "kitchen", at(3, day), Check(moisture, MoistureBy(by), temp_c=temp_c))


def record(*log: Entry) -> BedRecord:
    return bed_record(KITCHEN, log, FIRST, LAST)


def test_a_feeding_more_than_three_days_after_the_last_is_late() -> None:
    found = record(fed("a", at(3, 2), 1.0), fed("b", at(3, 5), 1.0), fed("c", at(3, 9), 1.0), fed("d", at(3, 9), 0.5))
    assert [(each.on.day, each.fed_kg, each.since_days) for each in found.fed] == [
        (2, 1.0, None),
        (5, 1.0, 3),
        (9, 1.5, 4),
    ]
    assert [each.on.day for each in found.late] == [9]


def test_moisture_outside_seventy_to_ninety_is_marked_and_a_squeeze_is_no_percentage() -> None:
    found = record(
        read("a", 2, 0.699),
        read("b", 3, 0.70),
        read("c", 4, 0.90),
        read("d", 5, 0.901),
        read("e", 6, 0.5, by="squeeze"),
    )
    assert [each.on.day for each in found.outside] == [2, 5]
    assert len(found.read) == 4


def test_more_than_a_week_without_a_reading_is_a_gap_also_at_the_ends() -> None:
    found = record(read("a", 8, 0.8), read("b", 15, 0.8), read("c", 23, 0.8))
    assert [(a.day, b.day) for a, b in found.gaps(found.read)] == [(1, 7), (16, 22), (24, 31)]
    assert [(a.day, b.day) for a, b in found.gaps(found.warm)] == [(1, 31)]
    whole = record(*(read(f"r{day}", day, 0.8) for day in (7, 14, 21, 28)))
    assert whole.gaps(whole.read) == ()


def test_days_asked_are_sixty_in_a_flow_and_four_months_else() -> None:
    assert record().days_asked == (date(2026, 7, 1) - FIRST).days
    assert replace(record(), method=Method.FLOW).days_asked == 60
    assert replace(record(), first=date(2025, 10, 31)).days_asked == (date(2026, 2, 28) - date(2025, 10, 31)).days


def test_another_tray_is_another_bed() -> None:
    found = bed_record(KITCHEN, [fed("a", at(3, 2), 1.0, part=1), fed("b", at(3, 3), 2.0, part=2)], FIRST, LAST, 1)
    assert [each.fed_kg for each in found.fed] == [1.0]
