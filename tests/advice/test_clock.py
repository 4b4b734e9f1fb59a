"""One clock: days of work and kg of feed are the same curve read both ways, and it is the one that is charted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

import pytest
from hypothesis import given, settings, strategies as st

from tests.advice.cases import SETTINGS, TODAY, a_case, a_day, ahead_of, band, days, fed, stocked
from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.clock import backlog, by_chart, kg_in, may_lie_kg, pace_kg_day, work_days, worked_a_day
from wormbin.advice.judgement import judge
from wormbin.advice.rations import AT_ONCE_DAYS, interval_days
from wormbin.figures import Band
from wormbin.process.views import LEFT_DAYS


def test_the_days_are_those_of_the_process_whatever_was_fed_before() -> None:
    handfuls = (stocked(), *(fed(0.1, TODAY - timedelta(days=n)) for n in range(28, 0, -3)))
    heap = {"feed_waiting_kg": Band.exactly(3.0), "feed_waiting_days": band(9.0, 0.2)}
    case = a_case(days([heap] * 40), entries=handfuls)
    assert backlog(case)(case.today) == case.today.feed_waiting_days
    assert work_days(case, 3.0) == pytest.approx(9.0)


def test_the_pace_that_is_said_works_it_off_in_the_days_that_are_said_but_for_what_may_lie() -> None:
    # at a quarter of a kg a day two days' feed, half a kg, may lie
    assert worked_a_day(a_day(feed_waiting_kg=band(4.0), feed_waiting_days=band(6.0))) * 6.0 == pytest.approx(3.5)
    assert worked_a_day(a_day(feed_waiting_kg=band(0.4), feed_waiting_days=band(1.6))) == 0.25


def test_a_pace_that_may_be_anything_is_no_backlog() -> None:
    def told(low: float) -> Band | None:
        anything = {"feed_waiting_kg": band(1.5), "feed_waiting_days": Band(low, 8.4, 42.8)}
        case = a_case(days([anything] * 5), entries=(stocked(), fed(1.5, TODAY)))
        return backlog(case)(case.today)

    assert told(limits.SURE_OF_DAYS - 0.1) is None
    assert told(limits.SURE_OF_DAYS) is not None


def test_a_smear_is_no_backlog() -> None:
    """Half a kg a square metre, 100 g on this bin."""

    def told(kg: float) -> Band | None:
        case = a_case(days([{"feed_waiting_kg": Band.exactly(kg), "feed_waiting_days": band(9.0)}] * 40))
        return backlog(case)(case.today)

    assert told(0.099) is None
    assert told(0.1) is not None


def test_what_more_feed_would_make_of_it_lies_on_the_line_through_what_is_known() -> None:
    case = a_case(feed_waiting_kg=band(0.2), feed_waiting_days=band(1.0), days_if_fed=((0.7, 4.0), (1.95, 9.0)))
    assert work_days(case, 0.7) == pytest.approx(4.0)
    assert work_days(case, 1.2) == pytest.approx(6.0)
    assert work_days(case, 3.2) == pytest.approx(14.0)


def test_a_days_feed_is_a_days_work() -> None:
    assert work_days(a_case(), 0.25) == pytest.approx(1.0)
    assert work_days(a_case(), 0.125) == pytest.approx(0.5)
    assert work_days(a_case(), 0.0) == 0.0


@dataclass(frozen=True)
class Dial:
    """A bin of any pace: kg a day, kg and days waiting, herd, and the process's days if more were fed."""

    daily: float
    waits: float
    work: float
    worms: float
    more: tuple[tuple[float, float], ...]

    def case(self) -> Case:
        return a_case(
            appetite_kg_day=band(self.daily), feed_waiting_kg=band(self.waits), feed_waiting_days=band(self.work),
            worms_kg=band(self.worms), days_if_fed=tuple((self.waits + kg, days) for kg, days in self.more),
        )  # fmt: skip


ANY = st.builds(
    Dial,
    st.floats(0.01, 3.0),
    st.floats(0.0, 20.0),
    st.floats(0.0, 60.0),
    st.floats(0.05, 5.0),
    st.lists(st.tuples(st.floats(0.05, 20.0), st.floats(0.0, 60.0)), max_size=4).map(sorted).map(tuple),
)
"""Figures in any order, as no process would give them."""


@st.composite
def rising(draw: st.DrawFn) -> Dial:
    """What a process gives: a day's feed is a day's work up to what may lie, and more takes longer."""
    daily, waits = draw(st.floats(0.01, 3.0)), draw(st.floats(0.0, 20.0))
    lies = LEFT_DAYS * daily
    days = min(LEFT_DAYS, waits / daily) + (draw(st.floats(0.01, 30.0)) if waits > lies else 0.0)
    steps = draw(st.lists(st.tuples(st.floats(0.05, 5.0), st.floats(0.1, 20.0)), max_size=4))
    points, kg, then = [], max(0.0, lies - waits), max(LEFT_DAYS, days)
    for more_kg, more_days in steps:
        kg, then = kg + more_kg, then + more_days
        points.append((kg, then))
    return Dial(daily, waits, days, draw(st.floats(0.05, 5.0)), tuple(points))


