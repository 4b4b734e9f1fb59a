from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tests.schedule.lines import BIN, MONDAY, looked
from wormbin.process.views import Window
from wormbin.records.entries import Entry
from wormbin.records.farms import Settings
from wormbin.schedule.harvest import harvest_steps
from wormbin.schedule.walk import minutes, tasks, turns, who_writes


def test_a_calm_day_is_a_look_and_a_feed() -> None:
    found = tasks(BIN, MONDAY, check_due=True, feed_kg=0.8)
    assert [task.what for task in found] == ["check it", "feed up to 800 g"]
    assert minutes(found) == 3
    assert tasks(BIN, MONDAY, check_due=False) == ()
    assert minutes(()) == 1


def test_trouble_stands_first_and_the_same_work_once() -> None:
    found = tasks(BIN, MONDAY, check_due=True, codes=("dying", "overfed", "too-wet", "harvest-near", "reading-wanted"))
    assert [task.code for task in found] == ["dying", "overfed", "reading-wanted", "check"]


def test_the_harvest_takes_its_time_and_more_on_a_large_bed() -> None:
    due = Window(MONDAY, MONDAY, MONDAY, due_since=MONDAY - timedelta(days=30))
    steps = harvest_steps(BIN, due, MONDAY, Settings())
    day = next(step.on for step in steps if step.code == "harvest")
    small = minutes(tasks(BIN, day, check_due=False, steps=steps))
    big = minutes(tasks(replace(BIN, length_m=2.0, width_m=1.0), day, check_due=False, steps=steps))
    assert small >= 120
    assert big > 3 * small


def test_steps_of_another_day_are_not_todays_work() -> None:
    steps = harvest_steps(BIN, Window(None, MONDAY + timedelta(days=60), None), MONDAY, Settings())
    assert tasks(BIN, MONDAY, check_due=False, steps=steps) == ()


def by(name: str, days_ago: int) -> Entry:
    return replace(looked(MONDAY - timedelta(days=days_ago)), by=name, id=f"{name}-{days_ago}")


LOG = (by("Ada", 2), by("Ben", 9), by("Ada", 12), by("Cleo", 4))
DAYS = tuple(MONDAY + timedelta(days=n) for n in (0, 3, 4, 7))


def test_who_was_there_longest_ago_comes_first_and_then_in_turn() -> None:
    assert list(turns(("Ada", "Ben", "Cleo"), LOG, DAYS, MONDAY).values()) == ["Ben", "Cleo", "Ada", "Ben"]
    assert turns(("Ada", "Ben", "Cleo", "Dov"), LOG, DAYS, MONDAY)[DAYS[0]] == "Dov"


def test_one_keeper_needs_no_rota() -> None:
    assert turns(("Ada",), LOG, DAYS, MONDAY) == {}
    assert turns((), LOG, DAYS, MONDAY) == {}


def test_without_a_list_those_who_signed_of_late_take_turns() -> None:
    assert who_writes((), (*LOG, by("Eve", 90)), MONDAY) == ("Ada", "Ben", "Cleo")
    assert who_writes(("Zoe",), LOG, MONDAY) == ("Zoe",)


def test_what_is_signed_after_the_day_asked_about_changes_no_turn() -> None:
    later = (*LOG, by("Ben", -3))
    assert turns(("Ada", "Ben"), later, DAYS, MONDAY) == turns(("Ada", "Ben"), LOG, DAYS, MONDAY)
