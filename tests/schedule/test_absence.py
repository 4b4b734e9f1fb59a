from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.schedule.lines import BIN, MONDAY, a_day
from wormbin.figures import Level
from wormbin.process.views import Day
from wormbin.records.farms import Settings, Units
from wormbin.schedule.absence import AbsencePlan, Amiss, absence_plan, feed_before_leaving

SATURDAY = MONDAY + timedelta(days=5)


def ahead(
    count: int, *, waiting: float = 2.0, moisture: float = 0.8, drying: float = 0.0, temp: float = 21.0
) -> list[Day]:
    return [
        a_day(
            MONDAY + timedelta(days=n), waiting=max(0.0, waiting - 0.25 * n), moisture=moisture - drying * n, temp=temp
        )
        for n in range(1, count + 1)
    ]


def plan(days: int, rows: list[Day], feed: float = 1.0) -> AbsencePlan:
    return absence_plan(BIN, a_day(), rows, Settings(), SATURDAY, SATURDAY + timedelta(days=days - 1), feed_kg=feed)


def test_before_leaving_the_bin_gets_what_it_eats_while_away_but_never_more_than_a_week() -> None:
    eve = a_day(SATURDAY - timedelta(days=1), waiting=0.5)
    few = feed_before_leaving(BIN, eve, SATURDAY, SATURDAY + timedelta(days=3))
    # 4 days at 0.25 kg, less the 0.25 kg that still waits by then
    assert few == pytest.approx(0.75, abs=0.011)
    long = feed_before_leaving(BIN, eve, SATURDAY, SATURDAY + timedelta(days=40))
    assert long == pytest.approx(0.25 * 7 - 0.25, abs=0.011)
    assert feed_before_leaving(BIN, a_day(waiting=9.0), SATURDAY, SATURDAY + timedelta(days=9)) == 0.0
    assert feed_before_leaving(BIN, eve, SATURDAY, SATURDAY, share=0.0) == 0.0


def test_a_short_absence_is_no_trouble() -> None:
    found = plan(4, ahead(20, waiting=4.0))
    assert found.level is Level.STEADY
    assert found.feed_short_on is None
    assert found.water_short_on is None
    assert found.risks == ("nothing is likely to go wrong",)
    assert any("needs nothing" in row for row in found.neighbour)
    assert "feed 1 kg on 6 March" in found.before[0]


def test_twelve_days_name_the_day_on_which_feed_runs_out() -> None:
    found = plan(12, ahead(30, waiting=2.5))
    assert found.feed_short_on == MONDAY + timedelta(days=10)
    assert "12 March" in found.risks[0]
    assert any("soaked in" in step for step in found.before)
    assert [step.code for step in found.steps] == ["leave", "feed-short", "back"]
    assert found.steps[-1].on == SATURDAY + timedelta(days=12)


def test_a_bin_that_dries_out_is_acted_on_with_water_before() -> None:
    found = plan(20, ahead(40, waiting=9.0, drying=0.008))
    assert found.level is Level.ACT
    assert found.water_short_on is not None
    assert found.water_kg > 0
    assert any("water it with" in step for step in found.before)
    assert any("sprinkle" in row for row in found.neighbour)


def test_a_month_with_nothing_to_eat_is_acted_on_and_a_fortnight_watched() -> None:
    assert plan(30, ahead(60, waiting=1.0)).level is Level.ACT
    assert plan(14, ahead(60, waiting=1.0)).level is Level.WATCH


def test_heat_and_cold_while_away_are_risks() -> None:
    assert any("coolest room" in risk for risk in plan(5, ahead(20, waiting=9.0, temp=31.0)).risks)
    assert any("wrap it" in risk for risk in plan(5, ahead(20, waiting=9.0, temp=3.0)).risks)


def test_the_neighbour_gets_days_amounts_and_what_never_to_do() -> None:
    found = plan(25, ahead(60, waiting=1.0))
    page = "\n".join(found.neighbour)
    assert page.count("March") >= 3
    assert "vegetable peelings" in page
    assert "Never: meat" in page
    assert "Leave out citrus, bread, cooked food too." in page, "what the feeding form calls only a little at a time"
    assert "wash hands" in page


