"""The plain world is what the measure says of it: well-kept bins stay fine, bins with a mishap really leave it."""

from __future__ import annotations

import pytest

from tests.worlds.plain_bin import FOODS, Batch, PlainBed
from tests.worlds.plain_keeper import plain_bin
from tests.worlds.plain_story import MISHAP_DAY, WATCHED, Mishap, plain_story


@pytest.mark.parametrize("number", range(6))
def test_a_well_kept_bin_is_fine_every_day_of_half_a_year(number: int) -> None:
    for day in plain_bin(plain_story(number, 1, 183), 1).days:
        assert 0.70 <= day.moisture <= 0.865, day
        assert 14.0 <= day.temp_c <= 27.0, day
        assert 6.0 <= day.ph <= 8.0, day
        assert day.waiting_days <= 7.0, day
        assert 0.8 <= day.worms_kg_m2 <= 4.5, day
        assert day.full < 0.85, day
        assert not day.trouble


@pytest.mark.parametrize("mishap", Mishap)
def test_a_mishap_makes_the_trouble_real_and_its_keeper_reads_it(mishap: Mishap) -> None:
    made = [plain_bin(plain_story(number, 1, MISHAP_DAY + WATCHED[mishap], mishap), 1) for number in range(4)]
    for each in made:
        assert not any(day.trouble or day.odd for day in each.days[:MISHAP_DAY])
        assert any(day.trouble for day in each.days)
        read = [at for at, day in enumerate(each.days) if day.odd]
        assert all(any(day.trouble for day in each.days[at - 1 : at + 2]) for at in read)
    assert sum(sum(day.odd for day in each.days) >= 2 for each in made) >= 2


def test_the_same_seed_gives_the_same_bin_and_another_one_differs() -> None:
    story = plain_story(3, 1, 60)
    assert plain_bin(story, 1) == plain_bin(story, 1)
    assert plain_bin(story, 1).rows != plain_bin(story, 2).rows


def test_feed_lies_until_it_is_soft_and_never_goes_faster_than_the_herd_can_take_it() -> None:
    batch = Batch(FOODS["carrots"], 1.0, 1.0)
    assert batch.left == 1.0
    bed = PlainBed(0.2, True, 0.5, 0.3, 1.0, 0.4, 20.0, bedding_kg=0.8, water_kg=3.2)
    bed.put("vegetable-scraps", 3.0)
    for _ in range(6):
        before, can = bed.waiting_kg, bed.can_kg_day
        bed.day(20.0, 1.0)
        assert 0.0 <= before - bed.waiting_kg <= 1.1 * can


def test_water_is_a_bucket_what_goes_in_and_what_dries_off_add_up() -> None:
    bed = PlainBed(0.2, False, 0.5, 0.3, 1.0, 0.0, 20.0, bedding_kg=1.0, water_kg=4.0)
    bed.day(20.0, 1.0)
    dried = 0.2 * 0.3
    assert bed.water_kg == pytest.approx(4.0 - dried, abs=0.01)
