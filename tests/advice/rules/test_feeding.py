from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import CALM_LOG, TODAY, a_case, ahead_of, band, days, fed, looked, piled, read, stocked
from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.judgement import findings, judge
from wormbin.advice.rules import feeding
from wormbin.advice.wording import mass
from wormbin.figures import Level
from wormbin.process.views import Layers, Window

DUMPED = (stocked(), fed(1.6, TODAY))
"""A log in which nothing but one bucket was given: it shows no pace yet."""


def test_feed_that_is_gone_by_the_next_feeding_is_no_overfeeding() -> None:
    assert feeding.overfed(a_case(**piled(4.5))) is None


def test_overfeeding_is_told_in_kg_and_days_with_the_day_until_which_nothing_is_fed() -> None:
    found = feeding.overfed(a_case(entries=DUMPED, **piled(8.0, 1.4)))
    assert found is not None
    assert found.level is Level.WATCH
    assert found.what == "1.4 kg of food is uneaten: about 8 days' worth"
    # under two days' feed, half a kg: by the look-ahead on the sixth day
    assert found.do[0] == "do not feed until about 26 May"
    assert found.do[-1] == "cover the food two fingers deep with bedding from the bin"
    assert "The limit is 6 days." in found.why
    # but for the half a kg, two days' feed, that may lie, in eight days
    assert "they eat about 110 g a day" in found.why


@pytest.mark.parametrize(
    ("work", "told"), [(5.9, None), (6.0, Level.WATCH), (11.9, Level.WATCH), (12.0, Level.ACT), (60.0, Level.ACT)]
)
def test_six_days_work_waiting_are_a_watch_and_twice_that_is_to_be_acted_on(work: float, told: Level | None) -> None:
    found = feeding.overfed(a_case(days([piled(work)] * 3)))
    assert (found.level if found else None) is told


def test_feed_for_two_weeks_is_partly_lifted_out_again() -> None:
    def first(work: float) -> str:
        found = feeding.overfed(a_case(**piled(work)))
        assert found is not None
        return found.do[0]

    assert first(13.9).startswith("do not feed")
    # all but five days' work: 2.3 of 3.5 kg
    assert first(14.0).startswith("take out about 2.5 kg of food. Put it in a bucket with dry bedding")


def test_overfeeding_ends_well_under_where_it_began() -> None:
    up = [piled(value) for value in (3.0, 6.1)]
    assert feeding.overfed(a_case(days(up))) is not None
    assert feeding.overfed(a_case(days([*up, piled(4.1)]))) is not None
    assert feeding.overfed(a_case(days([*up, piled(3.9)]))) is None
    assert feeding.overfed(a_case(days([piled(3.0), piled(5.9)]))) is None


def test_a_smear_of_feed_in_a_bin_at_rest_is_no_overfeeding() -> None:
    assert feeding.overfed(a_case(**piled(60.0, 0.05))) is None


def test_who_feeds_once_a_week_may_have_more_waiting() -> None:
    weekly = (stocked(), *(fed(1.5, TODAY - timedelta(days=n)) for n in (28, 21, 14, 7, 0)))
    assert feeding.overfed(a_case(entries=weekly, **piled(7.4))) is None
    assert feeding.overfed(a_case(entries=weekly, **piled(7.5))) is not None
    assert feeding.overfed(a_case(**piled(7.4))) is not None


@pytest.mark.parametrize(("kg", "told"), [(3.4, False), (3.6, True)])
def test_more_than_the_worms_weigh_a_day_in_a_week_is_too_much_whatever_the_sums_make_of_it(
    kg: float, told: bool
) -> None:
    """Half a kg of worms never takes more than 3.5 kg a week (half to one body weight a day: limits.BODY_WEIGHTS)."""
    log = (stocked(), *(fed(kg / 2, TODAY - timedelta(days=n)) for n in (5, 2)))
    found = feeding.overfed(a_case(entries=log, **piled(3.0)))
    assert (found is not None) is told
    if found is not None:
        assert found.level is Level.WATCH
        assert found.what == "3.6 kg in a week is a lot for about 500 g of worms"
        assert "do not feed until less than a third is left" in found.do
        assert found.brake == 0.0
    last_week = (stocked(), fed(9.0, TODAY - timedelta(days=30)), fed(kg, TODAY - timedelta(days=7)))
    assert feeding.overfed(a_case(entries=last_week)) is None, "the days before the last seven do not count"


