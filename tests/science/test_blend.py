"""What a mix comes to: sums first, one division last, and honest about what is not known."""

from __future__ import annotations

from math import inf, isinf
from typing import Any

import pytest
from hypothesis import assume, given, strategies as st

from wormbin.figures import Basis
from wormbin.materials.material import Material, Pace, Role
from wormbin.science.blend import Ingredient, blend, moisture_from_drying


@st.composite
def ingredients(draw: st.DrawFn) -> Ingredient:
    carbon = draw(st.floats(0.0, 0.55))
    return Ingredient(
        draw(st.floats(0.0, 500.0)),
        draw(st.floats(0.0, 0.98)),
        carbon,
        draw(st.floats(0.0, 0.12)),
        1.0 - carbon * 1.8,
        draw(st.one_of(st.none(), st.floats(20.0, 1200.0))),
        "thing",
    )


SCRAPS = Ingredient(3.0, 0.88, 0.45, 0.025, 0.08, 500.0, "scraps")
BOARD = Ingredient(1.0, 0.08, 0.46, 0.0012, 0.03, 40.0, "cardboard")


@given(st.lists(ingredients(), max_size=6))
def test_nothing_is_lost_in_a_mix(parts: list[Ingredient]) -> None:
    whole = blend(parts)
    assert whole.wet_kg == pytest.approx(whole.dry_kg + whole.water_kg, rel=1e-12, abs=1e-12)
    assert whole.carbon_kg == pytest.approx(sum(p.kg * (1 - p.moisture) * p.carbon for p in parts), rel=1e-12)
    assert 0 <= whole.moisture <= 1
    if whole.free_air_space is not None:
        assert 0 <= whole.free_air_space <= 1


@given(st.lists(ingredients(), min_size=1, max_size=4))
def test_a_ratio_lies_between_the_ratios_of_its_parts(parts: list[Ingredient]) -> None:
    assume(all(part.nitrogen_kg > 1e-9 for part in parts))
    ratios = [part.carbon_kg / part.nitrogen_kg for part in parts]
    assert min(ratios) - 1e-6 <= blend(parts).cn * (1 + 1e-9)
    assert blend(parts).cn <= max(ratios) * (1 + 1e-9) + 1e-6


def test_nothing_at_all_is_no_error() -> None:
    empty = blend([])
    assert (empty.wet_kg, empty.moisture, empty.bulk_density_kg_m3, empty.free_air_space) == (0.0, 0.0, None, None)
    assert isinf(empty.cn)


def test_without_nitrogen_the_ratio_has_no_end() -> None:
    assert isinf(blend([Ingredient(1.0, 0.1, 0.45, 0.0, 0.1)]).cn)


def test_room_and_air_are_not_known_when_one_density_is_not() -> None:
    unknown = Ingredient(0.1, 0.5, 0.4, 0.01, 0.1)
    assert blend([SCRAPS, unknown]).free_air_space is None
    assert blend([SCRAPS, unknown.with_kg(0.0)]).free_air_space is not None


def test_water_takes_air_not_room() -> None:
    dry = blend([BOARD])
    wet = blend([BOARD, Ingredient.water(3.0)])
    assert dry.bulk_density_kg_m3 is not None
    assert wet.bulk_density_kg_m3 == pytest.approx(dry.bulk_density_kg_m3 * wet.wet_kg / dry.wet_kg)
    assert wet.free_air_space is not None
    assert dry.free_air_space is not None
    assert wet.free_air_space == pytest.approx(dry.free_air_space - 0.003 / (1.0 / 40.0))


def test_a_drowned_mix_has_no_air_and_swells() -> None:
    drowned = blend([BOARD, Ingredient.water(100.0)])
    assert drowned.free_air_space == pytest.approx(0.0, abs=1e-12)
    assert drowned.bulk_density_kg_m3 is not None
    assert drowned.wet_kg / drowned.bulk_density_kg_m3 > 0.1


def test_soaking_keeps_dry_matter_and_room() -> None:
    soaked = BOARD.soaked_to(0.75)
    assert soaked.dry_kg == pytest.approx(BOARD.dry_kg)
    assert soaked.bulk_density_kg_m3 is not None
    assert soaked.kg / soaked.bulk_density_kg_m3 == pytest.approx(1.0 / 40.0)


def test_a_material_is_taken_as_the_table_describes_it() -> None:
    board = Material("board", "Board", Role.BEDDING, Pace.FIBRE, 0.0012, 0.46, 0.03, 0.08, 40.0)
    assert Ingredient.of(board, 2.0, Basis.SAID) == Ingredient(2.0, 0.08, 0.46, 0.0012, 0.03, 40.0, "Board", Basis.SAID)


@pytest.mark.parametrize(
    ("field", "value"),
    [("kg", -1.0), ("kg", inf), ("kg", float("nan")), ("moisture", 1.2), ("nitrogen", -0.1), ("ash", 7)],
)
def test_what_cannot_be_is_refused_by_name(field: str, value: float) -> None:
    fine: dict[str, Any] = {"kg": 1.0, "moisture": 0.5, "carbon": 0.4, "nitrogen": 0.01, "ash": 0.1}
    with pytest.raises(ValueError, match=field):
        Ingredient(**{**fine, field: value})


def test_a_density_of_nought_is_refused() -> None:
    with pytest.raises(ValueError, match="bulk density"):
        Ingredient(1.0, 0.5, 0.4, 0.01, 0.1, 0.0)


def test_what_no_drying_gives_is_refused() -> None:
    for wet, dry in ((0.0, 0.0), (10.0, 11.0), (10.0, -1.0)):
        with pytest.raises(ValueError, match="dry weight"):
            moisture_from_drying(wet, dry)
