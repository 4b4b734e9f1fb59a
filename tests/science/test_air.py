"""Air in a layer: never below nought, less with more mass or water, and its band as wide as what it rests on."""

from __future__ import annotations

from hypothesis import given, strategies as st

from wormbin.science.response import free_air_space

densities = st.floats(20.0, 1200.0)
moistures = st.floats(0.0, 0.95)
ashes = st.floats(0.0, 0.6)


@given(bulk=densities, moisture=moistures, ash=ashes)
def test_air_is_a_share_and_falls_with_mass(bulk: float, moisture: float, ash: float) -> None:
    air = free_air_space(bulk, moisture, ash)
    assert 0 <= air <= 1
    assert free_air_space(bulk * 1.1, moisture, ash) <= air
