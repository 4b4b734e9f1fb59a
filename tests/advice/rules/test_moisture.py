from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import BIN, SETTINGS, TODAY, a_case, band, days, read
from wormbin.advice.rules import moisture
from wormbin.figures import Band, Level


@pytest.mark.parametrize(("value", "level"), [(0.80, None), (0.86, None), (0.88, Level.WATCH), (0.91, Level.ACT)])
def test_wet_bedding(value: float, level: Level | None) -> None:
    found = moisture.too_wet(a_case(moisture=band(value, 0.005)))
    assert (found.level if found else None) is level
    if found is not None:
        assert "g dry shredded cardboard" in found.do[0]
        assert "Earthworm Ecology" in found.source


def test_wet_bedding_is_let_go_only_well_inside_the_band() -> None:
    def case(*values: float) -> object:
        return moisture.too_wet(a_case(days([{"moisture": band(value, 0.005)} for value in values])))

    assert case(0.84, 0.865) is None
    assert case(0.84, 0.875, 0.862) is not None
    assert case(0.84, 0.875, 0.850) is None


def test_a_wide_band_about_a_calm_value_raises_no_alarm() -> None:
    assert moisture.too_wet(a_case(moisture=Band(0.76, 0.82, 0.88))) is None


@pytest.mark.parametrize(("value", "level"), [(0.75, None), (0.69, None), (0.66, Level.WATCH), (0.58, Level.ACT)])
def test_dry_bedding(value: float, level: Level | None) -> None:
    found = moisture.too_dry(a_case(moisture=band(value, 0.005)))
    assert (found.level if found else None) is level
    if found is not None:
        assert "L of water" in found.do[0]
        assert "soak" in found.do[-1]


@pytest.mark.parametrize(
    ("value", "what", "do"),
    [
        (0.72, "steady, but on the dry side: 72% moist, the aim is 75-85%", "add 1.7 L of water as a spray, all over"),
        (0.865, "steady, but on the wet side: 86% moist, the aim is 75-85%", "add 370 g dry shredded cardboard"),
    ],
)
def test_a_steady_bin_beside_its_aim_is_not_called_all_well(value: float, what: str, do: str) -> None:
    """8 kg at 72 % to 77 %: 8 * 0.05 / 0.23 = 1.74 kg; 8 kg at 86.5 % to 83 %: 8 * 0.035 / 0.75 = 0.373 kg."""
    found = moisture.beside_the_aim(a_case(moisture=band(value, 0.005)))
    assert found is not None
    assert found.level is Level.STEADY
    assert found.what == what
    assert found.do[0].startswith(do)


@pytest.mark.parametrize("value", [0.75, 0.80, 0.85, 0.66, 0.90])
def test_inside_the_aim_or_where_an_alarm_says_so_nothing_is_added(value: float) -> None:
    assert moisture.beside_the_aim(a_case(moisture=band(value, 0.005))) is None


def test_the_water_for_a_dry_bin_is_worked_out_from_its_mass() -> None:
    found = moisture.too_dry(a_case(moisture=band(0.66, 0.005), total_kg=Band.exactly(5.0)))
    assert found is not None
    # 5 kg at 66 % to 78 %: 5 * 0.12 / 0.22 = 2.73 kg
    assert found.do[0].startswith("add 2.7 L of water")


def test_water_at_the_base_is_told_with_how_to_let_it_out() -> None:
    water: dict[str, Any] = {"standing_water_kg": Band.exactly(3.4)}
    found = moisture.standing_water(a_case(bin=replace(BIN, drainage=False), **water))
    assert found is not None
    assert found.level is Level.WATCH
    assert "3.4 L" in found.what
    assert "no drainage" in found.do[0]
    drained = moisture.standing_water(a_case(**water))
    assert drained is not None
    assert "open the drain" in drained.do[0]
    assert "not tea" in found.caution
    assert not any("not tea" in step for step in found.do)