def test_when_feed_outlasts_the_look_ahead_no_date_is_made_up() -> None:
    case = a_case(**piled(60.0, 15.0))
    found = feeding.overfed(case)
    assert found is not None
    assert any("next 30 days, then look again" in step for step in found.do)


@pytest.mark.parametrize(("left", "told"), [(0.33, False), (0.34, True), (0.9, True)])
def test_over_a_third_left_on_the_day_after_feeding_is_as_it_should_be_and_waits(left: float, told: bool) -> None:
    log = (stocked(), fed(0.8, TODAY - timedelta(days=1)), looked(TODAY, left=left))
    found = feeding.left_waits(a_case(entries=log))
    assert (found is not None) is told
    if found is not None:
        assert found.level is Level.STEADY
        assert found.do == ("do not feed until less than a third is left",)
        assert found.brake == 0.0
    assert feeding.left_waits(a_case(entries=(stocked(),))) is None


def test_a_look_at_the_feed_waits_for_a_week_and_no_longer_than_what_was_eaten_since() -> None:
    def told(ago: int, *kg: float) -> bool:
        log = (stocked(), fed(0.8, TODAY - timedelta(days=10)), looked(TODAY - timedelta(days=ago), left=0.9))
        return (
            feeding.left_waits(a_case(days([{"feed_waiting_kg": band(each)} for each in kg]), entries=log)) is not None
        )

    assert told(7, *[0.5] * 9)
    assert not told(8, *[0.5] * 9)
    assert told(1, 1.0, 0.5)
    assert not told(1, 1.0, 0.3), "0.3 of the 0.9 that were left"


def test_a_thick_layer_is_told_in_the_keepers_lengths_with_what_to_take_out() -> None:
    assert feeding.thick_layer(a_case(layers=Layers(0.035, 0.1, 0.05, 0.0))) is None
    found = feeding.thick_layer(a_case(layers=Layers(0.08, 0.1, 0.05, 0.0), **piled(8.0, 4.0)))
    assert found is not None
    assert found.level is Level.ACT
    assert "8 cm" in found.what
    # what lies over 4 cm of the 8 cm: half of 4 kg
    assert any(step.startswith("take out about 2 kg") for step in found.do)


@pytest.mark.parametrize(
    ("metres", "level"), [(0.044, None), (0.046, Level.WATCH), (0.069, Level.WATCH), (0.071, Level.ACT)]
)
def test_a_layer_over_four_centimetres_and_a_half_is_a_watch(metres: float, level: Level | None) -> None:
    found = feeding.thick_layer(a_case(layers=Layers(metres, 0.1, 0.05, 0.0)))
    assert (found.level if found else None) is level


def new(case: Case) -> Finding:
    found = feeding.new_bin(case)
    assert found is not None
    return found


YOUNG = stocked(TODAY - timedelta(days=8))


def test_a_new_bin_is_reminded_of_its_ration() -> None:
    """A quarter of half the weight of 0.5 kg of worms a day: 440 g a week."""
    calm = a_case(entries=(YOUNG, fed(0.3, TODAY - timedelta(days=2))))
    assert new(calm).level is Level.STEADY
    assert new(calm).what == "new bin: feed 25% of the usual until 26 May"
    (told,) = [each for each in findings(calm) if each.code == "new-bin"]
    assert told.do == ("feed at most 440 g a week until 26 May",)
    assert feeding.new_bin(a_case()) is None


@pytest.mark.parametrize(("kg", "over"), [(0.64, False), (0.67, True)])
def test_over_half_as_much_again_is_said_of_a_new_bin_that_keeps_up_with_it(kg: float, over: bool) -> None:
    found = new(a_case(entries=(YOUNG, fed(kg, TODAY - timedelta(days=2)))))
    assert found.level is Level.STEADY
    assert ("is over its 440 g" in found.what) is over


def test_a_new_bin_that_was_given_far_more_is_held_unless_somebody_saw_it_eaten() -> None:
    log = (YOUNG, fed(1.2, TODAY - timedelta(days=2)))
    assert new(a_case(entries=log, **piled(3.0))).level is Level.STEADY
    unseen = new(a_case(entries=log, **piled(3.1)))
    assert unseen.level is Level.WATCH, "nobody has looked since: the sums alone do not call it well"
    assert unseen.do[0].startswith("do not feed until")
    assert unseen.brake == 0.0
    for left, level in ((0.33, Level.STEADY), (0.34, Level.WATCH)):
        assert new(a_case(entries=(*log, looked(TODAY, left=left)), **piled(4.0))).level is level
    over = new(a_case(entries=log, **piled(7.0)))
    assert over.level is Level.ACT
    assert over.what == "new bin: 1.2 kg in a week is too much, 440 g is right"


