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
    a_day,
    ahead_of,
    band,
    days,
    fed,
    looked,
    read,
    stocked,
)
from wormbin.advice.judgement import findings, todays_ration
from wormbin.advice.rations import hold, interval_days, no_feed_until, ramp_ends, ramp_share, ration, week
from wormbin.figures import Band
from wormbin.process.views import Layers
from wormbin.records.farms import Settings

IN_FOUR = TODAY + timedelta(days=4)


def test_the_ration_is_what_is_eaten_until_the_next_feeding_less_what_waits() -> None:
    # 0.25 kg a day for 4 days and one to spare, less 0.5 kg waiting
    can = ration(a_case(), IN_FOUR)
    assert can.kg == pytest.approx(0.25 * 5 - 0.5, abs=0.011)
    assert can.until == IN_FOUR
    assert can.capacity_kg == pytest.approx(1.25)
    assert "250 g a day until 24 May" in can.because[0]


def test_what_was_given_today_is_a_part_of_the_step_and_no_new_habit() -> None:
    hungry = days([{"appetite_kg_day": band(3.0), "feed_waiting_kg": band(0.1)}] * 30)
    before = ration(a_case(hungry), IN_FOUR)
    assert "twice what it usually gets:" in before.because[-1]
    after = ration(a_case(hungry, entries=(*CALM_LOG, fed(1.0, TODAY))), IN_FOUR)
    assert after.kg == pytest.approx(before.kg - 1.0, abs=0.011)
    assert "less the 1 kg given today" in after.because[-1]
    assert ration(a_case(hungry, entries=(*CALM_LOG, fed(5.0, TODAY))), IN_FOUR).kg == 0.0


def test_a_fuller_bin_is_given_less_and_never_less_than_nothing() -> None:
    assert ration(a_case(feed_waiting_kg=band(1.0)), IN_FOUR).kg == pytest.approx(0.25, abs=0.011)
    assert ration(a_case(feed_waiting_kg=band(9.0)), IN_FOUR).kg == 0.0


def test_a_cold_spell_ahead_lowers_the_ration_today() -> None:
    case = a_case()
    cold = ahead_of(a_day(appetite_kg_day=band(0.1)), eaten=True)
    assert ration(replace(case, unfed=cold), IN_FOUR).kg < ration(case, IN_FOUR).kg


def test_nothing_is_fed_while_over_a_third_is_left_by_eye() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, left=0.4))
    held = ration(a_case(entries=log), IN_FOUR)
    assert held.kg == 0.0
    assert "over a third" in held.because[-1]
    gone = (*CALM_LOG[:-1], looked(TODAY, left=0.3))
    assert ration(a_case(entries=gone), IN_FOUR).kg > 0
    stale = (*CALM_LOG[:-1], looked(TODAY - timedelta(days=3), left=0.9))
    assert ration(a_case(entries=stale), IN_FOUR).kg > 0


def test_a_look_before_the_last_feeding_says_nothing_about_it() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY - timedelta(days=1), left=0.9), fed(0.1, TODAY))
    assert ration(a_case(entries=log), IN_FOUR).kg > 0


@pytest.mark.parametrize(
    ("changes", "share"),
    [
        ({"temp_c": Band.exactly(31.0)}, 0.0),
        ({"temp_c": Band.exactly(28.5)}, 0.5),
        ({"moisture": Band.exactly(0.91)}, 0.0),
        ({"moisture": Band.exactly(0.875)}, 0.5),
        ({"air_reach_m": Band.exactly(0.05)}, 0.0),
        ({"air_reach_m": Band.exactly(0.15)}, 0.5),
        ({"temp_c": Band.exactly(2.0)}, 0.0),
    ],
)
def test_heat_cold_wet_and_want_of_air_halve_or_stop_the_ration(changes: dict[str, Band], share: float) -> None:
    usual = ration(a_case(), IN_FOUR).kg
    assert ration(a_case(days([changes] * 3)), IN_FOUR).kg == pytest.approx(share * usual, abs=0.011)


