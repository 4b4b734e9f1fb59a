from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tests.schedule.lines import MONDAY, looked
from wormbin.advice.finding import Action, Doing
from wormbin.records.entries import Entry
from wormbin.schedule.pace import minutes, turns, who_writes


def steps(*kinds: Doing) -> list[Action]:
    return [Action(kind, "something") for kind in kinds]


def test_a_calm_day_is_a_look_and_a_feed_and_a_glance_is_the_least() -> None:
    assert minutes(steps(Doing.MEASURE, Doing.FEED)) == (3, 0)
    assert minutes(()) == (1, 0)


def test_jobs_are_counted_apart_from_looking_and_feeding_and_what_is_left_alone_takes_no_time() -> None:
    assert minutes(steps(Doing.STOP, Doing.FLUFF, Doing.WATER, Doing.LOOK, Doing.CAUTION)) == (1, 8)


def test_what_a_harvest_takes_stands_with_its_steps_and_not_here() -> None:
    assert minutes(steps(Doing.HARVEST, Doing.NEW_BED)) == (1, 0)


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