def hungry(case: Case) -> Finding | None:
    return next((each for each in findings(case) if each.code == "hungry"), None)


BARE = piled(0.1, 0.02)


@pytest.mark.parametrize(
    ("count", "level"), [(6, None), (7, Level.WATCH), (20, Level.WATCH), (21, Level.ACT), (25, Level.ACT)]
)
def test_a_bare_bin_is_hungry_after_a_week_and_told_how_much(count: int, level: Level | None) -> None:
    case = a_case(days([piled(2.0)] * 10 + [BARE] * count))
    found = hungry(case)
    assert (found.level if found else None) is level
    if found is not None:
        kg = mass(judge(case).ration.kg, case.settings.units)
        assert found.do == (f"feed up to {kg} now, under 3 cm of bedding",)
        assert found.what.endswith("feed today")


def test_a_bare_bin_that_is_ripe_or_held_is_not_fed_now() -> None:
    ripe = Window(None, None, None, due_since=TODAY)
    last = hungry(a_case(days([piled(2.0)] * 10 + [BARE] * 8), harvest=ripe))
    assert last is not None
    assert last.do == ("take the castings off, then feed a quarter of the usual under 3 cm of bedding",)
    assert "feed today" not in last.what
    sour = (*CALM_LOG[:-1], looked(TODAY, smell="sour"))
    held = hungry(a_case(days([piled(2.0)] * 10 + [BARE] * 8), entries=sour))
    assert held is not None
    assert held.what.endswith("do not feed yet")
    assert held.do[0].startswith("first put right what stops the food (")


def test_what_the_eye_saw_left_is_no_bare_bin_before_the_day_after() -> None:
    """A smear of 150 g a square metre, 30 g on this bin; of 0.8 kg that is 3.75 %."""

    def told(ago: int, left: float) -> bool:
        log = (*CALM_LOG[:-1], looked(TODAY - timedelta(days=ago), left=left), CALM_LOG[-1])
        return hungry(a_case(days([piled(2.0)] * 10 + [BARE] * 9), entries=log)) is not None

    assert not told(2, 0.05)
    assert told(2, 0.03)
    log = (stocked(), fed(0.8, TODAY - timedelta(days=9)), looked(TODAY - timedelta(days=7), left=0.05), CALM_LOG[-1])
    assert hungry(a_case(days([piled(2.0)] * 10 + [BARE] * 9), entries=log)) is not None


def test_a_bin_without_worms_is_not_hungry() -> None:
    assert hungry(a_case(days([piled(0.0, 0.0)] * 25), entries=())) is None


def test_how_sure_names_the_reading_and_its_age_and_changes_with_it() -> None:
    over: dict[str, Any] = {"entries": DUMPED, **piled(9.0, 1.4)}
    fresh = feeding.overfed(a_case(judged=(read("left", 0.8, TODAY - timedelta(days=2)),), **over))
    stale = feeding.overfed(a_case(judged=(read("left", 0.8, TODAY - timedelta(days=20)),), **over))
    none = feeding.overfed(a_case(judged=(), **over))
    doubted = feeding.overfed(a_case(judged=(read("left", 0.8, TODAY, weight=0.3),), **over))
    assert fresh is not None
    assert stale is not None
    assert none is not None
    assert doubted is not None
    assert "2 days ago" in fresh.sure
    assert "20 days ago" in stale.sure
    assert "No look at what is left" in none.sure
    assert "counts less" in doubted.sure
    wide = feeding.overfed(a_case(entries=DUMPED, feed_waiting_days=band(12.0, 0.6), feed_waiting_kg=band(1.4, 0.6)))
    assert wide is not None
    assert "560 g to 1.6 kg" in wide.sure  # no more than was ever given


def test_the_hold_date_is_read_from_the_look_ahead_without_feeding() -> None:
    case = a_case(**piled(9.0, 2.25))
    # a quarter of a kg a day; two days' feed may lie
    assert ahead_of(case.today, eaten=True).days[6].feed_waiting_kg.p50 == pytest.approx(0.5)
    found = feeding.overfed(case)
    assert found is not None
    assert found.do[0] == "do not feed until about 27 May"
