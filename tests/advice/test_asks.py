"""Readings are asked for with a reason, one at a time, and not again once they were given."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.advice.cases import BIN, CALM_READINGS, TODAY, a_case, band, read
from wormbin.advice.case import Case
from wormbin.advice.finding import Doing
from wormbin.advice.judgement import ASKS, findings, to_do
from wormbin.advice.rules.readings import REST_DAYS, ask_reading, wanted
from wormbin.figures import Band

TOSS_UP = Band(0.80, 0.87, 0.93)
"""Moisture that may as well be over the limit as under it."""


def unsure(*readings: tuple[str, int]) -> Case:
    judged = tuple(read(quantity, 0.8, TODAY - timedelta(days=ago)) for quantity, ago in readings)
    return a_case(moisture=TOSS_UP, judged=judged)


def test_an_ask_says_what_it_would_settle_and_how_it_is_taken() -> None:
    asked = ask_reading(unsure(("moisture", 20)))
    assert asked is not None
    assert "whether it is too wet" in asked.why
    assert "80-93%" in asked.why
    assert "squeeze a handful" in asked.do[0]
    assert "surer" in asked.sure
    assert "20 days ago" in asked.sure


def test_a_reading_that_was_given_is_not_asked_for_the_next_day_though_doubt_is_left() -> None:
    for ago in range(REST_DAYS["moisture"]):
        want = wanted(unsure(("moisture", ago)))
        assert want is None or want.quantity != "moisture", ago
    later = wanted(unsure(("moisture", REST_DAYS["moisture"])))
    assert later is not None
    assert later.quantity == "moisture"


def test_a_bin_that_is_known_well_enough_asks_for_nothing() -> None:
    """Day after day: nothing hangs on a reading, so none is asked for."""
    calm = a_case()
    for days in range(14):
        assert ask_reading(replace(calm, now=calm.now + timedelta(days=days))) is None


@pytest.mark.parametrize("moisture", [band(0.8, 0.02), TOSS_UP, band(0.60, 0.1)])
@pytest.mark.parametrize("old", [1, 40])
@pytest.mark.parametrize("doubted", [False, True])
def test_one_bin_is_asked_for_one_reading_at_a_time(moisture: Band, old: int, doubted: bool) -> None:
    judged = (
        *CALM_READINGS,
        *((read("total_kg", 40.0, TODAY - timedelta(days=1), questioned=True),) if doubted else ()),
    )
    entries = a_case().entries[:3] if old > 1 else a_case().entries
    case = a_case(moisture=moisture, judged=judged, entries=entries, air_reach_m=Band(0.05, 0.17, 0.6), bin=BIN)
    found = findings(case)
    assert sum(each.code in ASKS for each in found) <= 1
    assert sum(step.kind is Doing.MEASURE for step in to_do(found)) <= 1


def test_a_look_that_is_long_overdue_is_the_one_ask() -> None:
    case = replace(unsure(("moisture", 60)), entries=a_case().entries[:1])
    asks = [each for each in findings(case) if each.code in ASKS]
    assert [each.code for each in asks] == ["readings-old"]
    assert "squeeze a handful" in asks[0].do[0]
