"""The families of truth keep their books, do what is published, and owe nothing to the program."""

from __future__ import annotations

import ast
from itertools import pairwise
from pathlib import Path

import pytest

from tests.worlds import families
from tests.worlds.families.box import Box, Own
from tests.worlds.families.keeper import FAMILIES, SILENT_DAYS, SILENT_FROM, Kind, family_bin
from tests.worlds.families.stages import Stages
from tests.worlds.truth import Pile, Trouble


def box(family: str, area_m2: float = 0.24, evaporates: float = 0.45, temp_c: float = 21.0) -> Box:
    return FAMILIES[family](area_m2, 0.3, True, evaporates, Own(), temp_c)


def household(family: str, days: int, *, fed_until: int = 999) -> list[Box | float]:
    """1.3 kg board, 0.45 kg worms, 0.7 kg twice a week at 21 C; the worms' kg and castings' share of each evening."""
    bin_ = box(family)
    bin_.bed("shredded-cardboard", 1.3)
    bin_.pour(4.5)
    bin_.stock(0.45)
    told: list[Box | float] = [bin_]
    for day in range(days):
        if day % 7 in (2, 5) and day < fed_until:
            if isinstance(bin_, Stages):
                bin_.next_place()
            bin_.feed("vegetable-scraps", 0.6)
            bin_.feed("coffee-grounds", 0.1)
        if bin_.felt < 0.72:
            bin_.pour(0.8)
        bin_.live(21.0, 1.0)
        told.append(bin_.castings_share)
    return told


def month(family: str, worms_kg: float) -> float:
    """Dry matter left of 10 kg of kitchen waste after 28 days at 25 C, a share."""
    bin_ = box(family, 0.8, 0.03, 25.0)
    for _ in range(4):
        if isinstance(bin_, Stages):
            bin_.next_place()
        bin_.feed("vegetable-scraps", 2.5)
    before = bin_.dry_kg
    if worms_kg:
        bin_.stock(worms_kg)
    for _ in range(28):
        bin_.live(25.0, 1.0)
    return bin_.dry_kg / before


@pytest.mark.parametrize("family", FAMILIES)
def test_the_books_of_dry_matter_and_water_close(family: str) -> None:
    bin_ = household(family, 200)[0]
    assert isinstance(bin_, Box)
    bin_.harvest(0.8)
    bin_.live(30.0, 2.0)
    assert bin_.books.dry_in > 5.0
    assert bin_.books.burned > 2.0
    assert bin_.unbalanced_kg < 1e-9 * (bin_.books.dry_in + bin_.books.water_in)


@pytest.mark.parametrize("family", FAMILIES)
def test_worms_hasten_the_loss_of_kitchen_waste_as_published(family: str) -> None:
    """28 days at 25 C (Makerere thesis): 10-40 % lost without worms; left with over left without 0.4-0.75, or 0.85."""
    alone, worked = month(family, 0.0), month(family, 2.0)
    assert 0.60 <= alone <= 0.90
    assert 0.40 <= worked / alone <= 0.85


@pytest.mark.parametrize("family", FAMILIES)
def test_a_household_bin_is_ripe_in_three_to_six_months(family: str) -> None:
    """Oregon State EM 9034 and others."""
    shares = household(family, 190)[1:]
    assert 85 <= next(day for day, share in enumerate(shares) if isinstance(share, float) and share >= 0.80) <= 183


@pytest.mark.parametrize("family", FAMILIES)
def test_a_herd_out_of_feed_falls_in_three_weeks(family: str) -> None:
    """25 to 65 % with all feed gone (Fernandez-Gomez 2011, pots); a bin keeps its bedding, so 10 % is allowed."""
    (fed, *_), (hungry, *_) = household(family, 90), household(family, 111, fed_until=90)
    assert isinstance(fed, Box)
    assert isinstance(hungry, Box)
    assert 0.10 <= 1 - hungry.worms_kg / fed.worms_kg <= 0.65


@pytest.mark.parametrize("family", FAMILIES)
def test_made_bins_are_spread_met_by_troubles_and_the_same_for_the_same_seed(family: str) -> None:
    made = [family_bin(family, 1, number) for number in range(12)]
    assert family_bin(family, 1, 3) == made[3]
    assert family_bin(family, 2, 3).rows != made[3].rows
    met = {kind: sum(len(each.truth.troubles(kind)) for each in made) for kind in Trouble}
    assert met[Trouble.OVERFED] >= 6
    assert met[Trouble.DUE] >= 6
    assert met[Trouble.AIR_SHORT] >= 2
    for each in made:
        for day in each.truth.days:
            assert 0.3 < day.moisture < 0.95
            assert 0.0 <= day.castings_share <= 1.0
            assert 0.0 < day.worms_kg < 3.0
            assert 0.0 <= day.air <= 1.0


def test_a_gappy_keeper_is_silent_for_forty_days_and_the_others_are_not() -> None:
    for number, kind in enumerate(Kind):
        made = family_bin("batches", 1, number)
        days = [each.on for each in made.truth.days]
        wrote = sorted({days.index(each) for each in days if any(r["when"][:10] == str(each) for r in made.rows)})
        longest = max(after - before for before, after in pairwise(wrote))
        assert (longest > SILENT_DAYS) == (kind is Kind.GAPPY)
        assert kind is not Kind.GAPPY or not set(wrote) & set(range(SILENT_FROM, SILENT_FROM + SILENT_DAYS))


def test_nothing_of_the_program_is_known_here() -> None:
    for path in Path(families.__file__).parent.glob("*.py"):
        tree = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        names = [each.module or "" for each in tree if isinstance(each, ast.ImportFrom)]
        assert not [name for name in names if name.startswith("wormbin")], path


def test_a_slow_bin_that_is_fed_what_it_stands_piles_nothing_up_and_a_mountain_does() -> None:
    slow, mountain = Pile(), Pile()
    steady = [slow.day(11.0, 2.4 + 0.4 * (day % 3)) for day in range(60)]
    assert not any(steady[20:])
    told = [mountain.day(3.0, 1.5) for _ in range(20)] + [mountain.day(14.0, 12.0), mountain.day(13.0, 11.0)]
    assert told == [False] * 20 + [True, True]
    assert not mountain.day(9.0, 6.0)