def test_feed_never_comes_to_lie_thicker_than_four_centimetres() -> None:
    big = {"appetite_kg_day": band(3.0), "layers": Layers(0.03, 0.1, 0.05, 0.0)}
    can = ration(a_case(days([big] * 3)), IN_FOUR)
    assert can.kg == pytest.approx(0.01 * 0.2 * 500, abs=0.011)
    assert "4 cm" in can.because[-1]


def test_a_new_bin_gets_a_quarter_then_a_half() -> None:
    for age, share in ((1, 0.25), (13, 0.25), (14, 0.5), (27, 0.5), (28, 1.0)):
        case = a_case(entries=(stocked(TODAY - timedelta(days=age)),), feed_waiting_kg=Band.exactly(0.0))
        assert ramp_share(case, TODAY) == share
        assert ration(case, IN_FOUR).kg == pytest.approx(0.25 * share * (5 if share == 1.0 else 4), abs=0.011)
    assert ramp_ends(a_case(entries=(stocked(TODAY - timedelta(days=10)),))) == TODAY + timedelta(days=4)
    assert ramp_ends(a_case()) is None
    assert ramp_ends(a_case(entries=())) is None


def test_a_bin_without_worms_is_fed_nothing() -> None:
    can = ration(a_case(entries=()), IN_FOUR)
    assert can.kg == 0.0
    assert "no worms" in can.because[0]


def test_no_feed_until_is_the_day_on_which_under_a_third_of_a_meal_or_a_days_work_waits() -> None:
    case = a_case(feed_waiting_kg=band(2.5), feed_waiting_days=band(10.0))
    # 2.5 kg at 0.25 kg a day; a third of the usual 0.8 kg meal is 0.27: on the 9th day 0.25 is left
    assert no_feed_until(case) == TODAY + timedelta(days=9)
    assert hold(case).text == "no feed until about 29 May"
    assert hold(case, at_least_days=20).text == "no feed until about 9 June"


def test_a_bare_bin_is_only_held_for_today_when_asked_to_hold() -> None:
    assert hold(a_case(feed_waiting_kg=Band.exactly(0.0))).text == "no feed today"


def test_without_a_look_ahead_no_date_is_given() -> None:
    case = a_case()
    assert hold(replace(case, unfed=ahead_of(case.today, 0))).text == "no feed until it is gone"


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
    assert ration(a_case(days(eaten), entries=log), IN_FOUR).kg > 0
    still = [{"feed_waiting_kg": band(0.5)}] * 4
    assert ration(a_case(days(still), entries=log), IN_FOUR).kg == 0.0


def test_a_bin_is_fed_what_it_has_shown_that_it_keeps_up_with_though_the_model_is_timid() -> None:
    log = (stocked(), *(fed(0.7, TODAY - timedelta(days=n)) for n in range(28, 0, -3)))
    timid = days(
        [{"appetite_kg_day": band(0.01), "feed_waiting_kg": band(0.1), "days_if_fed": ((0.1, 2.0), (2.0, 5.0))}] * 40
    )
    assert ration(a_case(timid, entries=log), IN_FOUR).kg == pytest.approx(0.7 * 7 / 21 * 5 - 0.1, abs=0.02)


def test_a_weeks_ration_too_small_to_give_is_nothing() -> None:
    assert week(a_case(), "while it is this cold").text == "feed no more than 1.8 kg a week while it is this cold"
    assert (
        week(a_case(appetite_kg_day=band(0.002)), "while it is this cold").text == "feed nothing while it is this cold"
    )


def test_a_new_bins_week_comes_to_its_ration_in_as_many_parts_as_there_are_feedings() -> None:
    young = (stocked(TODAY - timedelta(days=3)),)
    bare = a_case(entries=young, feed_waiting_kg=Band.exactly(0.0))
    parts = [ration(bare, TODAY + timedelta(days=gap)).kg for gap in (3, 4)]
    # a quarter of half the worms' weight a day, 0.5 kg of worms
    assert sum(parts) == pytest.approx(7 * 0.25 * 0.5 * 0.5, abs=0.021)
    assert any("440 g a week" in why for why in ration(bare, IN_FOUR).because)


