from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.schedule.lines import BIN, MONDAY
from wormbin.process.views import Window
from wormbin.records.bins import Method
from wormbin.records.farms import Away, Settings
from wormbin.schedule.harvest import harvest_day, harvest_steps, lead_days

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
    assert days[0] == FAR - timedelta(days=max(lead_days(method), 1))
    assert steps[-1].code == "cured"
    harvest = next(step for step in steps if step.code == "harvest")
    assert harvest.on == FAR
    assert "6.3 kg, 9 L" in harvest.what
    assert {"soak-bedding", "return-worms", "re-bait"} <= {step.code for step in steps}


def test_light_sorting_stops_the_feed_within_one_to_two_weeks_before() -> None:
    steps = harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS)
    stop = next(step for step in steps if step.code == "stop-feeding")
    assert 7 <= (FAR - stop.on).days <= 14


def test_sideways_feeds_the_fresh_half_two_to_eight_weeks_before() -> None:
    steps = harvest_steps(replace(BIN, method=Method.SIDEWAYS), likely(FAR), MONDAY, SETTINGS)
    assert 14 <= (FAR - steps[0].on).days <= 60
    assert "800 g of soaked bedding" in steps[0].what


def test_curing_takes_four_weeks_and_longer_in_the_cool() -> None:
    warm = harvest_steps(replace(BIN, site_temp_c=22.0), likely(FAR), MONDAY, SETTINGS)[-1]
    cool = harvest_steps(replace(BIN, site_temp_c=14.0), likely(FAR), MONDAY, SETTINGS)[-1]
    assert (warm.on - FAR).days == 28
    assert (cool.on - FAR).days == 42


def test_the_steps_move_when_the_likely_day_does() -> None:
    one = harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS)
    two = harvest_steps(BIN, likely(FAR + timedelta(days=9)), MONDAY, SETTINGS)
    assert [step.on + timedelta(days=9) for step in one] == [step.on for step in two]


def test_a_due_harvest_has_one_day_that_does_not_run_away() -> None:
    days = [harvest_day(BIN, due(MONDAY), MONDAY + timedelta(days=n), SETTINGS) for n in (0, 3, 9, 10)]
    assert set(days) == {MONDAY + timedelta(days=10)}
    assert harvest_day(BIN, due(MONDAY), MONDAY + timedelta(days=30), SETTINGS) == MONDAY + timedelta(days=30)


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
    assert steps["soak-bedding"].on == MONDAY
    assert steps["harvest"].on == steps["return-worms"].on == MONDAY + timedelta(days=1)
    assert list(steps).index("soak-bedding") < list(steps).index("harvest")


def test_no_harvest_in_sight_has_no_steps() -> None:
    assert harvest_steps(BIN, Window(None, None, None), MONDAY, SETTINGS) == ()


def test_harvest_and_steps_are_moved_out_of_absences() -> None:
    away = Settings(away=(Away(FAR - timedelta(days=1), FAR + timedelta(days=6)),))
    assert harvest_day(BIN, likely(FAR), MONDAY, away) == FAR + timedelta(days=7)
    before = Settings(away=(Away(FAR - timedelta(days=12), FAR - timedelta(days=8)),))
    stop = harvest_steps(BIN, likely(FAR), MONDAY, before)[0]
    assert stop.on == FAR - timedelta(days=13)


def test_a_heavy_harvest_is_lifted_by_two() -> None:
    heavy = harvest_steps(BIN, likely(FAR), MONDAY, SETTINGS, castings_kg=35.0)
    assert any("share the lifting" in step.what for step in heavy)
