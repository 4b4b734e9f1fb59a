"""Free air space and air reach, each against a figure from outside the project."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from types import ModuleType

import pytest

from wormbin.process import flows
from wormbin.science import response
from wormbin.science.response import COMPOST_PARTICLES, Particles, free_air_space

GROWING_MEDIA_PARTICLES = Particles(1550.0, 2650.0, "EN 13041 family of growing-media tests (from memory)")


def test_coir_as_measured_has_97_3_percent_air_when_dry() -> None:
    # Noguera et al. 2003: coir of 41 kg/m3, published 97.3 %; ash 5 % taken here, densities 1550 and 2650.
    assert free_air_space(41.0, 0.0, 0.05, GROWING_MEDIA_PARTICLES) == pytest.approx(0.973, abs=0.0015)


def test_denser_coir_has_92_3_percent() -> None:
    # Worked out by hand with the densities of the EN 13041 family (from memory): 122 kg/m3 dry, ash 5 %.
    assert free_air_space(122.0, 0.0, 0.05, GROWING_MEDIA_PARTICLES) == pytest.approx(0.923, abs=0.0005)


# Worked out by hand from Richard et al. 2004: volatile solids 85 % of dry matter, wet bulk densities 400...800 kg/m3.
BY_DENSITY = {0.60: (66.5, 58.2, 49.8, 41.4, 33.1), 0.80: (63.3, 54.1, 44.9, 35.7, 26.5)}


@pytest.mark.parametrize("moisture", [0.60, 0.80])
def test_free_air_falls_with_density_as_in_richard_2004(moisture: float) -> None:
    worked = [100 * free_air_space(bulk, moisture, 0.15) for bulk in (400.0, 500.0, 600.0, 700.0, 800.0)]
    assert worked == pytest.approx(BY_DENSITY[moisture], abs=0.06)


# Worked out by hand: D_eff = FAS^2 x D after Papendick & Campbell 1981; 0.2 m2, 0.2 m deep.
REACHES = [(0.30, 0.025, 0.34), (0.20, 0.100, 0.11)]


@pytest.mark.parametrize(("fas", "burned_kg_day", "reach"), REACHES)
def test_air_reach_agrees_with_the_hand_sum(fas: float, burned_kg_day: float, reach: float) -> None:
    assert flows.REACH * fas * sqrt(0.2 * 0.2 / burned_kg_day) == pytest.approx(reach, abs=0.005)


def test_oxygen_figures_follow_from_chemistry_and_the_gas_laws() -> None:
    # C6H10O5 + 6 O2 -> 6 CO2 + 5 H2O, molar masses 162.14 and 31.998; air 1.204 kg/m3 at 20 C, 28.96 g/mol, 20.95 % O2.
    assert pytest.approx(6 * 31.998 / 162.14, rel=0.02) == response.OXYGEN_PER_BURNED
    assert pytest.approx(0.2095 * 1.204 * 31.998 / 28.96, rel=0.01) == response.OXYGEN_IN_AIR_KG_M3


def _richard_table() -> None:
    test_free_air_falls_with_density_as_in_richard_2004(0.60)


def _reach_table() -> None:
    test_air_reach_agrees_with_the_hand_sum(*REACHES[0])


@pytest.mark.parametrize(
    ("room", "name", "value", "check"),
    [
        (flows, "REACH", flows.REACH * 1.025, _reach_table),
        (flows, "REACH", flows.REACH * 0.975, _reach_table),
        (response, "WATER_KG_M3", 1000.0 * 1.03, _richard_table),
    ],
)
def test_a_constant_a_few_percent_off_would_be_noticed(
    monkeypatch: pytest.MonkeyPatch, room: ModuleType, name: str, value: float, check: Callable[[], None]
) -> None:
    monkeypatch.setattr(room, name, value)
    with pytest.raises(AssertionError):
        check()


@pytest.mark.parametrize(
    "wrong",
    [
        Particles(COMPOST_PARTICLES.volatile_kg_m3 * 1.03, COMPOST_PARTICLES.ash_kg_m3, ""),
        Particles(COMPOST_PARTICLES.volatile_kg_m3, COMPOST_PARTICLES.ash_kg_m3 * 0.90, ""),
    ],
)
def test_a_particle_density_a_few_percent_off_would_be_noticed(wrong: Particles) -> None:
    worked = [100 * free_air_space(bulk, 0.60, 0.15, wrong) for bulk in (400.0, 500.0, 600.0, 700.0, 800.0)]
    assert worked != pytest.approx(BY_DENSITY[0.60], abs=0.06)
