from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, strategies as st

from tests.advice.cases import a_case
from tests.schedule.lines import BIN, MONDAY, a_day, fed, line, stocked
from wormbin.advice.rations import ration
from wormbin.figures import Band
from wormbin.process.views import Day, Planned
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Entry, Harvest, Portion, Watering
from wormbin.records.farms import Away, Settings
from wormbin.records.habits import Silence, bedding_per_feed, water_kg_day
from wormbin.schedule.plan import habit_kg_day, likely_feedings, planned as plan_of

SETTLED: tuple[Entry, ...] = (
    stocked(MONDAY - timedelta(days=90)),
    *(fed(0.7, MONDAY - timedelta(days=n)) for n in (25, 21, 18, 14, 11, 7, 4)),
)
WORMS_KG = 1.6
TWICE = Settings(feed_days=("MO", "TH"))


def planned(bin: Bin, entries: tuple[Entry, ...], settings: Settings, today: Day, days: int) -> tuple[Planned, ...]:
    """The plan of a bin with worms enough, by a plain clock: a day's work may lie when it is fed again."""
    daily = today.appetite_kg_day.p50
    dial = tuple((daily * (span + 1), float(span)) for span in range(2, 9))
    today = replace(today, days_if_fed=dial, worms_kg=Band.exactly(WORMS_KG))
    case = a_case((today,), bin=bin, entries=entries, settings=settings)
    return plan_of(case, ration(case), days)


def test_the_habit_is_planned_when_the_bin_can_take_it() -> None:
    plan = planned(BIN, SETTLED, TWICE, a_day(waiting=0.0, appetite=0.4), 14)
    assert [(each.on - MONDAY).days for each in plan] == [3, 7, 10, 14]
    # 0.7 kg every 3.5 days is 0.2 kg a day, over four days and over three
    assert plan[0].feed_kg == pytest.approx(0.8)
    assert plan[1].feed_kg == pytest.approx(0.6)
    assert {each.material for each in plan} == {"scraps"}


def test_no_more_is_planned_than_the_bin_can_take() -> None:
    plan = planned(BIN, SETTLED, TWICE, a_day(waiting=0.0, appetite=0.1), 60)
    assert sum(each.feed_kg for each in plan) <= 0.1 * 61 + 1e-9
    assert all(each.feed_kg <= 0.1 * 5 + 1e-9 for each in plan)


def test_an_overfed_bin_waits_until_it_has_caught_up() -> None:
    plan = planned(BIN, SETTLED, TWICE, a_day(waiting=3.0, appetite=0.2), 30)
    assert (plan[0].on - MONDAY).days >= 10


@given(st.floats(0, 5), st.floats(0, 1), st.integers(1, 120))
def test_the_plan_never_piles_feed_up(waiting: float, appetite: float, days: int) -> None:
    plan = planned(BIN, SETTLED, TWICE, a_day(waiting=waiting, appetite=appetite), days)
    there = waiting
    by_day = {each.on: each.feed_kg for each in plan}
    for n in range(1, days + 1):
        there = max(0.0, there - appetite)
        given = by_day.get(MONDAY + timedelta(days=n), 0.0)
        assert given >= 0
        there += given
        assert there <= max(waiting, appetite * 5 + 1e-9)


def test_a_new_bin_follows_its_ramp_whatever_was_given_first() -> None:
    log = (stocked(MONDAY), fed(2.0, MONDAY))
    plan = planned(BIN, log, TWICE, a_day(waiting=0.0, appetite=0.4), 40)
    by_day = {(each.on - MONDAY).days: each.feed_kg for each in plan}
    half_their_weight = 0.5 * WORMS_KG * 4
    assert by_day[3] == pytest.approx(0.25 * half_their_weight)
    assert by_day[3] < by_day[17] <= 0.5 * half_their_weight


def harvested(days_ago: int) -> Entry:
    return line(Harvest(castings_kg=2.0), MONDAY - timedelta(days=days_ago))


def test_in_the_week_after_a_harvest_a_quarter_is_planned_as_the_ration_is() -> None:
    """Thursday is the third day from Monday, and the seventh from the Thursday before."""
    free = planned(BIN, SETTLED, TWICE, a_day(waiting=0.0, appetite=0.4), 7)
    for ago, share in ((0, 0.25), (3, 0.25), (4, 1.0)):
        plan = planned(BIN, (*SETTLED, harvested(ago)), TWICE, a_day(waiting=0.0, appetite=0.4), 7)
        assert plan[0].feed_kg == pytest.approx(share * free[0].feed_kg)


