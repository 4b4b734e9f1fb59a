from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.advice.cases import (
    CALM_LOG,
    CALM_READINGS,
    SETTINGS,
    TODAY,
    a_case,
    ahead_of,
    band,
    days,
    fed,
    looked,
    piled,
    read,
    stocked,
)
from wormbin.advice.case import Case
from wormbin.advice.clock import pace_kg_day, work_days
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.judgement import judge
from wormbin.advice.looks import left_now
from wormbin.advice.rations import (
    AT_ONCE_DAYS,
    Ration,
    hold,
    interval_days,
    no_feed_until,
    ramp_ends,
    ramp_share,
    ration,
    week,
    with_amount,
)
from wormbin.figures import Band, Level
from wormbin.process.views import Layers
from wormbin.records.entries import Squeeze
from wormbin.records.farms import Settings

IN_FOUR = TODAY + timedelta(days=4)


def may(case: Case) -> Ration:
    """What a bin may be given today, to last four days, under all that is found in it."""
    return judge(case, IN_FOUR).ration


def test_the_ration_is_what_takes_just_until_the_next_feeding_less_what_waits() -> None:
    # a quarter of a kg is a day's work: four days are 1 kg, less 0.5 kg waiting
    can = may(a_case())
    assert can.kg == pytest.approx(4 * 0.25 - 0.5, abs=0.011)
    assert can.until == IN_FOUR
    assert work_days(a_case(), can.capacity_kg) == pytest.approx(4.0)
    assert can.capacity_kg == pytest.approx(1.0)
    # two days' feed may lie when it is fed again: the other half of it is worked off in four days
    assert "110 g a day until 24 May" in can.because[0]
    # told by the usual three and a half days: 0.875 kg may wait then, and 0.375 of it is worked off
    assert can.week_kg == pytest.approx(7 * 0.375 / 3.5)


def test_what_was_given_today_is_a_part_of_the_step_and_no_new_habit() -> None:
    hungry = days([{"appetite_kg_day": band(3.0), "worms_kg": band(3.0), "feed_waiting_kg": band(0.1)}] * 30)
    before = may(a_case(hungry))
    assert "twice the usual:" in before.because[-1]
    after = may(a_case(hungry, entries=(*CALM_LOG, fed(1.0, TODAY))))
    assert after.kg == pytest.approx(before.kg - 1.0, abs=0.011)
    assert may(a_case(hungry, entries=(*CALM_LOG, fed(5.0, TODAY)))).kg == 0.0


def test_a_fuller_bin_is_given_less_and_never_less_than_nothing() -> None:
    assert may(a_case(**piled(3.0))).kg == pytest.approx(0.25, abs=0.011)
    assert may(a_case(**piled(5.0))).kg == 0.0
    assert may(a_case(**piled(36.0))).kg == 0.0


def test_where_as_much_waits_as_lasts_until_then_the_day_is_told_from_which_it_may_be_fed() -> None:
    full = a_case(**piled(5.0))
    can = may(full)
    assert (can.kg, can.held) == (0.0, "")
    assert can.held_until == no_feed_until(full)
    assert may(a_case()).held_until is None


def test_a_pace_that_slows_lowers_the_ration_today() -> None:
    """The process's own days if more were fed: a bin that goes on slower takes less."""
    usual = a_case(days_if_fed=((0.75, 3.0), (1.25, 5.0), (2.5, 10.0)))
    cold = a_case(days_if_fed=((0.75, 4.0), (1.25, 7.0), (2.5, 14.0)))
    assert may(usual).kg == pytest.approx(0.5, abs=0.011)
    assert may(cold).kg == pytest.approx(0.25, abs=0.011)


def test_nothing_is_fed_while_over_a_third_is_left_by_eye() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, left=0.4))
    held = may(a_case(entries=log))
    assert held.kg == 0.0
    assert "over a third" in held.because[-1]
    assert held.held == held.because[-1]
    assert held.held_until is not None
    assert held.held_until > TODAY
    gone = (*CALM_LOG[:-1], looked(TODAY, left=0.33))
    assert may(a_case(entries=gone)).kg > 0
    stale = (*CALM_LOG[:-1], looked(TODAY - timedelta(days=8), left=0.9))
    assert may(a_case(entries=stale)).kg > 0


