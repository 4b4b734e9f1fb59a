"""Air in a layer: never below nought, less with more mass or water, and its band as wide as what it rests on."""

from __future__ import annotations

from math import isinf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.science.opened import recomputed
from wormbin.figures import Band, Basis, Quantity
from wormbin.science.air import (
    air_reach_m,
    air_reach_working,
    bulk_density_from_bucket_kg_m3,
    bulk_density_kg_m3,
    density_at_free_air,
    density_band,
    free_air_from_bucket,
    free_air_space,
    free_air_space_band,
    free_air_working,
    moisture_when_full,
    oxygen_use_kg_m3_s,
    reach_ratio,
    water_held_kg,
)

densities = st.floats(20.0, 1200.0)
moistures = st.floats(0.0, 0.95)
ashes = st.floats(0.0, 0.6)


@given(bulk=densities, moisture=moistures, ash=ashes)
def test_air_is_a_share_and_falls_with_mass(bulk: float, moisture: float, ash: float) -> None:
    air = free_air_space(bulk, moisture, ash)
    assert 0 <= air <= 1
    assert free_air_space(bulk * 1.1, moisture, ash) <= air


@given(fas=st.floats(0.01, 0.99), moisture=moistures, ash=ashes)
def test_density_and_air_undo_each_other(fas: float, moisture: float, ash: float) -> None:
    assert free_air_space(density_at_free_air(fas, moisture, ash), moisture, ash) == pytest.approx(fas, abs=1e-12)


def test_fifteen_percent_of_mass_is_about_ten_points_of_air() -> None:
    # Worked out: +-8-12 points at 600-850 kg/m3, 80 % moisture, 15 % ash.
    for bulk in (600.0, 725.0, 850.0):
        density = density_band(Band(0.85 * bulk, bulk, 1.15 * bulk), 1.0, 1.0)
        band = free_air_space_band(density, Band.exactly(0.8), 0.15)
        assert 0.08 < band.p50 - band.p10 < 0.121
        assert 0.08 < band.p90 - band.p50 < 0.121


def test_what_is_known_has_no_width() -> None:
    band = free_air_space_band(Band.exactly(500.0), Band.exactly(0.8), 0.15)
    assert band.p10 == band.p50 == band.p90 == pytest.approx(free_air_space(500.0, 0.8, 0.15))


def test_a_band_stays_a_share_of_the_volume() -> None:
    band = free_air_space_band(Band(200.0, 900.0, 2000.0), Band(0.5, 0.8, 0.95), 0.15)
    assert 0 <= band.p10 <= band.p50 <= band.p90 <= 1


def test_the_ruler_widens_the_density() -> None:
    tight = density_band(Band(9.0, 10.0, 11.0), 0.2, 0.2)
    loose = density_band(Band(9.0, 10.0, 11.0), 0.2, 0.2, depth_off_m=0.02)
    assert tight.width < loose.width
    assert loose.p50 == pytest.approx(250.0)
    assert density_band(Band.exactly(0.0), 0.2, 0.2) == Band.exactly(0.0)


def test_air_reaches_without_end_where_nothing_burns_and_nowhere_without_pores() -> None:
    assert isinf(air_reach_m(0.4, 0.0, 0.04))
    assert air_reach_m(0.0, 0.1, 0.04) == 0.0
    assert isinf(reach_ratio(0.1, 0.0))


def test_a_slow_dense_bed_of_castings_has_air_and_a_fed_one_has_not() -> None:
    slow = air_reach_m(0.25, 0.005, 0.04)
    fed = air_reach_m(0.25, 0.150, 0.04)
    assert slow > 0.2 > 2 * fed * 0.5
    assert reach_ratio(fed, 0.2) < 1 < reach_ratio(slow, 0.2)


def test_held_water_and_the_moisture_it_makes() -> None:
    assert water_held_kg([(1.0, 3.0), (0.5, 6.0)]) == pytest.approx(6.0)
    assert moisture_when_full(3.0) == pytest.approx(0.75)


def test_no_room_is_refused() -> None:
    with pytest.raises(ValueError, match="area"):
        bulk_density_kg_m3(1.0, 0.0, 0.1)
    with pytest.raises(ValueError, match="bucket"):
        bulk_density_from_bucket_kg_m3(1.0, 0.0, 0.0)
    with pytest.raises(ValueError, match="bucket"):
        free_air_from_bucket(1.0, 0.0)
    with pytest.raises(ValueError, match="volume"):
        oxygen_use_kg_m3_s(1.0, 0.0)


def test_air_can_be_opened() -> None:
    def said(value: float) -> Quantity:
        return Quantity("", value, "", Basis.SAID)

    fas = free_air_working(said(12.0), said(0.2), said(0.15), said(0.82), said(0.2), sure="")
    assert recomputed(fas) == pytest.approx(fas.value, rel=1e-12)
    assert fas.value == pytest.approx(free_air_space(400.0, 0.82, 0.2))
    full = free_air_working(said(120.0), said(0.2), said(0.15), said(0.82), said(0.2), sure="")
    assert recomputed(full) == full.value == 0.0
    reach = air_reach_working(said(0.3), said(0.025), said(0.04), sure="")
    assert recomputed(reach) == pytest.approx(reach.value, rel=1e-12)
    with pytest.raises(ValueError, match="nothing burns"):
        air_reach_working(said(0.3), said(0.0), said(0.04), sure="")
