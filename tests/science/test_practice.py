"""A new bin's first bed: the right room, wet as a wrung sponge, and a gentle start."""

from __future__ import annotations

import pytest

from wormbin.science.blend import Ingredient
from wormbin.science.practice import bed_depth_m, cure_days, first_bed, most_worms_kg, ramp_ends_in, ramp_share

BOARD = Ingredient(0.0, 0.08, 0.46, 0.0012, 0.03, 40.0, "shredded cardboard")
LEAVES = Ingredient(0.0, 0.15, 0.47, 0.009, 0.10, 80.0, "leaves")


def test_a_household_box_gets_a_bed_of_two_kilograms_soaked_to_a_sponge() -> None:
    bed = first_bed(0.24, 0.30, [(BOARD, 1.0)])
    assert [name for name, _kg in bed.beddings] == ["shredded cardboard"]
    assert bed.beddings[0][1] == pytest.approx(0.24 * 0.20 * 40.0)
    assert bed.bed.moisture == pytest.approx(0.78)
    assert 3.0 < bed.water_kg / bed.beddings[0][1] < 3.4


def test_a_shallow_box_is_filled_two_thirds() -> None:
    assert bed_depth_m(0.15) == pytest.approx(0.10)
    assert bed_depth_m(0.30) == pytest.approx(0.20) == bed_depth_m(0.50)


def test_beddings_share_the_room_by_volume() -> None:
    bed = dict(first_bed(0.25, 0.30, [(BOARD, 3.0), (LEAVES, 1.0)]).beddings)
    assert bed["shredded cardboard"] == pytest.approx(0.25 * 0.20 * 0.75 * 40.0)
    assert bed["leaves"] == pytest.approx(0.25 * 0.20 * 0.25 * 80.0)


def test_grit_and_compost_come_by_the_handful_and_never_none() -> None:
    small, large = first_bed(0.05, 0.3, [(BOARD, 1)]), first_bed(1.0, 0.3, [(BOARD, 1)])
    assert 0 < small.grit_kg < large.grit_kg == pytest.approx(0.2)
    assert 0 < small.compost_kg < large.compost_kg == pytest.approx(0.4)


def test_a_handful_does_for_a_quarter_square_metre() -> None:
    of = {area: first_bed(area, 0.3, [(BOARD, 1)]).grit_kg / 0.05 for area in (0.25, 0.26, 0.50, 0.51)}
    assert of == pytest.approx({0.25: 1.0, 0.26: 2.0, 0.50: 2.0, 0.51: 3.0})


def test_no_more_than_five_kilograms_of_worms_to_the_square_metre_are_planned() -> None:
    # About a pound to the square foot: common practice, no source.
    assert most_worms_kg(0.3048**2) == pytest.approx(0.45359237, rel=0.03)
    assert most_worms_kg(0.24) == pytest.approx(1.2)


@pytest.mark.parametrize(("site_c", "days"), [(19.9, 42), (20.0, 28), (25.0, 28), (4.0, 42)])
def test_a_harvest_is_kept_damp_four_weeks_and_six_where_it_is_cool(site_c: float, days: int) -> None:
    # Common practice, no source; cocoons hatch in 18-26 days at 25 C (from memory).
    assert cure_days(site_c) == days
    assert cure_days(site_c, own_days=17) == 17


def test_bedding_that_is_wet_enough_gets_no_water() -> None:
    soaked = BOARD.soaked_to(0.85)
    assert first_bed(0.2, 0.3, [(soaked, 1.0)]).water_kg == 0.0


def test_what_makes_no_bed_is_refused() -> None:
    with pytest.raises(ValueError, match="area"):
        first_bed(0.0, 0.3, [(BOARD, 1.0)])
    with pytest.raises(ValueError, match="at least one"):
        first_bed(0.2, 0.3, [])
    with pytest.raises(ValueError, match="at least one"):
        first_bed(0.2, 0.3, [(BOARD, 0.0)])
    with pytest.raises(ValueError, match="moisture"):
        first_bed(0.2, 0.3, [(BOARD, 1.0)], moisture=1.0)
    flat = Ingredient(0.0, 0.08, 0.46, 0.0012, 0.03, None, "flat board")
    with pytest.raises(ValueError, match="flat board has no bulk density"):
        first_bed(0.2, 0.3, [(flat, 1.0)])


@pytest.mark.parametrize(
    ("days", "share", "ends"),
    [(None, 0.0, None), (-1, 0.0, None), (0, 0.25, 14), (13, 0.25, 1), (14, 0.5, 14), (27, 0.5, 1), (28, 1.0, None)],
)
def test_a_quarter_for_two_weeks_then_a_half_for_two_more(days: int | None, share: float, ends: int | None) -> None:
    assert ramp_share(days) == share
    assert ramp_ends_in(days) == ends
