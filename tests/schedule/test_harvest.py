from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.schedule.lines import BIN, MONDAY
from wormbin.process.views import Window
from wormbin.records.bins import Method
from wormbin.records.farms import Away, Settings
from wormbin.schedule.harvest import Apart, harvest_day, harvest_steps, lead_days, rest

SETTINGS = Settings()
FAR = MONDAY + timedelta(days=100)


def likely(day: date) -> Window:
    return Window(day - timedelta(days=20), day, day + timedelta(days=20))


def due(since: date) -> Window:
    return Window(since, since, since, due_since=since)


@pytest.mark.parametrize("method", list(Method))
def test_every_way_of_harvesting_has_its_steps_in_order_ending_cured(method: Method) -> None:
    steps = harvest_steps(replace(BIN, method=method), likely(FAR), MONDAY, SETTINGS, castings_kg=6.3)
    days = [step.on for step in steps]
    assert days == sorted(days)
    # Worms that move out by themselves begin when the castings are ripe; before the other ways feed stops in time.
    day = FAR + timedelta(days=lead_days(method)) if method in (Method.SIDEWAYS, Method.UPWARD) else FAR
    assert days[0] == day - timedelta(days=max(lead_days(method), 1))
    assert steps[-1].code == "cured"
    harvest = next(step for step in steps if step.code == "harvest")
    assert harvest.on == day == harvest_day(replace(BIN, method=method), likely(FAR), MONDAY, SETTINGS)
    assert "6.3 kg, 9 L" in harvest.what
    assert {"soak-bedding", "return-worms", "re-bait"} <= {step.code for step in steps}


def test_light_sorting_stops_the_feed_within_one_to_two_weeks_before() -> None:
    steps = harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS)
    stop = next(step for step in steps if step.code == "stop-feeding")
    assert 7 <= (FAR - stop.on).days <= 14


def test_sideways_feeds_the_fresh_half_two_to_eight_weeks_before() -> None:
    steps = harvest_steps(replace(BIN, method=Method.SIDEWAYS), likely(FAR), MONDAY, SETTINGS)
    harvest = next(step for step in steps if step.code == "harvest")
    assert 14 <= (harvest.on - steps[0].on).days <= 60
    assert "800 g of soaked bedding" in steps[0].what


def test_curing_takes_four_weeks_and_longer_in_the_cool() -> None:
    warm = harvest_steps(replace(BIN, site_temp_c=22.0), likely(FAR), MONDAY, SETTINGS)[-1]
    cool = harvest_steps(replace(BIN, site_temp_c=14.0), likely(FAR), MONDAY, SETTINGS)[-1]
    assert (warm.on - FAR).days == 28
    assert (cool.on - FAR).days == 42


def test_the_young_are_drawn_out_of_the_harvest_three_weeks_after_it() -> None:
    # Cocoons hatch in 18-26 days at 25 C (from memory).
    steps = {step.code: step.on for step in harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS)}
    assert (steps["re-bait"] - steps["harvest"]).days == 21


def test_the_steps_move_when_the_likely_day_does() -> None:
    one = harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS)
    two = harvest_steps(BIN, likely(FAR + timedelta(days=9)), MONDAY, SETTINGS)
    assert [step.on + timedelta(days=9) for step in one] == [step.on for step in two]


def test_a_due_harvest_has_one_day_that_does_not_run_away() -> None:
    """Who fed on the day it fell due waits as long as the worms need; who fed on for weeks waits no longer."""
    fed = MONDAY
    days = [harvest_day(BIN, due(MONDAY), MONDAY + timedelta(days=n), SETTINGS, last_fed=fed) for n in (0, 3, 9)]
    assert set(days) == {MONDAY + timedelta(days=10)}
    later = MONDAY + timedelta(days=30)
    assert harvest_day(BIN, due(MONDAY), later, SETTINGS, last_fed=later) == later + timedelta(days=1)


def test_the_day_foretold_is_the_day_when_it_comes() -> None:
    """A keeper who stopped feeding in time is not told another ten days when the castings fall due."""
    stopped = FAR - timedelta(days=11)
    before = harvest_day(BIN, likely(FAR), FAR - timedelta(days=3), SETTINGS, last_fed=stopped)
    on_it = harvest_day(BIN, due(FAR - timedelta(days=1)), FAR - timedelta(days=1), SETTINGS, last_fed=stopped)
    assert before == on_it == FAR
    fed_on = harvest_day(BIN, likely(FAR), FAR - timedelta(days=3), SETTINGS, last_fed=FAR - timedelta(days=4))
    assert fed_on == FAR + timedelta(days=6)


def test_feed_rests_before_the_harvest_only_and_no_longer_than_its_lead() -> None:
    assert rest(BIN, likely(FAR), FAR) == (FAR - timedelta(days=10), FAR)
    assert rest(replace(BIN, method=Method.FLOW), likely(FAR), FAR) is None
    assert rest(replace(BIN, compartments=2), likely(FAR), FAR) is None
    first, again = rest(BIN, due(MONDAY), MONDAY + timedelta(days=15)) or (MONDAY, MONDAY)
    assert (first, again) == (MONDAY + timedelta(days=5), MONDAY + timedelta(days=10))
    assert rest(BIN, due(MONDAY), MONDAY + timedelta(days=31)) is None


LOWER = Apart("lower tray", "upper tray")


