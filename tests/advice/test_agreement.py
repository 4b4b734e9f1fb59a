"""No finding asks for what another forbids."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tests.advice.cases import TODAY
from wormbin.advice.action import Action, Doing
from wormbin.advice.agreement import agreed
from wormbin.advice.finding import Finding
from wormbin.figures import Level


def told(code: str, *actions: Action, level: Level = Level.WATCH, part: int = 0, what: str = "") -> Finding:
    return Finding(code, level, "kitchen", what or code, "", actions, "", compartment=part)


WET = told("too-wet")
DRY = told("too-dry", Action(Doing.WATER, "add water"))
HUNGRY = told("hungry", Action(Doing.FEED, "feed up to 100 g now"), what="nothing waits: feed now")
LESS = told("falling", Action(Doing.THEN, "feed nothing", 1e6), Action(Doing.MEASURE, "count them"))


def test_a_hand_that_says_wet_outweighs_a_log_that_says_dry() -> None:
    assert agreed([WET, DRY], TODAY) == [WET]
    assert agreed([DRY], TODAY) == [DRY]


def test_one_tray_may_be_wet_and_another_dry() -> None:
    pair = [replace(WET, compartment=1), replace(DRY, compartment=2)]
    assert agreed(pair, TODAY) == pair
    assert agreed([replace(WET, compartment=2), replace(DRY, compartment=2)], TODAY)[0].code == "too-wet"


def test_hungry_worms_are_not_put_on_rations() -> None:
    _hungry, falling = agreed([HUNGRY, LESS], TODAY)
    assert [each.kind for each in falling.actions] == [Doing.MEASURE]
    assert agreed([LESS], TODAY) == [LESS]


def test_hungry_worms_in_a_bin_that_is_not_to_be_fed_wait_until_it_is_right() -> None:
    stop = Action(Doing.STOP, "no feed until it is cool", until=TODAY + timedelta(days=3))
    hot = told("too-hot", stop, level=Level.ACT, what="too hot")
    _hot, hungry = agreed([hot, HUNGRY], TODAY)
    assert "feed now" not in hungry.what
    assert not any(each.kind is Doing.FEED for each in hungry.actions)
    assert "too hot" in hungry.do[0]
    assert agreed([replace(hot, level=Level.STEADY), HUNGRY], TODAY)[1] == HUNGRY