def test_a_look_before_the_last_feeding_is_no_look_at_it_and_yet_much_left_when_it_was_due_stops_the_feed() -> None:
    def case(ago: int) -> Case:
        return a_case(entries=(*CALM_LOG[:-1], looked(TODAY - timedelta(days=ago), left=0.9), fed(0.1, TODAY)))

    assert left_now(case(1)) is None
    assert may(case(1)).held == "90% of the last feeding left yesterday"
    assert may(case(2)).kg > 0, "a day after it was fed it is as it should be"


@pytest.mark.parametrize(
    ("changes", "share"),
    [
        ({"temp_c": Band.exactly(30.0)}, 0.0),
        ({"temp_c": Band.exactly(29.9)}, 0.5),
        ({"temp_c": Band.exactly(27.9)}, 1.0),
        ({"moisture": Band.exactly(0.90)}, 0.0),
        ({"moisture": Band.exactly(0.895)}, 0.5),
        ({"moisture": Band.exactly(0.865)}, 1.0),
        ({"air_reach_m": Band.exactly(0.05)}, 0.0),
        ({"air_reach_m": Band.exactly(0.15)}, 0.5),
        ({"air_reach_m": Band.exactly(0.19)}, 1.0),
        ({"temp_c": Band.exactly(4.0)}, 0.0),
        ({"temp_c": Band.exactly(4.1)}, 0.5),
        ({"temp_c": Band.exactly(8.1)}, 1.0),
    ],
)
def test_heat_cold_wet_and_want_of_air_halve_or_stop_the_ration(changes: dict[str, Band], share: float) -> None:
    log = (*CALM_LOG[:-1], looked(TODAY - timedelta(days=5), squeeze=Squeeze.SPONGE), CALM_LOG[-1])
    usual = may(a_case(entries=log))
    can = may(a_case(days([changes] * 3), entries=log))
    assert can.kg == pytest.approx(share * usual.kg, abs=0.011)
    assert (can.held == "") is (share > 0)
    assert len(set(can.because)) == len(can.because)
    assert (len(can.because) > len(usual.because)) is (share < 1)


def test_feed_never_comes_to_lie_thicker_than_four_centimetres() -> None:
    big = {"appetite_kg_day": band(3.0), "worms_kg": band(3.0), "layers": Layers(0.03, 0.1, 0.05, 0.0)}
    can = may(a_case(days([big] * 3)))
    assert can.kg == pytest.approx(0.01 * 0.2 * 600, abs=0.011), "scraps in the bin weigh 600 kg/m3 (from memory)"
    assert "4 cm" in can.because[-1]


def test_worms_get_no_more_than_they_weigh_a_day_whatever_the_sums_make_of_it() -> None:
    """0.85 of their weight a day, for the days until the next feeding and one that may lie (limits.BODY_WEIGHTS)."""
    few = {"appetite_kg_day": band(3.0), "worms_kg": band(0.3), **piled(0.1, 0.05)}
    surveyed = (*CALM_READINGS, read("worms_kg", 0.3, TODAY))
    can = may(a_case(days([few] * 3), judged=surveyed, entries=CALM_LOG[:2]))
    assert can.capacity_kg == pytest.approx(0.85 * 0.3 * 5)
    assert can.week_kg == pytest.approx(0.85 * 0.3 * 7)


def test_a_new_bin_gets_a_quarter_then_a_half() -> None:
    for age, share in ((1, 0.25), (13, 0.25), (14, 0.5), (27, 0.5), (28, 1.0)):
        case = a_case(entries=(stocked(TODAY - timedelta(days=age)),), judged=(), **piled(0.0, 0.0))
        assert ramp_share(case, TODAY) == share
        # 0.5 kg of worms get half their weight a day; a settled bin what it gets through in four days
        expected = 4 * 0.25 if share == 1.0 else 4 * min(share * 0.25, pace_kg_day(case, 3.5))
        assert may(case).kg == pytest.approx(expected, abs=0.011)
    assert ramp_ends(a_case(entries=(stocked(TODAY - timedelta(days=10)),)), TODAY) == TODAY + timedelta(days=4)
    assert ramp_ends(a_case(), TODAY) is None
    assert ramp_ends(a_case(entries=()), TODAY) is None


def test_a_bin_without_worms_is_fed_nothing() -> None:
    can = may(a_case(entries=()))
    assert can.kg == 0.0
    assert "no worms" in can.because[0]