@pytest.mark.parametrize("method", list(Method))
def test_the_steps_of_a_tray_name_it_and_the_one_that_is_fed_after_it(method: Method) -> None:
    one = replace(BIN, method=method, compartments=2)
    steps = harvest_steps(one, likely(FAR), MONDAY, SETTINGS, apart=LOWER, castings_kg=2.0)
    harvest = next(step for step in steps if step.code == "harvest")
    assert "lower tray" in harvest.what
    assert "about 2 kg" in harvest.what
    assert harvest.on == harvest_day(one, likely(FAR), MONDAY, SETTINGS, apart=LOWER)
    assert harvest.on == FAR + timedelta(days=lead_days(method))
    told = " ".join(step.what for step in steps if step.on <= harvest.on)
    assert "upper tray" in told
    assert "lowest tray" not in told
    assert "old half" not in told
    # Feed leaves it on the day on which it is ripe, as the round says then.
    assert method is Method.FLOW or steps[0].on == FAR
    assert all(step.on >= MONDAY for step in steps)


def test_a_tray_that_feed_has_left_is_not_told_so_again() -> None:
    one = replace(BIN, method=Method.UPWARD, compartments=2)
    left = replace(LOWER, left=True)
    left_on = MONDAY - timedelta(days=20)
    steps = harvest_steps(one, due(MONDAY), MONDAY, SETTINGS, apart=left, last_fed=left_on)
    assert "new-tray" not in {step.code for step in steps}
    assert next(step.on for step in steps if step.code == "harvest") == left_on + timedelta(days=28)
    still = harvest_steps(one, due(MONDAY), MONDAY, SETTINGS, apart=LOWER, last_fed=MONDAY)
    assert (still[0].code, still[0].on) == ("new-tray", MONDAY)


def test_own_lots_say_how_long_to_cure() -> None:
    steps = {step.code: step for step in harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS, own_cure_days=18)}
    assert (steps["cured"].on - FAR).days == 18
    assert "18 days" in steps["cured"].what
    assert "re-bait" not in steps


def test_steps_that_have_had_their_day_are_left_out_once_due_and_put_on_today_before() -> None:
    late = harvest_steps(BIN, due(MONDAY), MONDAY + timedelta(days=5), SETTINGS)
    assert "stop-feeding" not in {step.code for step in late}
    near = harvest_steps(BIN, likely(MONDAY + timedelta(days=4)), MONDAY, SETTINGS)
    assert near[0].code == "stop-feeding"
    assert near[0].on == MONDAY
    assert all(step.on >= MONDAY for step in near)


@pytest.mark.parametrize("method", list(Method))
@pytest.mark.parametrize("window", [likely(MONDAY), due(MONDAY - timedelta(days=90))], ids=["likely today", "overdue"])
def test_the_new_bed_is_soaked_the_evening_before_the_worms_go_back(method: Method, window: Window) -> None:
    steps = {step.code: step for step in harvest_steps(replace(BIN, method=method), window, MONDAY, SETTINGS)}
    day = harvest_day(replace(BIN, method=method), window, MONDAY, SETTINGS)
    assert day is not None
    assert day == MONDAY + timedelta(days=1) or method in (Method.SIDEWAYS, Method.UPWARD)
    assert steps["soak-bedding"].on == day - timedelta(days=1)
    assert steps["harvest"].on == steps["return-worms"].on == day
    assert list(steps).index("soak-bedding") < list(steps).index("harvest")


def test_no_harvest_in_sight_has_no_steps() -> None:
    assert harvest_steps(BIN, Window(None, None, None), MONDAY, SETTINGS) == ()


def test_harvest_and_steps_are_moved_out_of_absences() -> None:
    away = Settings(away=(Away(FAR - timedelta(days=1), FAR + timedelta(days=6)),))
    # The lid is off for a night before sorting by light, and somebody must be there to take it off.
    assert harvest_day(BIN, likely(FAR), MONDAY, away) == FAR + timedelta(days=8)
    steps = {step.code: step.on for step in harvest_steps(BIN, likely(FAR), MONDAY, away)}
    assert steps["lid-off"] == FAR + timedelta(days=7)
    before = Settings(away=(Away(FAR - timedelta(days=12), FAR - timedelta(days=8)),))
    stop = harvest_steps(BIN, likely(FAR), MONDAY, before)[0]
    assert stop.on == FAR - timedelta(days=13)


def test_what_is_due_on_the_last_day_before_an_absence_is_harvested_on_that_day() -> None:
    away = Settings(away=(Away(MONDAY + timedelta(days=1), MONDAY + timedelta(days=70)),))
    overdue = due(MONDAY - timedelta(days=60))
    assert harvest_day(BIN, overdue, MONDAY, away) == MONDAY
    soak = next(step for step in harvest_steps(BIN, overdue, MONDAY, away) if step.code == "soak-bedding")
    assert soak.on == MONDAY
    assert "for some hours" in soak.what
    assert harvest_day(BIN, likely(MONDAY + timedelta(days=9)), MONDAY, away) == MONDAY + timedelta(days=72)


def test_a_harvest_falls_on_no_weekday_on_which_nobody_is_there() -> None:
    assert FAR.weekday() == 2
    saturday = FAR + timedelta(days=3)
    assert harvest_day(BIN, likely(saturday), MONDAY, SETTINGS, off=frozenset({5, 6})) == saturday + timedelta(days=2)
    assert harvest_day(BIN, likely(saturday), MONDAY, SETTINGS) == saturday


def test_a_heavy_harvest_is_lifted_by_two() -> None:
    heavy = harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS, castings_kg=35.0)
    assert any("share the lifting" in step.what for step in heavy)