def test_never_more_than_a_weeks_work_at_once_however_far_the_next_feeding_is() -> None:
    bare = a_case(feed_waiting_kg=Band.exactly(0.0), layers=Layers(0.0, 0.1, 0.1, 0.0))
    far = ration(bare, TODAY + timedelta(days=17))
    assert far.kg == pytest.approx(ration(bare, TODAY + timedelta(days=7)).kg)
    assert any("a week's work" in why for why in far.because)


def test_while_an_alarm_says_to_hold_the_feed_there_is_no_ration() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, seen=("mites",)))
    case = a_case(entries=log)
    found = findings(case)
    assert ration(case, IN_FOUR).kg > 0
    held = todays_ration(case, found, IN_FOUR)
    assert held.kg == 0.0
    assert held.because[-1].startswith("no feed until about")
    assert "mites" in held.because[-1]
    assert todays_ration(a_case(), (), IN_FOUR) == ration(a_case(), IN_FOUR)


SPARING = (stocked(), *(fed(0.1, TODAY - timedelta(days=n)) for n in (17, 13, 10, 6, 3)))


def test_a_ration_is_a_step_up_from_the_habit_and_no_leap() -> None:
    """250 g a day for four days and one to spare, 500 g waiting: 750 g; but it is used to 100 g every three or four."""
    can = ration(a_case(entries=SPARING), IN_FOUR)
    # twice 100 g, over 4 days in place of the usual 3.5
    assert can.kg == pytest.approx(2 * 0.1 * 4 / 3.5, abs=0.011)
    assert "raise it step by step" in " ".join(can.because)
    assert can.capacity_kg == pytest.approx(1.25), "what the bin can take is told as before"


def test_counted_worms_are_given_what_they_get_through() -> None:
    counted = (*CALM_READINGS, read("worms_kg", 0.5, TODAY - timedelta(days=20)))
    assert ration(a_case(entries=SPARING, judged=counted), IN_FOUR).kg == pytest.approx(0.75, abs=0.011)
    doubtful = (*CALM_READINGS, read("worms_kg", 0.5, TODAY - timedelta(days=20), questioned=True))
    long_ago = (*CALM_READINGS, read("worms_kg", 0.5, TODAY - timedelta(days=91)))
    for judged in (doubtful, long_ago):
        assert ration(a_case(entries=SPARING, judged=judged), IN_FOUR).kg < 0.25


def test_two_feedings_are_no_habit_to_hold_anybody_to() -> None:
    assert ration(a_case(entries=SPARING[:3]), IN_FOUR).kg > 0.7


def test_nothing_is_fed_on_the_day_the_worms_go_in() -> None:
    case = a_case(entries=(stocked(TODAY),), feed_waiting_kg=Band.exactly(0.0))
    assert ration(case, IN_FOUR).kg == 0.0
    assert "settle" in ration(case, IN_FOUR).because[0]


def test_a_later_check_that_says_nothing_of_what_is_left_does_not_lift_the_hold() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, 8, left=0.75), looked(TODAY, 11, temp_c=20.0))
    assert ration(a_case(entries=log), IN_FOUR).kg == 0.0
    newer = (*log, looked(TODAY, 12, left=0.1))
    assert ration(a_case(entries=newer), IN_FOUR).kg > 0


def test_what_the_eye_saw_left_and_the_log_took_for_less_is_said() -> None:
    log = (stocked(), fed(0.2, TODAY - timedelta(days=6)), looked(TODAY, left=0.3))
    said = ration(a_case(entries=log, feed_waiting_kg=Band(0.0, 0.02, 0.1)), IN_FOUR).because
    assert any("30% left was read today (60 g)" in each and "20 g" in each for each in said)


def test_the_hold_names_the_feeding_day_on_which_it_will_be_fed_and_holds_no_longer() -> None:
    case = a_case(feed_waiting_kg=band(2.0))
    until = hold(case).until
    assert until is not None
    thursday = until + timedelta(days=1)
    planned = hold(replace(case, feed_days=(until - timedelta(days=2), thursday)))
    assert planned.until == until
    assert f"{thursday.day} {thursday:%B}" in planned.text