def test_amounts_are_in_the_keepers_units() -> None:
    us = replace(Settings(), units=Units.US)
    found = absence_plan(BIN, a_day(), ahead(40), us, SATURDAY, SATURDAY + timedelta(days=20), feed_kg=1.0)
    assert "2.2 lb" in found.before[0]


def test_an_absence_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(ValueError, match="before the first"):
        absence_plan(BIN, a_day(), [], Settings(), SATURDAY, SATURDAY - timedelta(days=1), feed_kg=0.0)


def test_a_year_end_and_a_leap_day_are_days_like_others() -> None:
    eve = a_day(date(2027, 12, 20))
    rows = [a_day(eve.on + timedelta(days=n), waiting=0.0) for n in range(1, 90)]
    found = absence_plan(BIN, eve, rows, Settings(), date(2027, 12, 24), date(2028, 2, 29), feed_kg=0.5)
    assert found.steps[-1].on == date(2028, 3, 1)


def test_neither_the_last_feeding_nor_the_neighbours_is_a_leap_from_what_is_usual() -> None:
    eve, last = a_day(SATURDAY - timedelta(days=1), waiting=0.0), SATURDAY + timedelta(days=20)
    assert feed_before_leaving(BIN, eve, SATURDAY, last) > 0.9
    assert feed_before_leaving(BIN, eve, SATURDAY, last, most_kg=0.9) == pytest.approx(0.9)
    found = absence_plan(BIN, a_day(), ahead(40), Settings(), SATURDAY, last, feed_kg=0.9, most_kg=0.9)
    assert any("up to 900 g" in row for row in found.neighbour)


def test_what_is_amiss_today_is_dated_so_that_a_page_read_a_month_later_is_right() -> None:
    amiss = Amiss(Level.ACT, ("harvest is late",), ("take off 18 kg",))
    later = SATURDAY + timedelta(days=30)
    found = absence_plan(BIN, a_day(), ahead(60), Settings(), later, later, feed_kg=0.0, amiss=amiss)
    assert found.before[0] == f"first, today (Monday {MONDAY.day} March): take off 18 kg"


def test_the_neighbour_feeds_again_once_what_held_the_feed_is_over() -> None:
    """A bin that is not to be fed today is not left without feed for ten weeks."""
    soon = Amiss(Level.WATCH, hold=True, hold_until=SATURDAY + timedelta(days=6), why="70% of the last feeding is left")
    last = SATURDAY + timedelta(days=70)
    page = absence_plan(BIN, a_day(), ahead(80), Settings(), SATURDAY, last, feed_kg=0.0, amiss=soon)
    assert any("feed nothing more before you leave: 70% of the last feeding" in step for step in page.before)
    assert any("bury up to" in line for line in page.neighbour)
    late = replace(soon, hold_until=SATURDAY + timedelta(days=30))
    told = absence_plan(BIN, a_day(), ahead(80), Settings(), SATURDAY, last, feed_kg=0.0, amiss=late).neighbour
    assert "give it no feed" in told[1]
    assert "Each time: bury" in told[3]
    never = absence_plan(
        BIN, a_day(), ahead(80), Settings(), SATURDAY, last, feed_kg=0.0, amiss=replace(soon, hold_until=None)
    ).neighbour
    assert not any("bury up to" in line for line in never)


def test_a_caution_is_no_step_and_a_day_is_said_as_one_says_it() -> None:
    amiss = Amiss(Level.WATCH, ("ants",), ("stand the legs in water",), mind="no poison")
    tomorrow = MONDAY + timedelta(days=1)
    found = absence_plan(BIN, a_day(), ahead(20), Settings(), tomorrow, tomorrow, feed_kg=0.3, amiss=amiss)
    assert found.before[-1] == "mind: no poison"
    assert any(step.startswith("feed 300 g today,") for step in found.before)
    assert not any("on today" in step or "on tomorrow" in step for step in found.before)
    bare = plan(9, ahead(20, waiting=3.2), feed=0.0)
    assert bare.feed_short_on is not None
    assert (SATURDAY + timedelta(days=8) - bare.feed_short_on).days < 2
    assert not any("of dry bedding" in step for step in bare.before)