def test_no_feed_until_is_the_day_on_which_no_more_than_two_days_feed_waits() -> None:
    # 2.5 kg at 0.25 kg a day: 0.5 kg, two days' feed, on the 8th day
    case = a_case(feed_waiting_kg=band(2.5), feed_waiting_days=band(10.0))
    assert no_feed_until(case) == TODAY + timedelta(days=8)
    assert hold(case).text == "do not feed until about 28 May"
    assert hold(case, at_least_days=20).text == "do not feed until about 9 June"
    # 0.9 kg: 0.45 kg on the second day
    little = a_case(feed_waiting_kg=band(0.9), feed_waiting_days=band(4.0))
    assert no_feed_until(little) == TODAY + timedelta(days=2)


def test_a_bare_bin_is_only_held_for_today_when_asked_to_hold() -> None:
    assert hold(a_case(feed_waiting_kg=Band.exactly(0.0))).text == "do not feed today"


def test_without_a_look_ahead_no_date_is_given() -> None:
    case = a_case()
    assert hold(replace(case, unfed=ahead_of(case.today, 0))).text == "do not feed until it is gone"


def test_the_interval_is_the_plans_or_the_keepers_own_if_longer() -> None:
    assert interval_days(a_case()) == 3.5
    weekly = (stocked(), *(fed(0.8, TODAY - timedelta(days=n)) for n in (28, 21, 14, 7, 0)))
    assert interval_days(a_case(entries=weekly)) == 7.0
    monthly = (stocked(), *(fed(0.8, TODAY - timedelta(days=n)) for n in (84, 56, 28, 0)))
    assert interval_days(a_case(entries=monthly)) == 7.0
    assert interval_days(a_case(settings=Settings(feed_days=()))) == 7.0
    assert SETTINGS.feed_days == ("MO", "TH")


def test_what_was_left_yesterday_is_less_today() -> None:
    yesterday = TODAY - timedelta(days=1)
    log = (*CALM_LOG[:-1], looked(yesterday, left=0.4))
    eaten = [{"feed_waiting_kg": band(1.0)}] * 3 + [{"feed_waiting_kg": band(0.5)}]
    assert may(a_case(days(eaten), entries=log)).kg > 0
    still = [{"feed_waiting_kg": band(0.5)}] * 4
    assert may(a_case(days(still), entries=log)).kg == 0.0


def test_a_week_is_told_out_of_the_one_ration_and_too_small_to_give_is_not_told() -> None:
    step = week("while it is this cold")
    can = may(a_case())
    told = with_amount(step, a_case(), can)
    assert told is not None
    assert told.text == "feed no more than 750 g a week while it is this cold"
    # a quarter of a kg a square metre is not worth giving: 0.05 kg on 0.2 m2
    assert with_amount(step, a_case(), replace(can, week_kg=0.0501)) is not None
    assert with_amount(step, a_case(), replace(can, week_kg=0.0499)) is None
    assert with_amount(step, a_case(), replace(can, held="it is hot")) is None, "something else says that nothing is"
    other = Action(Doing.FLUFF, "lift and fluff")
    assert with_amount(other, a_case(), replace(can, week_kg=0.0)) == other


def test_a_new_bins_week_comes_to_its_ration_in_as_many_parts_as_there_are_feedings() -> None:
    young = (stocked(TODAY - timedelta(days=3)),)
    bare = a_case(entries=young, feed_waiting_kg=Band.exactly(0.0), judged=())
    cans = [judge(bare, TODAY + timedelta(days=gap)).ration for gap in (3, 4)]
    # a quarter of half the worms' weight a day, 0.5 kg of worms
    assert sum(can.kg for can in cans) == pytest.approx(7 * 0.25 * 0.5 * 0.5, abs=0.021)
    assert any("440 g a week" in why for why in cans[1].because)
    assert cans[1].week_kg == pytest.approx(7 * 0.25 * 0.5 * 0.5)


def test_never_more_than_five_days_work_at_once_however_far_the_next_feeding_is() -> None:
    bare = a_case(feed_waiting_kg=Band.exactly(0.0), layers=Layers(0.0, 0.1, 0.1, 0.0), worms_kg=band(1.0))
    four, five, far = (judge(bare, TODAY + timedelta(days=gap)).ration for gap in (4, AT_ONCE_DAYS, 17))
    assert four.kg < five.kg == pytest.approx(far.kg)
    assert far.capacity_kg == pytest.approx(five.capacity_kg)
    assert any("5 days' worth is the most at once" in why for why in far.because)
    assert not any("the most at once" in why for why in five.because)


