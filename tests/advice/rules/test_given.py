"""What the form held back and was saved all the same is still said by the bin."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.advice.cases import CALM_LOG, SETTINGS, TODAY, a_case, a_day, ahead_of, band, fed, looked, stocked
from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.judgement import judge
from wormbin.advice.rules.feeding import OVER_FED, back
from wormbin.figures import Level
from wormbin.records.entries import Entry
from wormbin.records.farms import Away

IN_FOUR = TODAY + timedelta(days=4)


def after(kg: float, worms_kg: float = 2.0, days: int = 0) -> Case:
    """A calm bin that was given ``kg`` so many days ago on top of the 200 g that wait, a quarter of a kg a day."""
    case = a_case(
        feed_waiting_kg=band(0.2 + kg), feed_waiting_days=band((0.2 + kg) / 0.25), worms_kg=band(worms_kg),
        entries=(stocked(), *(fed(0.8, TODAY - timedelta(days=n)) for n in (17, 13, 10)),
                 fed(kg, TODAY - timedelta(days=days))),
    )  # fmt: skip
    return replace(case, unfed=ahead_of(a_day(feed_waiting_kg=band(0.2 + kg)), eaten=True))


def found(case: Case) -> Finding | None:
    return next((each for each in judge(case, IN_FOUR).findings if each.code == OVER_FED), None)


@pytest.mark.parametrize(("kg", "told"), [(0.3, False), (1.29, False), (1.31, True), (40.0, True)])
def test_half_as_long_again_as_until_the_next_feeding_is_a_watch_and_never_more(kg: float, told: bool) -> None:
    """Four days until it is fed again: six days' work, 1.5 kg in all, are the most that are let pass."""
    over = found(after(kg))
    assert (over is not None) is told
    if over is not None:
        assert over.level is Level.WATCH
        assert any("do not feed" in action.text for action in over.actions)
        assert any(action.until is not None and action.until > TODAY for action in over.actions)


def test_it_is_said_how_much_too_much_it_was_and_the_feed_is_held() -> None:
    over = found(after(1.8))
    assert over is not None
    # 2 kg wait, and a kg takes until the next feeding
    assert over.what == "fed about 1 kg more than they eat by 24 May"
    assert "1.8 kg went in today, so 2 kg lies uneaten. That is 8 days' worth. 4 days is the most." in over.why
    can = judge(after(1.8), IN_FOUR).ration
    assert can.kg == 0.0
    assert found(after(1.8, days=1)) is None, "it is told on the day it was given"
    assert found(a_case()) is None


@pytest.mark.parametrize(("kg", "days", "told"), [(0.69, 0, False), (0.71, 0, True), (0.71, 1, True), (0.71, 2, False)])
def test_over_a_weeks_ration_at_once_is_told_for_two_days(kg: float, days: int, told: bool) -> None:
    """Half the weight of 200 g of worms a day is 700 g a week."""
    over = found(after(kg, worms_kg=0.2, days=days))
    assert (over is not None) is told
    if over is not None:
        assert over.level is Level.WATCH
        assert over.what == "710 g went in at once: a week's food is 700 g"
        assert over.brake == 0.0


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
    assert found.actions[0].text.startswith("open it, squeeze a handful, look how much food is left")
    seen = back(came_back(0, looked(TODAY, left=0.0)))
    assert seen is not None
    assert seen.actions == ()
    assert "look" not in seen.what


def test_a_short_absence_or_none_is_nothing_to_come_back_from() -> None:
    assert back(a_case()) is None
    assert back(came_back(0, length=4)) is None
    assert back(came_back(0, length=5)) is not None
