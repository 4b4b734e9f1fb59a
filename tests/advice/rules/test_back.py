"""The first days back from a long absence: a look first, and half a ration until it is fed again."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tests.advice.cases import CALM_LOG, SETTINGS, TODAY, a_case, fed, looked
from wormbin.advice.case import Case
from wormbin.advice.judgement import judge
from wormbin.advice.rules.back import back
from wormbin.records.entries import Entry
from wormbin.records.farms import Away


def came_back(days_ago: int, *lines: Entry, length: int = 12) -> Case:
    """A case whose first day back lies so many days ago, with nothing but these lines since the absence began."""
    last = TODAY - timedelta(days=days_ago + 1)
    first = last - timedelta(days=length - 1)
    log = tuple(each for each in CALM_LOG if each.when.date() < first)
    return a_case(entries=(*log, *lines), settings=replace(SETTINGS, away=(Away(first, last),)))


def test_half_is_fed_until_it_was_fed_again_or_a_week_is_over() -> None:
    whole, half = judge(came_back(7)).ration, judge(came_back(0)).ration
    assert back(came_back(6)) is not None
    assert back(came_back(7)) is None
    assert abs(half.kg - whole.kg / 2) < 0.011
    assert "half of the usual" in half.because[-1]
    assert back(came_back(2, fed(0.2, TODAY - timedelta(days=1)))) is None


def test_it_is_looked_at_first_and_not_asked_for_again_once_seen() -> None:
    found = back(came_back(0, looked(TODAY - timedelta(days=1), left=0.2)))
    assert found is not None, "what a neighbour saw on the last day away is no look of those who are back"
    assert found.actions[0].text.startswith("open it, squeeze a handful, judge what is left")
    seen = back(came_back(0, looked(TODAY, left=0.0)))
    assert seen is not None
    assert seen.actions == ()
    assert "look" not in seen.what


def test_a_short_absence_or_none_is_nothing_to_come_back_from() -> None:
    assert back(a_case()) is None
    assert back(came_back(0, length=4)) is None
    assert back(came_back(0, length=5)) is not None
