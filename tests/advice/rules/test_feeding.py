from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import TODAY, a_case, ahead_of, band, days, fed, looked, piled, read, stocked
from wormbin.advice.rules import feeding
from wormbin.figures import Band, Level
from wormbin.process.views import Layers, Window

DUMPED = (stocked(), fed(1.6, TODAY))
"""A log in which nothing but one bucket was given: it shows no pace yet."""


def test_feed_that_is_gone_by_the_next_feeding_is_no_overfeeding() -> None:
    assert feeding.overfed(a_case(**piled(4.5))) is None


def test_overfeeding_is_told_in_kg_and_days_with_the_day_until_which_nothing_is_fed() -> None:
    found = feeding.overfed(a_case(entries=DUMPED, **piled(8.0, 1.4)))
    assert found is not None
    assert found.level is Level.WATCH
    assert found.what == "about 1.4 kg still waiting, 8 days' work for these worms"
    assert found.do[0] == "no feed until about 25 May"
    assert any("g dry shredded cardboard" in step for step in found.do)
    assert "limit 6.5 days, told until it is under 4.5 days" in found.why


def test_feed_for_many_weeks_is_partly_lifted_out_again() -> None:
    found = feeding.overfed(a_case(**piled(20.0, 5.0)))
    assert found is not None
    assert found.do[0] == "take out about 3.8 kg of the newest feed and freeze it"


def test_overfeeding_ends_well_under_where_it_began() -> None:
    up = [piled(value) for value in (4.0, 6.6)]
    assert feeding.overfed(a_case(days(up))) is not None
    assert feeding.overfed(a_case(days([*up, piled(5.0)]))) is not None
    assert feeding.overfed(a_case(days([*up, piled(4.4)]))) is None
    assert feeding.overfed(a_case(days([piled(4.0), piled(6.0)]))) is None


def test_a_smear_of_feed_in_a_bin_at_rest_is_no_overfeeding() -> None:
    assert feeding.overfed(a_case(**piled(60.0, 0.05))) is None


def test_who_feeds_once_a_week_may_have_more_waiting() -> None:
    weekly = (stocked(), *(fed(1.5, TODAY - timedelta(days=n)) for n in (28, 21, 14, 7, 0)))
    assert feeding.overfed(a_case(entries=weekly, **piled(6.8))) is None
    assert feeding.overfed(a_case(**piled(6.8))) is not None


def test_when_feed_outlasts_the_look_ahead_no_date_is_made_up() -> None:
    case = a_case(**piled(60.0, 15.0))
    found = feeding.overfed(case)
    assert found is not None
    assert any("next 30 days, then look again" in step for step in found.do)


@pytest.mark.parametrize(
    ("left", "work", "level"),
    [
        (0.3, 7.0, None),
        (0.6, 7.0, Level.WATCH),
        (0.9, 7.0, Level.ACT),
        (0.6, 2.0, Level.STEADY),
        (0.9, 2.0, Level.STEADY),
    ],
)
def test_what_the_eye_sees_left_when_a_feeding_falls_due(left: float, work: float, level: Level | None) -> None:
    log = (stocked(), *(fed(0.8, TODAY - timedelta(days=n)) for n in (10, 7, 3)), looked(TODAY, left=left))
    found = feeding.left_over(a_case(entries=log, **piled(work)))
    assert (found.level if found else None) is level
    if found is not None:
        assert any("400 g" in step for step in found.do)


def test_much_left_on_the_day_after_feeding_is_as_it_should_be() -> None:
    log = (stocked(), fed(0.8, TODAY - timedelta(days=1)), looked(TODAY, left=0.9))
    assert feeding.left_over(a_case(entries=log)) is None
    assert feeding.left_over(a_case(entries=(stocked(),))) is None


def test_an_old_look_at_the_feed_is_not_held_against_it() -> None:
    log = (stocked(), fed(0.8, TODAY - timedelta(days=10)), looked(TODAY - timedelta(days=5), left=0.9))
    assert feeding.left_over(a_case(entries=log)) is None


