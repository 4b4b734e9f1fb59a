from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import BIN, SETTINGS, TODAY, a_case, a_day, band
from wormbin.advice.case import Case
from wormbin.advice.rules.moisture import wet_ahead, wet_to_come
from wormbin.figures import Band, Level
from wormbin.process.views import Ahead, Planned, Window

FEED = tuple(Planned(TODAY + timedelta(days=n), feed_kg=0.5) for n in range(3, 60, 4))


def rising(to: float, by: int = 56, **changes: Any) -> Ahead:
    """A look-ahead whose moisture goes from 80 % straight to ``to``."""
    days = [
        a_day(TODAY + timedelta(days=n), moisture=band(0.80 + (to - 0.80) * n / by, 0.01), **changes)
        for n in range(1, by + 1)
    ]
    return Ahead(days, Window(None, None, None), FEED)


def test_a_bin_that_the_planned_feeding_drowns_is_told_with_its_day_and_the_bedding_to_each_feeding() -> None:
    case = a_case(ahead=rising(0.90), bin=replace(BIN, drainage=False))
    found = wet_to_come(case)
    assert found is not None
    # 87 % is entered 39.2 days on: 0.80 + 0.10 n / 56
    assert (found.on - TODAY).days == 40
    # On the last day 8 kg at 90 % want (0.90 - 0.83) / (0.83 - 0.08) * 8 = 0.747 kg over the 14 feedings of 0.5 kg
    # before it; the other days want less to a kg of feed.
    given = sum(each.feed_kg for each in FEED if each.on <= TODAY + timedelta(days=56))
    assert found.share == pytest.approx(8.0 * 0.07 / 0.75 / given, rel=0.01)
    told = wet_ahead(case)
    assert told is not None
    assert told.what == "if you feed as planned, it is too wet by 29 June"
    assert told.do == ("strew 53 g dry shredded cardboard over each feeding of about 500 g",)
    assert told.level is Level.STEADY
    assert "no holes" in told.why
    assert wet_ahead(a_case(ahead=rising(0.90, by=8))) is not None
    assert wet_ahead(a_case(ahead=rising(0.90, by=8))).level is Level.WATCH  # type: ignore[union-attr]


def test_water_that_will_stand_at_the_base_asks_for_what_soaks_it_up() -> None:
    ahead = Ahead(
        tuple(a_day(TODAY + timedelta(days=n), standing_water_kg=Band.exactly(0.08 * n)) for n in range(1, 57)),
        Window(None, None, None),
        FEED,
    )
    found = wet_to_come(a_case(ahead=ahead))
    assert found is not None
    assert found.stands
    # 1.5 cm on 0.2 m2 is 3 kg; the last day stands 4.48 kg, 2 kg may stand, a kg of board holds 3 kg
    assert (found.on - TODAY).days == 38
    assert found.share == pytest.approx((4.48 - 2.0) / 3.0 / 7.0, rel=0.01)


@pytest.mark.parametrize(
    "case",
    [
        a_case(ahead=rising(0.86)),
        a_case(ahead=replace(rising(0.95), plan=())),
        a_case(moisture=band(0.89, 0.005), ahead=rising(0.95)),
    ],
    ids=["stays inside", "no feed planned", "wet already: that is another finding"],
)
def test_nothing_is_said_where_it_stays_right_or_is_wet_already(case: Case) -> None:
    assert wet_ahead(case) is None


def test_the_bedding_is_one_that_the_keeper_has() -> None:
    bare = replace(SETTINGS, on_hand=())
    told = wet_ahead(a_case(ahead=rising(0.90), settings=bare))
    assert told is not None
    assert "your settings list none" in told.do[0]