@given(ANY, st.floats(0.0, 40.0), st.floats(0.0, 40.0))
@settings(deadline=None)
def test_more_feed_never_takes_fewer_days(dial: Dial, one: float, other: float) -> None:
    case, (less, more) = dial.case(), sorted((one, other))
    assert work_days(case, less) <= work_days(case, more) + 1e-9
    assert kg_in(case, less) <= kg_in(case, more) + 1e-9


@given(rising(), st.floats(0.05, 40.0))
@settings(deadline=None)
def test_kg_and_days_are_the_same_clock_read_both_ways(dial: Dial, days_: float) -> None:
    case = dial.case()
    kg = kg_in(case, days_)
    assert work_days(case, kg - 1e-9) <= days_ + 1e-6
    assert work_days(case, kg + 1e-9) >= days_ - 1e-6


@given(rising(), st.integers(1, 12))
@settings(deadline=None)
def test_the_most_that_may_wait_takes_just_the_days_until_the_next_feeding(dial: Dial, gap: int) -> None:
    case = dial.case()
    can = judge(case, TODAY + timedelta(days=gap)).ration
    span = min(float(gap), AT_ONCE_DAYS)
    assert work_days(case, can.capacity_kg - 1e-9) <= span + 1e-6
    if can.capacity_kg < limits.BODY_WEIGHTS.watch.leave * dial.worms * (span + 1) - 1e-9:
        assert work_days(case, can.capacity_kg + 1e-9) >= span - 1e-6
    if can.kg > 0:
        assert work_days(case, dial.waits + can.kg - 1e-9) <= span + 1e-6


@given(rising(), st.floats(0.5, 10.0))
@settings(deadline=None)
def test_fed_at_its_pace_a_bin_is_full_again_by_the_next_feeding_and_no_fuller(dial: Dial, every: float) -> None:
    case = dial.case()
    whole = kg_in(case, every)
    lies = min(whole, may_lie_kg(case.today))
    assert lies + every * pace_kg_day(case, every) == pytest.approx(whole)


def test_the_ration_of_a_bin_used_to_handfuls_is_no_overfeeding() -> None:
    little = (stocked(), *(fed(0.9, TODAY - timedelta(days=n)) for n in range(28, 0, -3)))
    row = {
        "feed_waiting_kg": band(0.2), "feed_waiting_days": band(0.4), "appetite_kg_day": band(0.5),
        "worms_kg": band(1.0), "days_if_fed": ((1.2, 4.0), (3.7, 9.0)),
    }  # fmt: skip
    case = a_case(days([row] * 40), entries=little, settings=SETTINGS)
    can = judge(case, TODAY + timedelta(days=7)).ration
    assert can.kg > 0
    assert work_days(case, 0.2 + can.kg) < limits.overfed(interval_days(case)).watch.enter


def eaten(case: Case, *kg: float) -> Case:
    """The same case with a look-ahead without feedings on which this waits, day by day."""
    rows = ahead_of(case.today, len(kg))
    course = tuple(replace(day, feed_waiting_kg=band(each)) for day, each in zip(rows.days, kg, strict=True))
    return replace(case, unfed=replace(rows, days=course))


def test_the_clock_shows_the_day_that_the_chart_without_feedings_shows() -> None:
    """2 kg at a quarter of a kg a day may be fed again under half a kg: half way through the third day by the chart."""
    case = eaten(a_case(feed_waiting_kg=band(2.0), feed_waiting_days=band(8.0), days_if_fed=((3.0, 12.0),)),
                 1.4, 0.7, 0.3, 0.1)  # fmt: skip
    told = by_chart(case.today, case.unfed.days)
    assert told.feed_waiting_days.p50 == pytest.approx(2.5)
    assert told.feed_waiting_days.p90 == pytest.approx(2.5 * 1.1)
    assert [each for pair in told.days_if_fed for each in pair] == pytest.approx([3.0, 12.0 * 2.5 / 8.0])


def test_a_chart_that_ends_too_soon_or_a_smear_leaves_the_clock_as_it_is() -> None:
    long = eaten(a_case(feed_waiting_kg=band(2.0), feed_waiting_days=band(8.0)), 1.9, 1.8)
    assert by_chart(long.today, long.unfed.days).feed_waiting_days == long.today.feed_waiting_days
    assert by_chart(long.today, ()) == long.today
    smear = eaten(a_case(feed_waiting_kg=band(0.2), feed_waiting_days=band(0.8)), 0.1)
    assert by_chart(smear.today, smear.unfed.days) == smear.today
    slow = eaten(a_case(feed_waiting_kg=band(2.0), feed_waiting_days=band(1.0)), 1.9, 1.8, 1.7)
    assert by_chart(slow.today, slow.unfed.days).feed_waiting_days.p50 == pytest.approx(3.0), "at least so long"
