from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.advice.cases import BIN, CALM_LOG, SETTINGS, TODAY, a_case, band, days, looked
from wormbin.advice.case import Case
from wormbin.advice.finding import Doing, Finding
from wormbin.advice.rules import moisture
from wormbin.figures import Band, Level
from wormbin.process.views import Layers
from wormbin.records.entries import Squeeze

FELT = (*CALM_LOG, looked(TODAY, squeeze=Squeeze.SPONGE))
"""A log in which the moisture was felt today: amounts are told."""


def felt(**changes: Any) -> Case:
    return a_case(entries=FELT, **changes)


@pytest.mark.parametrize(("value", "level"), [(0.80, None), (0.86, None), (0.87, Level.WATCH), (0.90, Level.ACT)])
def test_wet_bedding(value: float, level: Level | None) -> None:
    found = moisture.too_wet(felt(moisture=band(value, 0.005)))
    assert (found.level if found else None) is level
    if found is not None:
        assert "g dry shredded cardboard" in found.do[0]
        assert "soaked" not in found.do[0]
        assert "Earthworm Ecology" in found.source
        assert Doing.WATER in found.bars


def test_wet_bedding_that_nobody_felt_of_late_is_at_most_a_watch_and_felt_first() -> None:
    found = moisture.too_wet(a_case(moisture=band(0.93, 0.005)))
    assert found is not None
    assert found.level is Level.WATCH
    assert found.do[0].startswith("squeeze a handful from 9 cm down")
    assert not any("cardboard" in step for step in found.do)


def test_wet_bedding_is_let_go_only_well_inside_the_band() -> None:
    def case(*values: float) -> object:
        return moisture.too_wet(a_case(days([{"moisture": band(value, 0.005)} for value in values])))

    assert case(0.84, 0.865) is None
    assert case(0.84, 0.875, 0.862) is not None
    assert case(0.84, 0.875, 0.850) is None


def test_a_wide_band_about_a_calm_value_raises_no_alarm() -> None:
    assert moisture.too_wet(a_case(moisture=Band(0.76, 0.82, 0.88))) is None


@pytest.mark.parametrize(("value", "level"), [(0.75, None), (0.68, None), (0.67, Level.WATCH), (0.62, Level.ACT)])
def test_dry_bedding(value: float, level: Level | None) -> None:
    found = moisture.too_dry(felt(moisture=band(value, 0.005)))
    assert (found.level if found else None) is level
    if found is not None:
        assert "mL of water" in found.do[0]
        assert "soak" in found.do[-1]


def test_dry_bedding_that_nobody_felt_of_late_is_at_most_a_watch_and_felt_first() -> None:
    found = moisture.too_dry(a_case(moisture=band(0.55, 0.005)))
    assert found is not None
    assert found.level is Level.WATCH
    assert found.do[0].startswith("squeeze a handful from 9 cm down")
    assert " L of" not in " ".join(found.do)


@pytest.mark.parametrize(
    ("value", "what", "do"),
    [
        (0.72, "a little dry: 72% moist, aim at 75-85%", "add 800 mL of water, sprinkled all over"),
        (0.865, "a little wet: 86% moist, aim at 75-85%", "add 350 g dry shredded cardboard"),
    ],
)
def test_a_steady_bin_beside_its_aim_is_not_called_all_well(value: float, what: str, do: str) -> None:
    """8 kg at 72 % to 77 % is 1.7 kg, over a tenth of it; 8 kg at 86.5 % to 83 %: 8 * 0.035 / 0.75 = 0.373 kg."""
    found = moisture.beside_the_aim(felt(moisture=band(value, 0.005)))
    assert found is not None
    assert found.level is Level.STEADY
    assert found.what == what
    assert found.do[0].startswith(do)


@pytest.mark.parametrize(
    ("value", "told"),
    [(0.744, True), (0.746, False), (0.80, False), (0.854, False), (0.856, True), (0.67, False), (0.88, False)],
)
def test_inside_the_aim_or_where_an_alarm_says_so_nothing_is_added(value: float, told: bool) -> None:
    assert (moisture.beside_the_aim(felt(moisture=band(value, 0.0005))) is not None) is told


def test_water_that_may_stand_at_the_base_is_looked_for_first() -> None:
    water: dict[str, Any] = {"standing_water_kg": Band.exactly(3.4)}
    found = moisture.standing_water(felt(**water))
    assert found is not None
    assert found.level is Level.WATCH
    assert "about 3.4 L" in found.what
    assert found.do == ("look at the base first: tip the box a little, let out what runs, write it down",)
    assert "not tea" in found.caution
    assert Doing.WATER in found.bars


def test_water_by_the_sums_alone_is_never_urgent_and_a_heavy_box_is_lifted_by_two() -> None:
    def told(total: float) -> Finding:
        heavy: dict[str, Any] = {"standing_water_kg": Band.exactly(8.0), "total_kg": Band.exactly(total)}
        found = moisture.standing_water(a_case(bin=replace(BIN, tare_kg=4.0), **heavy))
        assert found is not None
        assert found.level is Level.WATCH
        return found

    assert "two people" in told(16.1).caution
    assert "two people" not in told(15.9).caution


@pytest.mark.parametrize(("litres", "told"), [(2.9, False), (3.0, True)])
def test_a_film_of_water_is_no_finding(litres: float, told: bool) -> None:
    """A centimetre and a half on 0.2 m2 is 3 L."""
    found = moisture.standing_water(a_case(standing_water_kg=Band.exactly(litres)))
    assert (found is not None) is told
    assert moisture.standing_water(a_case(bin=replace(BIN, length_m=0.0), standing_water_kg=band(9.0))) is None


def test_the_keepers_own_band_moves_the_limits() -> None:
    dry_lover = replace(SETTINGS, moisture_low=0.60, moisture_high=0.75)
    assert moisture.too_wet(a_case(settings=dry_lover, moisture=band(0.80, 0.005))) is not None
    assert moisture.too_dry(a_case(settings=dry_lover, moisture=band(0.65, 0.005))) is None


@pytest.mark.parametrize(
    ("bedding_m", "castings_m", "told"),
    [(0.0, 0.0, True), (0.009, 0.029, True), (0.01, 0.0, False), (0.0, 0.03, False)],
)
def test_a_bin_without_a_bed_is_told_to_put_some_in(bedding_m: float, castings_m: float, told: bool) -> None:
    """A first bed of 10 cm on 0.2 m2 at 40 kg/m3: 0.8 kg."""
    found = moisture.no_bedding(a_case(layers=Layers(0.05, bedding_m, castings_m, 0.0)))
    assert (found is not None) is told
    if found is not None:
        assert found.level is Level.WATCH
        assert found.do[0].startswith("add 800 g dry shredded cardboard")
        assert "write it down" in found.do[1]


def test_what_is_too_wet_in_hand_gets_its_bedding_dry_and_a_wetter_handful_gets_more() -> None:
    """The log alone would have the bedding soaked first: not in a bin that drips in the hand."""
    case = felt(moisture=Band(0.66, 0.70, 0.74))

    def kg(value: float) -> float:
        bedding = moisture.wet_steps(case, Level.WATCH, value)[0]
        assert "soaked" not in bedding.text
        return bedding.strength

    assert kg(0.91) > kg(0.88) > 0.0
    assert kg(0.99) == kg(0.92), "over that no more is worked out: it would never end"
    assert any("do not feed" in step.text for step in moisture.wet_steps(case, Level.ACT, 0.9))
    assert not any("do not feed" in step.text for step in moisture.wet_steps(case, Level.WATCH, 0.9))
