from __future__ import annotations

from datetime import timedelta

import pytest

from tests.advice.cases import TODAY, a_case, band, looked, piled, stocked
from wormbin.advice.finding import Action, Doing, merged, shortest
from wormbin.advice.judgement import findings, judge, to_do
from wormbin.advice.rules.signs import TABLE
from wormbin.figures import Band, Level
from wormbin.science.signs import sign

ACT, WATCH = Level.ACT, Level.WATCH


def test_of_two_steps_of_one_kind_the_stronger_stands_in_one_line() -> None:
    shallow, deep = Action(Doing.FLUFF, "the top", 0.1), Action(Doing.FLUFF, "to the base", 1.0)
    assert merged([(ACT, shallow), (WATCH, deep)]) == (deep,)
    assert merged([(ACT, deep), (WATCH, shallow)]) == (deep,)


def test_the_graver_level_comes_first_then_what_helps_first() -> None:
    stop, bedding, harvest = (Action(kind, kind.value) for kind in (Doing.STOP, Doing.BEDDING, Doing.HARVEST))
    assert merged([(WATCH, bedding), (WATCH, stop), (ACT, harvest)]) == (harvest, stop, bedding)
    assert merged([(WATCH, bedding), (WATCH, stop), (ACT, Action(Doing.BEDDING, "less"))])[0].kind is Doing.BEDDING


def test_what_follows_afterwards_and_cautions_come_last_and_cautions_in_one_line() -> None:
    steps = merged([
        (ACT, Action(Doing.CAUTION, "two people lift it")), (ACT, Action(Doing.THEN, "half of the last")),
        (ACT, Action(Doing.MEASURE, "squeeze")), (WATCH, Action(Doing.CAUTION, "leachate is not tea")),
        (WATCH, Action(Doing.FLUFF, "fluff")),
    ])  # fmt: skip
    assert [step.kind for step in steps] == [Doing.FLUFF, Doing.THEN, Doing.MEASURE, Doing.CAUTION]
    assert steps[-1].text == "two people lift it; leachate is not tea"


def test_a_short_list_keeps_its_caution() -> None:
    steps = (*(Action(kind, kind.value) for kind in (Doing.STOP, Doing.DRAIN, Doing.FLUFF)), Action(Doing.CAUTION, "c"))
    assert [step.kind for step in shortest(steps, 3)] == [Doing.STOP, Doing.DRAIN, Doing.CAUTION]
    assert shortest(steps, 4) == steps
    assert [step.kind for step in shortest(steps[:3], 2)] == [Doing.STOP, Doing.DRAIN]


def test_a_bin_with_many_troubles_gets_one_line_a_kind_with_the_latest_day() -> None:
    log = (stocked(), looked(TODAY, smell="sour", note="mites", left=1.0))
    case = a_case(entries=log, moisture=band(0.91, 0.005), free_air_space=band(0.2), **piled(12.0, 3.0))
    found = findings(case)
    assert len(found) >= 3
    steps = to_do(found)
    kinds = [step.kind for step in steps if step.kind is not Doing.PESTS]
    assert len(kinds) == len(set(kinds))
    assert sum("do not feed" in step.text for step in steps) == 1
    assert sum("dry shredded cardboard" in step.text for step in steps) == 1
    days = [a.until for f in found if f.level is not Level.STEADY for a in f.actions if a.until is not None]
    assert len(days) >= 2
    assert judge(case).ration.held_until == max(days)
    assert next(step for step in steps if step.kind is Doing.STOP).until == max(days)


def test_the_five_steps_come_first_all_of_them_in_order() -> None:
    log = (stocked(), looked(TODAY, note="dead worms on top"))
    steps = to_do(findings(a_case(entries=log, **piled(12.0, 3.0))))
    assert [step.text[0] for step in steps[:5]] == ["1", "2", "3", "4", "5"]


def test_requests_are_heard_only_where_there_is_no_alarm_and_what_is_due_always() -> None:
    due = Action(Doing.FEED, "feed up to 300 g")
    assert to_do((), due) == (due,)
    loud = to_do(findings(a_case(moisture=Band.exactly(0.9))), due)
    assert due in loud
    assert loud[0] != due
    assert judge(a_case()).ration.held_until is None


@pytest.mark.parametrize("code", list(TABLE))
def test_every_sign_that_can_be_told_has_a_kind_for_each_of_its_steps(code: str) -> None:
    assert len(TABLE[code].kinds) == len(sign(code).do)


def test_a_hold_that_has_no_end_in_sight_still_has_a_day() -> None:
    until = judge(a_case(**piled(60.0, 15.0))).ration.held_until
    assert until is not None
    assert until > TODAY + timedelta(days=6)
