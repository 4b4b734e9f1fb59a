"""What an absence comes to, and its words: before leaving, meanwhile, and for a neighbour."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.schedule.lines import BIN, MONDAY, a_day
from wormbin.figures import Level
from wormbin.process.views import Day
from wormbin.records.farms import Settings, Units
from wormbin.schedule.absence import (
    Amiss,
    Meal,
    Meanwhile,
    Prepared,
    before,
    meanwhile,
    neighbour,
    risks,
    steps,
    visits,
)

SATURDAY = MONDAY + timedelta(days=5)
THURSDAY = MONDAY + timedelta(days=3)
AMISS = Amiss()


def ahead(
    count: int, *, waiting: float = 2.0, moisture: float = 0.8, drying: float = 0.0, temp: float = 21.0
) -> list[Day]:
    return [
        a_day(
            MONDAY + timedelta(days=n), waiting=max(0.0, waiting - 0.25 * n), moisture=moisture - drying * n, temp=temp
        )
        for n in range(1, count + 1)
    ]


def away(days: int, rows: list[Day]) -> Meanwhile:
    return meanwhile(rows, Settings(), SATURDAY, SATURDAY + timedelta(days=days - 1))


def said(
    then: Meanwhile, meal: Meal | None = None, amiss: Amiss = AMISS, *, lay: float = 0.0, laid: float = 0.0
) -> list[str]:
    return [each.words for each in before(MONDAY, Settings(), then, meal, amiss=amiss, bedding=(lay, laid))]


def page(then: Meanwhile, amiss: Amiss = AMISS, *, most_kg: float = 0.4, water: str = "") -> tuple[str, ...]:
    def by_hand(kg: float) -> str:
        return f"{kg * 1000:.0f} g" if kg >= 0.04 else ""

    return neighbour(BIN, then, visits(then, amiss), amiss, most_kg=most_kg, by_hand=by_hand, water=water)


def test_a_short_absence_is_no_trouble() -> None:
    then = away(4, ahead(20, waiting=4.0))
    assert (then.level, then.bare, then.dry, then.short) == (Level.STEADY, None, None, None)
    assert risks(MONDAY, Settings(), then, AMISS) == ("nothing is likely to go wrong",)
    assert any("needs nothing" in line for line in page(then))


def test_the_days_on_which_feed_or_water_runs_short_are_named() -> None:
    then = away(12, ahead(30, waiting=2.5))
    assert then.bare == MONDAY + timedelta(days=10)
    assert "about 12 March" in risks(MONDAY, Settings(), then, AMISS)[0]
    told = steps(MONDAY, Settings(), then, 0.8, wet=False)
    assert [step.code for step in told] == ["leave", "feed-short", "back"]
    assert told[-1].on == SATURDAY + timedelta(days=12)
    dry = away(20, ahead(40, waiting=9.0, drying=0.008))
    assert dry.level is Level.WATCH
    assert dry.short is not None
    assert "too dry" in dry.short[1]


def test_ten_days_without_feed_are_none_to_worry_and_eleven_are_watched_and_three_weeks_acted_on() -> None:
    bare = ahead(60, waiting=0.0)
    assert [away(days, bare).level for days in (10, 11, 22)] == [Level.STEADY, Level.WATCH, Level.WATCH]


def test_bedding_is_laid_for_three_days_without_feed_and_only_what_is_missing() -> None:
    assert away(2, ahead(20, waiting=0.0)).bedding_kg(BIN, 0.0) == 0.0
    then = away(3, ahead(20, waiting=0.0))
    # 5 cm over 0.2 m2 at 40 kg/m3
    assert then.bedding_kg(BIN, 0.0) == pytest.approx(0.4)
    assert then.bedding_kg(BIN, 0.03) == pytest.approx(0.16)
    assert then.bedding_kg(BIN, 0.08) < 0


def test_heat_and_cold_while_away_are_risks() -> None:
    for temp, do in ((31.0, "coolest room"), (3.0, "wrap it")):
        then = away(5, ahead(20, waiting=9.0, temp=temp))
        assert any(do in risk for risk in risks(MONDAY, Settings(), then, AMISS))


def test_moisture_that_is_under_the_limit_already_does_not_fall_under_it() -> None:
    then = away(12, ahead(40, waiting=9.0, moisture=0.69))
    (step,) = (each for each in steps(MONDAY, Settings(), then, 0.69, wet=True) if each.code == "water-short")
    assert step.what.startswith("it is 69% moist already, under 70%")
    assert "only if it crumbles" in step.what


def test_the_last_feeding_is_told_as_it_is_planned_due_or_done() -> None:
    then = away(4, ahead(20))
    assert said(then, Meal(THURSDAY, 0.3))[0] == "feed about 300 g on 5 March"
    assert said(then, Meal(MONDAY, 0.3))[0] == "feed up to 300 g today"
    assert said(then, Meal(MONDAY, 0.3, done=True))[0] == "fed 300 g today: done"
    assert "what lies there is enough" in said(then)[0]
    held = said(then, None, Amiss(held="70% of the last feeding is left"))
    assert held[0].startswith("feed nothing yet: 70% of the last feeding")


def test_steps_of_the_last_day_have_their_day_until_it_is_there() -> None:
    then = away(12, ahead(20, waiting=0.0))
    assert "on 6 March, lay 200 g of dry bedding" in " / ".join(said(then, lay=0.2))
    eve = before(SATURDAY - timedelta(days=1), Settings(), then, None, amiss=AMISS, bedding=(0.2, 0.0),
                 water=Prepared("add 200 mL of water"))  # fmt: skip
    assert [each.words.split()[0] for each in eve] == ["feed", "lay", "add", "fluff"]


def test_bedding_of_todays_steps_is_counted_and_what_was_laid_is_done() -> None:
    then = away(12, ahead(20, waiting=0.0))
    assert any("lay 200 g more of dry bedding" in line for line in said(then, None, Amiss(bedding_kg=0.18), lay=0.4))
    assert not any(" lay " in line for line in said(then, None, Amiss(bedding_kg=5.0), lay=0.4))
    assert "laid 300 g of bedding: done" in said(then, lay=0.01, laid=0.3)
    assert not any("bedding" in line for line in said(then, lay=-0.5, laid=0.3)), "the usual strewing was no step"


def test_a_wet_bin_is_not_closed_and_its_bedding_is_not_soaked() -> None:
    then = away(12, ahead(20, waiting=0.0))
    wet = " / ".join(said(then, None, Amiss(wet=True), lay=0.2))
    assert "close the cover" not in wet
    assert "ajar" in wet
    assert "soaked" not in wet
    assert "close the cover" in " / ".join(said(then, lay=0.2))


def test_amounts_are_in_the_keepers_units() -> None:
    us = replace(Settings(), units=Units.US)
    told = before(MONDAY, us, away(4, ahead(20)), Meal(THURSDAY, 1.0), amiss=AMISS, bedding=(0.0, 0.0))
    assert "2.2 lb" in told[0].words


def test_an_absence_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(ValueError, match="before the first"):
        meanwhile([], Settings(), SATURDAY, SATURDAY - timedelta(days=1))


def test_a_year_end_and_a_leap_day_are_days_like_others() -> None:
    rows = [a_day(date(2027, 12, 20) + timedelta(days=n), waiting=0.0) for n in range(1, 90)]
    then = meanwhile(rows, Settings(), date(2027, 12, 24), date(2028, 2, 29))
    assert steps(date(2027, 12, 20), Settings(), then, 0.8, wet=False)[-1].on == date(2028, 3, 1)


def test_the_neighbour_gets_days_amounts_what_never_to_do_and_care_for_themselves() -> None:
    lines = page(away(25, ahead(60, waiting=1.0)), water="half a cup")
    told = "\n".join(lines)
    assert len(lines) <= 12
    assert told.count("March") >= 4
    # three quarters of what the bin may be given at once
    assert "bury up to 300 g of vegetable peelings" in told
    assert "If it crumbles: sprinkle half a cup of water." in told
    assert "Never: meat" in told
    assert "Leave out citrus, bread, cooked food too." in told, "what the feeding form calls only a little at a time"
    for care in ("gloves", "wash your hands", "asthma", "mould", "call us"):
        assert care in told


def test_a_bin_that_was_held_is_not_fed_before_that_is_over_and_then_half() -> None:
    """A bin that is not to be fed today is not left without feed for ten weeks."""
    then = away(71, ahead(80))
    late = Amiss(held="too much feed left", held_until=SATURDAY + timedelta(days=30))
    told = page(then, late)
    assert told[1] == "Please give it no feed before Monday 6 April."
    assert "Sunday 5 April" not in told[3]
    assert any("bury up to 150 g" in line for line in told)
    assert len(told) <= 12
    for never in (page(then, replace(late, held_until=None)), page(away(5, ahead(20)), late)):
        assert any("no feed" in line for line in never)
        assert not any("bury up to" in line for line in never)


def test_less_than_a_handful_of_bedding_is_not_asked_for() -> None:
    then = away(30, ahead(40))
    assert not any("of dry bedding" in words for words in said(then, lay=0.0199))
    assert any("of dry bedding" in words for words in said(then, lay=0.0201))
