from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.advice.cases import BIN, SETTINGS, a_case, a_day, ahead_of, band, days
from wormbin.advice.judgement import findings, judge
from wormbin.advice.rules import warmth
from wormbin.figures import Band, Level
from wormbin.records.bins import Species
from wormbin.records.farms import Units


@pytest.mark.parametrize(
    ("value", "level"), [(27.9, None), (28.0, Level.WATCH), (29.9, Level.WATCH), (30.0, Level.ACT)]
)
def test_heat(value: float, level: Level | None) -> None:
    found = warmth.too_hot(a_case(temp_c=Band(value - 0.5, value, value + 0.5)))
    assert (found.level if found else None) is level


def test_heat_of_its_own_is_told_apart_from_the_room_and_its_feed_taken_out() -> None:
    hot: dict[str, Any] = {"temp_c": Band(32.0, 33.0, 34.0), "feed_waiting_kg": band(4.0)}
    own = warmth.too_hot(a_case(heat_rise_c=Band.exactly(12.0), **hot))
    assert own is not None
    assert "the food heats it" in own.what
    # (33 - 27) / 12 of 4 kg
    assert "2 kg" in own.do[1]
    room = warmth.too_hot(a_case(heat_rise_c=Band.exactly(1.0), **hot))
    assert room is not None
    assert "the room is warm" in room.what
    assert not any("take out" in step for step in room.do)


@pytest.mark.parametrize(("value", "level"), [(8.1, None), (8.0, Level.WATCH), (4.1, Level.WATCH), (4.0, Level.ACT)])
def test_cold(value: float, level: Level | None) -> None:
    found = warmth.too_cold(a_case(temp_c=Band(value - 0.5, value, value + 0.5)))
    assert (found.level if found else None) is level
    if found is not None:
        step = "do not feed until" if level is Level.ACT else "feed no more than {week} a week while it is this cold"
        assert found.do[1].startswith(step)
        assert found.brake == (0.0 if level is Level.ACT else 0.5)


def test_the_week_of_a_cold_bin_is_half_of_what_it_could_take_when_warm() -> None:
    cold = a_case(temp_c=Band(5.5, 6.0, 6.5))
    (found,) = findings(cold)
    assert judge(cold).ration.week_kg == pytest.approx(judge(a_case()).ration.week_kg / 2)
    assert found.do[1] == "feed no more than 380 g a week while it is this cold"


def test_a_tropical_worm_is_cold_where_the_common_one_is_not() -> None:
    cool: dict[str, Any] = {"temp_c": Band(15.5, 16.0, 16.5)}
    assert warmth.too_cold(a_case(**cool)) is None
    assert warmth.too_cold(a_case(bin=replace(BIN, species=Species.EUDRILUS), **cool)) is not None


def test_heat_does_not_flap() -> None:
    def case(*values: float) -> object:
        return warmth.too_hot(a_case(days([{"temp_c": Band.exactly(value)} for value in values])))

    assert case(25.0, 27.5) is None
    assert case(25.0, 28.1, 27.5) is not None
    assert case(25.0, 28.1, 26.5) is None


def test_heat_to_come_from_feed_is_told_before_it_comes() -> None:
    today = a_day(feed_waiting_kg=band(6.0))
    coming = ahead_of(today, temp_c=Band(30.0, 32.0, 34.0), heat_rise_c=Band.exactly(10.0))
    found = warmth.heat_to_come(replace(a_case([today]), unfed=coming))
    assert found is not None
    assert found.level is Level.ACT
    assert "32 °C" in found.what
    # (32 - 27) of 10 degrees: half of 6 kg
    assert found.do[0].startswith("take out about 3 kg of food. Put it in a bucket")


def test_a_hot_spell_of_the_room_or_a_handful_of_peelings_is_no_heat_to_come() -> None:
    today = a_day()
    spell = ahead_of(today, temp_c=Band(30.0, 32.0, 34.0), heat_rise_c=Band.exactly(1.0))
    assert warmth.heat_to_come(replace(a_case([today]), unfed=spell)) is None
    assert warmth.heat_to_come(a_case()) is None
    assert warmth.heat_to_come(replace(a_case(), unfed=ahead_of(today, 0))) is None


def test_a_cool_bin_with_little_feed_never_needs_the_days_ahead() -> None:
    today = a_day(temp_c=Band.exactly(16.0))
    coming = ahead_of(today, temp_c=Band.exactly(32.0), heat_rise_c=Band.exactly(10.0))
    assert warmth.heat_to_come(replace(a_case([today]), unfed=coming)) is None
    heap = a_day(temp_c=Band.exactly(16.0), feed_waiting_kg=Band.exactly(3.0))
    assert warmth.heat_to_come(replace(a_case([heap]), unfed=coming)) is not None


def test_heat_that_is_there_already_is_told_once() -> None:
    today = a_day(temp_c=Band(31.0, 32.0, 33.0))
    coming = ahead_of(today, heat_rise_c=Band.exactly(10.0))
    assert warmth.heat_to_come(replace(a_case([today]), unfed=coming)) is None


def test_temperatures_are_said_in_the_keepers_units() -> None:
    found = warmth.too_hot(a_case(settings=replace(SETTINGS, units=Units.US), temp_c=Band.exactly(31.0)))
    assert found is not None
    assert "88 °F" in found.what
