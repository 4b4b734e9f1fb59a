"""Carbon, nitrogen and water of blends, each against a figure from outside the project."""

from __future__ import annotations

import pytest

from wormbin.science import blend as blending
from wormbin.science.blend import Ingredient, blend, moisture_from_drying

# Moistures: Cornell Composting, Trautmann & Richard. Carbon and nitrogen of the same pair: from memory.
GRASS = Ingredient(10.0, 0.77, carbon=0.45, nitrogen=0.024, ash=0.1, name="grass clippings")
LEAVES = Ingredient(0.0, 0.35, carbon=0.50, nitrogen=0.0075, ash=0.1, name="leaves")


def test_a_ten_gram_sample_that_dries_to_2_3_g_was_77_percent_water() -> None:
    # Cornell Composting, Trautmann & Richard.
    assert moisture_from_drying(10.0, 2.3) == pytest.approx(0.77, abs=1e-12)


def test_grass_at_77_takes_6_8_kg_of_leaves_at_35_for_60_percent() -> None:
    # Cornell Composting, Trautmann & Richard.
    assert blend([GRASS, LEAVES.with_kg(6.8)]).moisture == pytest.approx(0.60, abs=1e-12)


def test_grass_takes_3_474_kg_of_leaves_for_thirty_to_one() -> None:
    # Cornell Composting, Trautmann & Richard (printed 3.5); composition from memory.
    assert blend([GRASS, LEAVES.with_kg(3.474)]).cn == pytest.approx(30.0, rel=1e-4)


def test_hay_scraps_and_coffee_come_to_34_7() -> None:
    # An extension worked example, carbon and nitrogen per cent as fed: hay 50 lb 40/1, scraps 10 lb 10/1, coffee 2 lb
    # 25/1. Moistures here are only to show that they cancel when as-fed values are put on dry matter.
    def as_fed(pounds: float, moisture: float, carbon: float, nitrogen: float) -> Ingredient:
        dry = 1.0 - moisture
        return Ingredient(pounds * 0.45359237, moisture, carbon / dry, nitrogen / dry, 0.0)

    mixed = blend([as_fed(50, 0.1, 0.40, 0.01), as_fed(10, 0.8, 0.10, 0.01), as_fed(2, 0.6, 0.25, 0.01)])
    assert mixed.cn == pytest.approx(34.7, abs=0.05)


def test_ratios_are_never_averaged() -> None:
    # Worked out: 20:1, 20:1 and 60:1 at equal carbon, 3 / (1/20 + 1/20 + 1/60).
    parts = [Ingredient(1.0, 0.0, 0.4, 0.4 / cn, 0.1) for cn in (20.0, 20.0, 60.0)]
    assert blend(parts).cn == pytest.approx(25.7, abs=0.05)


def test_newspaper_with_three_parts_of_water_is_about_75_percent() -> None:
    # University of Illinois Extension. Newspaper as bought holds some 6 % water (from memory).
    paper = Ingredient(1.0, 0.06, 0.40, 0.002, 0.02, name="newspaper")
    assert blend([paper, Ingredient.water(3.0)]).moisture == pytest.approx(0.75, abs=0.02)


def test_a_mean_of_ratios_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    real = blending.Ingredient.carbon_kg.fget  # type: ignore[attr-defined]
    monkeypatch.setattr(blending.Ingredient, "carbon_kg", property(lambda part: 1.03 * real(part)))
    with pytest.raises(AssertionError):
        test_ratios_are_never_averaged()
    with pytest.raises(AssertionError):
        test_hay_scraps_and_coffee_come_to_34_7()