def test_while_an_alarm_says_to_hold_the_feed_there_is_no_ration() -> None:
    case = a_case(entries=(*CALM_LOG[:-1], looked(TODAY, seen=("mites",))))
    free, held = ration(case, (), IN_FOUR), may(case)
    assert free.kg > 0
    assert free.held == ""
    assert held.kg == 0.0
    assert "mites" in held.held
    assert held.because[-1] == held.held
    assert held.held_until == TODAY + timedelta(days=3)
    assert held.capacity_kg == free.capacity_kg, "what the bin can take is told as before"
    assert may(a_case()) == ration(a_case(), (), IN_FOUR)


def test_the_strongest_brake_counts_and_each_is_named_once() -> None:
    def found(code: str, feed: float, *steps: Action, level: Level = Level.WATCH) -> Finding:
        return Finding(code, level, code, "", steps, "", feed=feed)

    cold, wet = found("it is cold", 0.5), found("it is wet", 0.5)
    until = TODAY + timedelta(days=9)
    stop = found("feed is left", 1.0, Action(Doing.STOP, "no feed", until=until))
    heap = found("a heap", 1.0, Action(Doing.TAKE_OUT, "take out 1 kg", 1.0), level=Level.ACT)
    free = ration(a_case(), (), IN_FOUR)
    half = ration(a_case(), (cold, wet, cold), IN_FOUR)
    assert half.kg == pytest.approx(free.kg / 2, abs=0.011)
    assert half.week_kg == pytest.approx(free.week_kg / 2)
    assert half.because == (*free.because, "it is cold", "it is wet")
    none = ration(a_case(), (cold, stop, heap), IN_FOUR)
    assert (none.kg, none.held, none.held_until) == (0.0, "a heap", until)
    assert none.because == (*free.because, "it is cold", "feed is left", "a heap")


SPARING = (stocked(), *(fed(0.1, TODAY - timedelta(days=n)) for n in (17, 13, 10, 6, 3)))


def test_a_ration_is_a_step_up_from_the_habit_and_no_leap() -> None:
    """A kg is four days' work, 500 g waiting: 500 g; but it is used to 100 g every three or four days."""
    can = may(a_case(entries=SPARING))
    # twice 100 g, as 4 days are hardly more than the usual 3.5
    assert can.kg == pytest.approx(2 * 0.1, abs=0.011)
    assert "raise it step by step" in " ".join(can.because)
    assert can.used_to_kg == pytest.approx(0.5), "what it could take, were it used to it"
    assert can.capacity_kg == pytest.approx(1.0), "what the bin can take is told as before"


def test_counted_worms_are_given_what_they_get_through() -> None:
    counted = (*CALM_READINGS, read("worms_kg", 0.5, TODAY - timedelta(days=20)))
    assert may(a_case(entries=SPARING, judged=counted)).kg == pytest.approx(0.5, abs=0.011)
    doubtful = (*CALM_READINGS, read("worms_kg", 0.5, TODAY - timedelta(days=20), questioned=True))
    long_ago = (*CALM_READINGS, read("worms_kg", 0.5, TODAY - timedelta(days=91)))
    in_time = (*CALM_READINGS, read("worms_kg", 0.5, TODAY - timedelta(days=90)))
    assert may(a_case(entries=SPARING, judged=in_time)).kg == pytest.approx(0.5, abs=0.011)
    for judged in (doubtful, long_ago):
        assert may(a_case(entries=SPARING, judged=judged)).kg < 0.25


def test_two_feedings_are_no_habit_to_hold_anybody_to() -> None:
    assert may(a_case(entries=SPARING[:3])).kg == pytest.approx(0.5, abs=0.011)


def test_nothing_is_fed_on_the_day_the_worms_go_in() -> None:
    case = a_case(entries=(stocked(TODAY),), feed_waiting_kg=Band.exactly(0.0))
    assert may(case).kg == 0.0
    assert "settle" in may(case).because[0]


def test_a_later_check_that_says_nothing_of_what_is_left_does_not_lift_the_hold() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, 8, left=0.75), looked(TODAY, 11, temp_c=20.0))
    assert may(a_case(entries=log)).kg == 0.0
    newer = (*log, looked(TODAY, 12, left=0.1))
    assert may(a_case(entries=newer)).kg > 0


def test_the_hold_names_the_feeding_day_on_which_it_will_be_fed_and_holds_no_longer() -> None:
    case = a_case(feed_waiting_kg=band(2.0))
    until = hold(case).until
    assert until is not None
    thursday = until + timedelta(days=1)
    planned = hold(replace(case, feed_days=(until - timedelta(days=2), thursday)))
    assert planned.until == until
    assert f"{thursday.day} {thursday:%B}" in planned.text
