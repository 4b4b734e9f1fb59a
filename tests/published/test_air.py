"""Free air space, bulk density, air reach and held water, each against a figure from outside the project."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from wormbin.science import air
from wormbin.science.air import (
    COMPOST_PARTICLES,
    GROWING_MEDIA_PARTICLES,
    Particles,
    air_reach_m,
    bulk_density_from_bucket_kg_m3,
    density_at_free_air,
    free_air_from_bucket,
    free_air_space,
    moisture_when_full,
    reach_ratio,
)


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


def test_the_pile_limits_fall_only_in_dense_beds() -> None:
    # Worked out: at 75-88 % moisture 30 % falls at 736-780 and 20 % at 841-891 kg/m3.
    edges = [density_at_free_air(fas, wet, 0.15) for fas in (0.30, 0.20) for wet in (0.88, 0.75)]
    assert edges == pytest.approx([736, 780, 841, 891], abs=0.6)


def test_twenty_litre_bucket_with_nine_kilograms_is_450() -> None:
    # Cornell Composting: 20 L bucket, 1 kg empty, 10 kg full.
    assert bulk_density_from_bucket_kg_m3(10.0, 1.0, 20.0) == pytest.approx(450.0, abs=1e-9)


def test_a_gallon_into_a_full_five_gallon_bucket_is_twenty_percent() -> None:
    # Technical Note 24 on bulk density and porosity of compost; 3.785411784 L a US gallon.
    assert free_air_from_bucket(3.785411784, 5 * 3.785411784) == pytest.approx(0.20, abs=1e-12)


# Worked out by hand: D_eff = FAS^2 x D after Papendick & Campbell 1981; 0.2 m2, 0.2 m deep.
REACHES = [(0.30, 0.025, 0.34), (0.20, 0.100, 0.11)]


@pytest.mark.parametrize(("fas", "burned_kg_day", "reach"), REACHES)
def test_air_reach_agrees_with_the_hand_sum(fas: float, burned_kg_day: float, reach: float) -> None:
    assert air_reach_m(fas, burned_kg_day, 0.2 * 0.2) == pytest.approx(reach, abs=0.005)


def test_the_well_fed_wet_bed_is_airless_at_the_base_and_the_light_one_is_not() -> None:
    assert reach_ratio(air_reach_m(0.30, 0.025, 0.04), 0.2) > air.REACH_WATCH
    assert air.REACH_ACT < reach_ratio(air_reach_m(0.20, 0.100, 0.04), 0.2) < air.REACH_WATCH


def test_oxygen_figures_follow_from_chemistry_and_the_gas_laws() -> None:
    # C6H10O5 + 6 O2 -> 6 CO2 + 5 H2O, molar masses 162.14 and 31.998; air 1.204 kg/m3 at 20 C, 28.96 g/mol, 20.95 % O2.
    assert pytest.approx(6 * 31.998 / 162.14, rel=0.02) == air.OXYGEN_PER_BURNED
    assert pytest.approx(0.2095 * 1.204 * 31.998 / 28.96, rel=0.01) == air.OXYGEN_IN_AIR_KG_M3


def test_a_soaked_sheet_of_cardboard_or_a_bed_of_castings_lands_in_the_published_range() -> None:
    # Kitchen-waste compost holds 3.3-4.3 g/g: 77-81 % moisture when full; peat 5-7 g/g: 83-88 %.
    low, high = air.WATER_HELD_G_PER_G["kitchen-waste compost"]
    assert (moisture_when_full(low), moisture_when_full(high)) == pytest.approx((0.767, 0.811), abs=0.0005)


def _richard_table() -> None:
    test_free_air_falls_with_density_as_in_richard_2004(0.60)


def _reach_table() -> None:
    test_air_reach_agrees_with_the_hand_sum(*REACHES[0])


@pytest.mark.parametrize(
    ("name", "value", "check"),
    [
        ("OXYGEN_DIFFUSIVITY_M2_S", 2.0e-5 * 1.05, _reach_table),
        ("OXYGEN_PER_BURNED", 1.2 * 0.95, _reach_table),
        ("OXYGEN_IN_AIR_KG_M3", 0.28 * 1.05, _reach_table),
        ("WATER_DENSITY_KG_M3", 1000.0 * 1.03, _richard_table),
    ],
)
def test_a_constant_a_few_percent_off_would_be_noticed(
    monkeypatch: pytest.MonkeyPatch, name: str, value: float, check: Callable[[], None]
) -> None:
    monkeypatch.setattr(air, name, value)
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
