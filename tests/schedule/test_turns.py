"""The rota of a term: nobody has more turns than another, whoever was away or swapped; the days that there are."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings, strategies as some

from wormbin.records.farms import Away, Gone, Job, Settings, Swap, Turns
from wormbin.schedule.turns import Duty, jobs_on, rota

FIRST, LAST = date(2026, 9, 1), date(2026, 12, 18)
WEEK = ("MO", "TU", "WE", "TH", "FR")
PUPILS = tuple(f"Pupil {number}" for number in range(1, 26))
EVERY = (Job("feed"), Job("check"), Job("water"), Job("measure", ("FR",)), Job("tidy", ("FR",)))
AUTUMN = Away(date(2026, 10, 24), date(2026, 11, 1), "autumn")


def _school(**how: object) -> Settings:
    turns = replace(Turns(days=WEEK, first=FIRST, last=LAST, jobs=EVERY), **how)  # type: ignore[arg-type]
    return Settings(feed_days=("MO", "TH"), away=(AUTUMN,), turns=turns)


def _counts(found: tuple[Duty, ...], names: tuple[str, ...]) -> list[int]:
    had = Counter(name for duty in found for name in duty.names)
    assert set(had) <= set(names)
    return [had[name] for name in names]


@given(pupils=some.integers(1, 25), together=some.integers(1, 3), weeks=some.integers(1, 15))
@settings(max_examples=settings().max_examples, deadline=None)
def test_with_everybody_there_no_child_has_two_turns_more_on_any_day(pupils: int, together: int, weeks: int) -> None:
    names = PUPILS[:pupils]
    found = rota(_school(together=together), names, FIRST, FIRST + timedelta(weeks=weeks))
    counts = _counts(found, names)
    assert max(counts) - min(counts) <= 1
    for duty in found:
        assert len(set(duty.names)) == len(duty.names) == min(together, pupils)


absences = some.lists(
    some.tuples(some.integers(0, 24), some.integers(0, 60), some.integers(0, 20)).map(
        lambda each: Gone(PUPILS[each[0]], FIRST + timedelta(days=each[1]), FIRST + timedelta(days=each[1] + each[2]))
    ),
    max_size=30,
)


@given(away=absences, changed=some.lists(some.tuples(some.integers(0, 60), some.integers(0, 24)), max_size=8))
@settings(max_examples=settings().max_examples, deadline=None)
def test_over_the_term_no_child_has_two_more_whoever_was_away_and_swapped(
    away: list[Gone], changed: list[tuple[int, int]]
) -> None:
    how = _school(away=tuple(away))
    swaps = []
    for days, number in changed:
        on = FIRST + timedelta(days=days)
        busy = [name for duty in rota(how, PUPILS, on, on) for name in duty.names]
        if busy and PUPILS[number] not in busy:
            swaps.append(Swap(on, PUPILS[number], busy[0]))
    found = rota(replace(how, turns=replace(how.turns, swaps=tuple(swaps))), PUPILS, FIRST, LAST)
    counts = _counts(found, PUPILS)
    assert max(counts) - min(counts) <= 1
    for duty in found:
        if not any(swap.on == duty.on for swap in swaps):
            gone = {each.name for each in away if each.first <= duty.on <= each.last}
            assert not gone & set(duty.names)


def test_one_who_is_ill_today_changes_today_and_the_day_of_who_steps_in_and_no_other() -> None:
    how = _school(jobs=(Job("check"),))
    planned = {each.on: each.names for each in rota(how, PUPILS[:5], FIRST, LAST)}
    day = date(2026, 9, 9)
    (ill,) = planned[day]
    then = rota(_school(jobs=(Job("check"),), away=(Gone(ill, day, day),)), PUPILS[:5], FIRST, day + timedelta(days=1))
    now = {each.on: each.names for each in then}
    assert now[day] == planned[date(2026, 9, 10)]
    assert now[date(2026, 9, 10)] == (ill,)
    assert {on: names for on, names in now.items() if on < day} == {on: n for on, n in planned.items() if on < day}


def test_jobs_have_their_days_and_a_half_day_has_only_the_quick_ones() -> None:
    how = _school(half_days=("WE", "2026-09-04"))
    monday = date(2026, 9, 7)
    assert jobs_on(how, monday) == ("feed", "check", "water")
    assert jobs_on(how, monday + timedelta(days=1)) == ("check", "water")
    assert jobs_on(how, monday + timedelta(days=2)) == ("check",)
    assert jobs_on(how, date(2026, 9, 4)) == ("check",)
    assert jobs_on(how, date(2026, 9, 11)) == ("check", "water", "measure", "tidy")
    for day in (date(2026, 8, 31), date(2026, 9, 12), AUTUMN.first, AUTUMN.last, date(2026, 12, 21)):
        assert jobs_on(how, day) == ()
    assert jobs_on(how, AUTUMN.last + timedelta(days=1)) != ()


def test_who_comes_in_the_middle_of_the_term_is_level_with_who_has_done_least() -> None:
    joined = date(2026, 11, 9)
    how = _school(jobs=(Job("check"),), joined={"Pupil 5": joined})
    found = rota(how, PUPILS[:5], FIRST, LAST)
    assert all("Pupil 5" not in duty.names for duty in found if duty.on < joined)
    since = _counts(tuple(duty for duty in found if duty.on >= joined), PUPILS[:5])
    assert max(since) - min(since) <= 2  # one for where they stood, one for the last day
    assert since[4] <= min(since) + 1
