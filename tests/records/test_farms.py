from __future__ import annotations

from datetime import date, timedelta

from wormbin.records.farms import Away, long_absences

FIRST = date(2026, 6, 1)


def away(first: int, last: int, bin: str = "") -> Away:
    return Away(FIRST + timedelta(days=first), FIRST + timedelta(days=last), bin=bin)


def spans(*absences: Away) -> list[tuple[int, int]]:
    return [((first - FIRST).days, (last - FIRST).days) for first, last in long_absences(absences, "kitchen")]


def test_five_days_are_long_and_four_are_not() -> None:
    assert spans(away(0, 3), away(10, 14)) == [(10, 14)]


def test_absences_that_follow_on_one_another_are_one_and_those_of_another_bin_are_none() -> None:
    assert spans(away(3, 5), away(0, 2)) == [(0, 5)]
    assert spans(away(0, 2), away(4, 6)) == []
    assert spans(away(0, 9, "attic"), away(20, 29, "kitchen")) == [(20, 29)]