def test_a_heavy_box_is_lifted_by_two() -> None:
    heavy: dict[str, Any] = {"standing_water_kg": Band.exactly(8.0), "total_kg": Band.exactly(28.0)}
    found = moisture.standing_water(a_case(bin=replace(BIN, drainage=False), **heavy))
    assert found is not None
    assert found.level is Level.ACT
    assert "two people" in found.caution


def test_a_film_of_water_is_no_finding() -> None:
    assert moisture.standing_water(a_case(standing_water_kg=Band.exactly(0.5))) is None
    assert moisture.standing_water(a_case(bin=replace(BIN, length_m=0.0))) is None


def test_the_keepers_own_band_moves_the_limits() -> None:
    dry_lover = replace(SETTINGS, moisture_low=0.60, moisture_high=0.75)
    assert moisture.too_wet(a_case(settings=dry_lover, moisture=band(0.80, 0.005))) is not None
    assert moisture.too_dry(a_case(settings=dry_lover, moisture=band(0.65, 0.005))) is None


def _looked(*looks: tuple[int, float]) -> Any:
    """A calm bin whose moisture was read so many days ago at these values."""
    seen = tuple(read("moisture", value, TODAY - timedelta(days=ago), "squeeze") for ago, value in looks)
    return moisture.too_wet(replace(a_case(), judged=seen))


@pytest.mark.parametrize(("ago", "level"), [(0, Level.WATCH), (1, Level.WATCH), (2, Level.STEADY)])
def test_one_wet_handful_is_a_watch_while_fresh_and_asks_for_another_and_no_water(ago: int, level: Level) -> None:
    found = _looked((ago, 0.87))
    assert found.level is level
    assert "add no water" in found.do
    assert any("squeeze again" in step for step in found.do)


@pytest.mark.parametrize("looks", [((0, 0.87), (0, 0.88)), ((4, 0.87), (0, 0.88))])
def test_two_wet_readings_are_not_talked_away_by_the_log(looks: tuple[tuple[int, float], ...]) -> None:
    found = _looked(*looks)
    assert found.level is Level.WATCH
    assert "in hand" in found.what
    assert "dripping" in found.what
    assert "the log alone makes it" in found.why
    assert any("dry shredded cardboard" in step for step in found.do)
    assert any("squeeze again" in step for step in found.do)


def test_what_is_too_wet_in_hand_gets_its_bedding_dry_and_each_way_of_reading_is_told_once() -> None:
    """The log alone would have the bedding soaked first: not in a bin that drips in the hand."""
    looks = tuple(read("moisture", 0.87, TODAY, "squeeze") for _n in range(4))
    meter = read("moisture", 0.89, TODAY, "meter")
    found = moisture.too_wet(replace(a_case(moisture=Band(0.66, 0.70, 0.74)), judged=(meter, *looks)))
    assert found is not None
    assert found.what == "too wet in hand: moisture meter reading 89% and 4 squeezes, dripping"
    bedding = next(step for step in found.do if step.startswith("add "))
    assert "soaked" not in bedding


def test_three_wet_readings_are_believed() -> None:
    found = _looked((3, 0.87), (0, 0.87), (0, 0.88))
    assert found.level is Level.ACT
    assert any("no feed" in step for step in found.do)


@pytest.mark.parametrize("looks", [((0, 0.80),), ((5, 0.87),), ((0, 0.87), (0, 0.78)), ()])
def test_a_damp_an_old_or_a_contradicted_handful_says_nothing(looks: tuple[tuple[int, float], ...]) -> None:
    assert _looked(*looks) is None


def test_a_wetter_handful_asks_for_more_dry_bedding() -> None:
    def kg(value: float) -> float:
        found = _looked((0, value), (0, value))
        return float(max(action.strength for action in found.actions if "cardboard" in action.text))

    assert kg(0.91) > kg(0.88) > 0.0