def test_a_thick_layer_is_told_in_the_keepers_lengths_with_what_to_take_out() -> None:
    assert feeding.thick_layer(a_case(layers=Layers(0.035, 0.1, 0.05, 0.0))) is None
    found = feeding.thick_layer(a_case(layers=Layers(0.08, 0.1, 0.05, 0.0), **piled(8.0, 4.0)))
    assert found is not None
    assert found.level is Level.ACT
    assert "8 cm" in found.what
    assert "2 kg" in found.do[0]


def test_a_new_bin_is_reminded_of_its_ration_and_warned_when_given_more() -> None:
    young = TODAY - timedelta(days=8)
    calm = feeding.new_bin(a_case(entries=(stocked(young), fed(0.3, TODAY - timedelta(days=2)))))
    assert calm is not None
    assert calm.level is Level.STEADY
    assert "25%" in calm.what
    assert "440 g a week" in calm.do[0]
    log = (stocked(young), fed(1.2, TODAY - timedelta(days=2)))
    keeps_up = feeding.new_bin(a_case(entries=log))
    assert keeps_up is not None
    assert keeps_up.level is Level.STEADY
    assert "keeps up" in keeps_up.what
    assert "go back to 440 g a week" in keeps_up.do[0]
    unseen = feeding.new_bin(a_case(entries=log, **piled(4.0)))
    assert unseen is not None
    assert unseen.level is Level.WATCH, "nobody has looked since: the sums alone do not call it well"
    seen = feeding.new_bin(a_case(entries=log, judged=(read("left", 0.3, TODAY),), **piled(4.0)))
    assert seen is not None
    assert seen.level is Level.STEADY
    over = feeding.new_bin(a_case(entries=log, **piled(7.0)))
    assert over is not None
    assert over.level is Level.ACT
    assert "1.2 kg" in over.what
    assert feeding.new_bin(a_case()) is None


def test_a_bare_bin_is_hungry_after_a_week_and_told_how_much() -> None:
    bare = piled(0.1, 0.02)
    assert feeding.hungry(a_case(days([piled(2.0)] * 10 + [bare] * 5))) is None
    found = feeding.hungry(a_case(days([piled(2.0)] * 10 + [bare] * 8), judged=()))
    assert found is not None
    assert found.level is Level.WATCH
    assert found.do[0].startswith("feed up to ")
    assert "under 3 cm of bedding" in found.do[0]
    ripe = Window(None, None, None, due_since=TODAY)
    last = feeding.hungry(a_case(days([piled(2.0)] * 10 + [bare] * 8), judged=(), harvest=ripe))
    assert last is not None
    assert last.do == ("once the castings are off, feed a quarter of the usual under 3 cm of bedding",)
    assert "feed now" not in last.what
    late = feeding.hungry(a_case(days([bare] * 25)))
    assert late is not None
    assert late.level is Level.ACT


def test_a_bin_without_worms_is_not_hungry() -> None:
    assert feeding.hungry(a_case(days([piled(0.0, 0.0)] * 25), entries=())) is None


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
    assert "worked out" in none.sure
    assert "counted at 30%" in doubted.sure
    wide = feeding.overfed(a_case(entries=DUMPED, feed_waiting_days=band(12.0, 0.6), feed_waiting_kg=band(1.4, 0.6)))
    assert wide is not None
    assert "560 g to 1.6 kg" in wide.sure  # no more than was ever given


def test_the_hold_date_is_read_from_the_look_ahead_without_feeding() -> None:
    case = a_case(**piled(9.0, 2.25))
    assert ahead_of(case.today, eaten=True).days[7].feed_waiting_days.p50 == pytest.approx(1.0)
    found = feeding.overfed(case)
    assert found is not None
    assert "28 May" in found.do[0]
    assert Band.exactly(1.0).width == 0.0
