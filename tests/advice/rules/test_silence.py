"""Across days of which nobody knows the only advice is to look; after the first look, what was read and hints."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import CALM_LOG, TODAY, a_case, entry, looked, piled
from wormbin.advice.case import Case
from wormbin.advice.finding import DOSES, Doing
from wormbin.advice.judgement import findings, judge
from wormbin.figures import Level
from wormbin.records.entries import Entry, Note, Squeeze
from wormbin.records.habits import Silence

LOG = CALM_LOG[:-1]
HEAP = piled(16.0)
"""The sums alone would have it two weeks' work: to be acted on."""


def silent(count: int, *since: Entry, **changes: Any) -> Case:
    days = tuple(TODAY - timedelta(days=n) for n in range(count, 0, -1))
    return replace(a_case(entries=(*LOG, *since), **changes), silence=Silence(days))


@pytest.mark.parametrize(("count", "level"), [(9, Level.STEADY), (10, Level.WATCH), (40, Level.WATCH)])
def test_while_it_runs_nothing_is_told_but_to_look(count: int, level: Level) -> None:
    case = silent(count, entry(Note(), TODAY), **HEAP)
    (found,) = findings(case)
    assert (found.code, found.level) == ("silence", level)
    assert found.what == f"nothing written down for {count} days: look in first"
    assert [each.kind for each in found.actions] == [Doing.LOOK, Doing.THEN]
    assert judge(case).ration.kg == 0.0


def test_after_a_look_what_was_read_stands_and_what_the_sums_make_of_it_is_a_hint() -> None:
    read = looked(TODAY, squeeze=Squeeze.DRIPPING, moisture=0.91)
    found = {each.code: each.level for each in findings(silent(20, read, **HEAP))}
    assert found == {"too-wet": Level.WATCH, "overfed": Level.STEADY}
    usual = {each.code: each for each in findings(a_case(entries=(*LOG, read), **HEAP))}
    assert usual["overfed"].level is Level.ACT
    assert usual["overfed"].actions[0].kind is Doing.TAKE_OUT


def test_nothing_is_taken_out_or_put_in_on_a_hint() -> None:
    (hint,) = findings(silent(20, looked(TODAY, squeeze=Squeeze.SPONGE), **HEAP))
    assert hint.code == "overfed"
    assert not {each.kind for each in hint.actions} & DOSES
    assert hint.do
