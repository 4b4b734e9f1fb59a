"""No finding asks for what another forbids, and what was read is told before what is believed."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.advice.cases import CALM_LOG, TODAY, a_case, band, fed, looked, piled, stocked
from wormbin.advice.agreement import agreed, together
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.judgement import findings
from wormbin.figures import Level

AGAIN = Action(Doing.MEASURE, "look again")


def told(code: str, *actions: Action, level: Level = Level.WATCH, part: int = 0, what: str = "") -> Finding:
    return Finding(code, level, what or code, "", actions, "", compartment=part)


def read(code: str, *actions: Action, level: Level = Level.WATCH) -> Finding:
    return replace(told(code, *actions, level=level), seen=True, short=f"{code} was read")


WET = told("too-wet")
DRY = told("too-dry", Action(Doing.WATER, "add water"))


def test_a_hand_that_says_wet_outweighs_a_log_that_says_dry() -> None:
    assert agreed([WET, DRY]) == [WET]
    assert agreed([DRY]) == [DRY]


def test_one_tray_may_be_wet_and_another_dry() -> None:
    pair = [replace(WET, compartment=1), replace(DRY, compartment=2)]
    assert agreed(pair) == pair
    assert agreed([replace(WET, compartment=2), replace(DRY, compartment=2)])[0].code == "too-wet"


def test_a_step_that_another_finding_holds_back_is_left_out_in_its_tray_or_everywhere() -> None:
    bar = replace(told("smell-rotten"), bars=(Doing.WATER,))
    assert agreed([bar, DRY])[1].actions == ()
    in_one, in_two = replace(bar, compartment=1), replace(DRY, compartment=2)
    assert agreed([in_one, in_two])[1] == in_two
    assert agreed([in_one, replace(DRY, compartment=1)])[1].actions == ()
    own = replace(DRY, bars=(Doing.WATER,))
    assert agreed([own]) == [own], "nothing holds back its own step"


def test_of_what_was_read_and_what_is_believed_the_graver_stands_with_what_was_read_beside_it() -> None:
    eye = replace(read("too-wet", AGAIN), bars=(Doing.WATER,), feed=0.5, short="it was read")
    act = told("too-wet", Action(Doing.BEDDING, "add some"), level=Level.ACT, what="too wet: moisture about 91%")
    assert together([WET], [eye]) == [eye]
    assert together([replace(WET, level=Level.STEADY)], [eye]) == [eye]
    (both,) = together([act], [eye])
    assert both.level is Level.ACT
    assert both.what == "too wet: it was read, and the estimate agrees"
    assert both.actions == (*act.actions, AGAIN)
    assert (both.bars, both.feed, both.seen) == ((Doing.WATER,), 0.5, True)


def test_what_was_read_twice_silences_the_opposite_that_is_only_believed_and_a_single_odd_look_does_not() -> None:
    assert together([WET, told("falling")], [read("too-dry")])[1:] == [told("falling")]
    assert WET in together([WET], [read("too-dry", level=Level.STEADY)])
    cold = told("too-cold")
    assert cold in together([cold], [read("too-dry")])


@pytest.mark.parametrize(
    ("gone", "by"),
    [
        ("too-dry", "readings-apart"), ("too-wet", "readings-apart"), ("wet-ahead", "too-dry"),
        ("dry-side", "wet-ahead"), ("wet-side", "too-dry"), ("standing-water", "water-base"),
        ("left-waits", "left-over"), ("no-bedding", "too-dry"),
    ],
)  # fmt: skip
def test_one_of_two_findings_gives_way(gone: str, by: str) -> None:
    assert [each.code for each in agreed([told(gone), told(by)])] == [by]
    assert [each.code for each in agreed([told(gone), told("falling")])] == [gone, "falling"]


def test_hungry_worms_are_fed_out_of_the_same_ration_that_few_worms_are_put_on() -> None:
    log = (stocked(), *(fed(0.05, TODAY - timedelta(days=n)) for n in (17, 13, 10, 6, 3)), CALM_LOG[-1])
    bare = a_case(entries=log, worms_kg=band(0.08), appetite_kg_day=band(0.05), judged=(), **piled(0.0, 0.01))
    found = {each.code: each for each in findings(bare)}
    assert found["hungry"].do[0].startswith("feed up to 100 g now")
    assert any("feed no more than 160 g a week" in step for step in found["few-worms"].do)


def test_hungry_worms_in_a_bin_that_is_not_to_be_fed_wait_until_it_is_right() -> None:
    looks = tuple(looked(TODAY, hour, temp_c=34.0) for hour in (7, 9))
    hot = {each.code: each for each in findings(a_case(entries=(*CALM_LOG[:-1], *looks), **piled(0.0, 0.01)))}
    assert hot["too-hot"].level is Level.ACT
    assert "feed now" not in hot["hungry"].what
    assert not any(each.kind is Doing.FEED for each in hot["hungry"].actions)
    assert "34 °C today" in hot["hungry"].do[0]