def test_what_slows_the_feed_today_slows_a_week_of_the_plan() -> None:
    today = a_day(waiting=0.0, appetite=0.1)
    case = a_case((today,), bin=BIN, entries=SETTLED, settings=TWICE)
    free, slowed = (plan_of(case, replace(ration(case), slowed=share), 14) for share in (1.0, 0.5))
    assert [two.feed_kg / one.feed_kg < 0.9 for one, two in zip(free[:3], slowed[:3], strict=True)] == [
        True, False, False,
    ]  # fmt: skip
    assert slowed[0].feed_kg == pytest.approx(free[0].feed_kg / 2)


def test_nothing_is_planned_without_worms_or_for_a_closed_bin_or_in_an_absence() -> None:
    assert planned(BIN, (), TWICE, a_day(), 30) == ()
    assert planned(replace(BIN, ended=MONDAY), SETTLED, TWICE, a_day(), 30) == ()
    away = Settings(away=(Away(MONDAY, MONDAY + timedelta(days=13)),))
    plan = planned(BIN, SETTLED, away, a_day(waiting=0.0), 20)
    assert plan[0].on == MONDAY + timedelta(days=14)
    assert plan[0].feed_kg <= 0.25 * 5


def test_bedding_and_water_that_usually_go_along_are_planned_too() -> None:
    cover = line(Bedding((Portion("shredded-cardboard", 0.14),)), MONDAY - timedelta(days=3))
    water = tuple(line(Watering(0.6), MONDAY - timedelta(days=n)) for n in (30, 5))
    log = tuple(sorted((*SETTLED, cover, *water), key=lambda each: each.when))
    assert bedding_per_feed(log, MONDAY) == pytest.approx(0.14 / 4.9)
    assert water_kg_day(log, MONDAY) == pytest.approx(1.2 / 60)
    plan = planned(BIN, log, TWICE, a_day(waiting=0.0, appetite=0.4), 7)
    assert plan[0].bedding_kg == pytest.approx(0.8 * 0.14 / 4.9)
    assert plan[0].water_kg == pytest.approx(4 * 1.2 / 60)


def test_one_watering_and_the_first_bed_are_no_habit() -> None:
    log = (line(Bedding((Portion("shredded-cardboard", 2.0),)), MONDAY - timedelta(days=25)), *SETTLED)
    assert bedding_per_feed(log, MONDAY) == 0.0
    soaked = (*(line(Watering(kg), SETTLED[0].when.date()) for kg in (2.0, 2.5)), *SETTLED)
    assert water_kg_day(soaked, SETTLED[0].when.date() + timedelta(days=30)) == 0.0
    assert water_kg_day((line(Watering(2.0), MONDAY),), MONDAY) == 0.0
    assert bedding_per_feed((), MONDAY) == 0.0
    assert water_kg_day((), MONDAY) == 0.0


def test_feedings_of_the_ramp_make_no_habit() -> None:
    young = (stocked(MONDAY - timedelta(days=30)), *(fed(0.2, MONDAY - timedelta(days=n)) for n in (25, 20, 15, 10)))
    assert habit_kg_day(young, MONDAY) is None
    assert habit_kg_day(SETTLED, MONDAY) == pytest.approx(0.2)


def test_a_bin_without_a_habit_is_planned_no_leap() -> None:
    """Settled for two days, used to 100 g every five: a model that believes in 1 kg a day is not let loose at once."""
    young = (stocked(MONDAY - timedelta(days=30)), *(fed(0.1, MONDAY - timedelta(days=n)) for n in (25, 20, 15, 10)))
    plan = planned(BIN, young, TWICE, a_day(waiting=0.0, appetite=1.0), 30)
    assert plan
    assert max(each.feed_kg for each in plan) == pytest.approx(2 * 0.1)
    # In its first two weeks it was held to a quarter, which says nothing of what it can take.
    held = (stocked(MONDAY - timedelta(days=12)), *(fed(0.1, MONDAY - timedelta(days=n)) for n in (9, 6, 3)))
    first = planned(BIN, held, TWICE, a_day(waiting=0.0, appetite=1.0), 60)
    assert max(each.feed_kg for each in first) == pytest.approx(2 * 0.1 / 0.25)


LOG = (stocked(MONDAY), fed(0.5, MONDAY), fed(0.6, MONDAY + timedelta(days=3)), fed(0.7, MONDAY + timedelta(days=7)))


def test_likely_feedings_are_the_usual_meal_on_the_feeding_days_of_the_gap() -> None:
    gap = Silence(tuple(MONDAY + timedelta(days=n) for n in range(8, 29)))
    likely = likely_feedings(BIN.key, LOG, Settings(), gap)
    assert [each.kg for each in likely] == [0.6] * 6
    assert {each.on.weekday() for each in likely} == {0, 3}
    assert {each.material for each in likely} == {"scraps"}
    assert likely_feedings(BIN.key, (), Settings(), gap) == ()
