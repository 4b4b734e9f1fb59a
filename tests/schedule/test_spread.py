"""The week's work: hours a day, the most loss by waiting first, room to cure, and what was put on a day by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import permutations

import pytest
from hypothesis import given, strategies as st

from tests.schedule.lines import MONDAY
from wormbin.records.farms import Away, Settings
from wormbin.schedule.pace import USUAL_HOURS, Job, hours_on, spread

TWO_HOURS = Settings(hours=(2.0,) * 7)


def nothing(_day: date) -> float:
    return 0.0


def due(bin: str, minutes: float = 60.0, **more: object) -> Job:
    return replace(Job(bin, minutes, MONDAY, loss=1.0, kg=50.0, cure_days=28), **more)  # type: ignore[arg-type]


def days_of(jobs: list[Job], settings: Settings = TWO_HOURS, **more: object) -> dict[str, int]:
    found = spread(jobs, MONDAY, settings, more.pop("taken", nothing), **more)  # type: ignore[arg-type]
    return {bin: (day - MONDAY).days for bin, day in found.items()}


def test_twenty_four_beds_that_are_due_at_once_take_as_many_days_as_the_hours_ask() -> None:
    days = days_of([due(f"bed-{at:02}") for at in range(24)])
    assert sorted(days.values()) == [at // 2 for at in range(24)]


def test_what_is_taken_by_looking_and_feeding_is_not_there_twice() -> None:
    assert sorted(days_of([due(f"{at}") for at in range(3)], taken=lambda day: 61.0).values()) == [0, 2, 4]
    assert sorted(days_of([due(f"{at}") for at in range(3)], taken=lambda day: 60.0).values()) == [0, 1, 2]
    assert sorted(days_of([due(f"{at}", 59.0) for at in range(2)], taken=lambda day: 1.0).values()) == [0, 0]


def test_the_most_loss_for_the_time_goes_first_as_no_other_order_loses_less() -> None:
    """Smith (1956): by loss over time. Held to every order of jobs that each fill a day."""
    jobs = [due("a", 120.0, loss=1.0), due("b", 120.0, loss=5.0), due("c", 120.0, loss=2.0), due("d", 120.0, loss=0.1)]
    loss = {job.bin: job.loss for job in jobs}
    found = sum(day * loss[bin] for bin, day in days_of(jobs).items())
    least = min(sum(at * loss[bin] for at, bin in enumerate(order)) for order in permutations(loss))
    assert found == pytest.approx(least)


def test_a_job_longer_than_a_day_gets_days_of_its_own_and_the_next_comes_after_it() -> None:
    days = days_of([due("long", 300.0, loss=9.0), due("next")])
    assert days == {"long": 0, "next": 2}


def test_nothing_is_laid_on_a_day_off_an_absence_or_before_its_own_day() -> None:
    weekends = Settings(hours=(0.0,) * 5 + (4.0, 4.0))
    away = replace(TWO_HOURS, away=(Away(MONDAY, MONDAY + timedelta(days=3)),))
    assert days_of([due("a")], weekends) == {"a": 5}
    assert days_of([due("a")], away) == {"a": 4}
    assert days_of([due("a", first=MONDAY + timedelta(days=9))]) == {"a": 9}
    assert hours_on(Settings(), MONDAY) == USUAL_HOURS


@pytest.mark.parametrize(("room", "second"), [(100.0, 0), (99.9, 28)])
def test_no_more_is_harvested_than_finds_room_to_cure(room: float, second: int) -> None:
    days = days_of([due("a", 10.0), due("b", 10.0)], replace(TWO_HOURS, curing_room_kg=room))
    assert sorted(days.values()) == [0, second]


def test_what_cures_already_takes_its_room_until_it_is_sieved() -> None:
    settings = replace(TWO_HOURS, curing_room_kg=60.0)
    assert days_of([due("a")], settings, curing=[(MONDAY + timedelta(days=6), 11.0)]) == {"a": 6}


def test_what_was_put_on_a_day_by_hand_stays_there_and_the_others_make_room() -> None:
    jobs = [due("a", 120.0, loss=0.1, put=MONDAY), due("b", 120.0, loss=9.0)]
    assert days_of(jobs) == {"a": 0, "b": 1}
    gone = replace(jobs[0], put=MONDAY - timedelta(days=1))
    assert days_of([gone, jobs[1]]) == {"a": 1, "b": 0}, "a day that has gone by holds nothing"


@given(st.lists(st.tuples(st.integers(5, 200), st.integers(0, 20), st.floats(0, 9)), max_size=40))
def test_no_day_ever_holds_more_than_it_has_but_for_one_long_job(drawn: list[tuple[int, int, float]]) -> None:
    jobs = [
        due(str(at), float(minutes), first=MONDAY + timedelta(days=first), loss=loss)
        for at, (minutes, first, loss) in enumerate(drawn)
    ]
    found = spread(jobs, MONDAY, TWO_HOURS, nothing)
    assert set(found) == {job.bin for job in jobs}
    for job in jobs:
        assert found[job.bin] >= job.first
        together = [other.minutes for other in jobs if found[other.bin] == found[job.bin]]
        assert sum(together) <= 120.0 + 1e-9 or len(together) == 1
