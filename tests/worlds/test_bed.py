"""The made-up worlds land in realistic places, and lose neither dry matter nor water unaccounted."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from random import Random

import pytest

from tests.worlds.bed import Bed, Cohort
from tests.worlds.herd import Herd, ease, zest
from tests.worlds.larder import LARDER, TEMPERS
from tests.worlds.weather import Air, Site, days_of_air

STILL = Air(22.0, 0.50)


class Household:
    """1.2 kg dry board, 0.45 kg worms, 0.8 kg scraps twice a week at 22 C, no drainage; remembers its days."""

    def __init__(self, times: float = 1.0, *, days: int = 200, drains: bool = False) -> None:
        self.bed = Bed(0.24, 0.30, drains, "loose", temp_c=22.0)
        self.bed.put("shredded-cardboard", 1.2 / 0.92)
        self.bed.pour(3.6)
        self.bed.herd.add(0.45)
        self.fed_kg = 0.0
        self.waiting: list[float] = []
        self.moisture: list[float] = []
        self.share: list[float] = []
        self.worms: list[float] = []
        self.air: list[float] = []
        for day in range(days):
            if day % 7 in (2, 5):
                self.bed.put("vegetable-scraps", 0.8 * times)
                self.fed_kg += 0.8 * times
            self.bed.step(STILL)
            self.bed.step(STILL)
            self.waiting.append(self.bed.feed_waiting_kg)
            self.moisture.append(self.bed.moisture)
            self.share.append(self.bed.castings_share)
            self.worms.append(self.bed.herd.kg)
            self.air.append(self.bed.air)


@pytest.fixture(scope="module")
def house() -> Household:
    return Household()


@pytest.fixture(scope="module")
def fed_double() -> Household:
    return Household(2.0)


def test_a_household_bin_holds_two_to_four_days_of_feed(house: Household) -> None:
    a_day = 1.6 / 7.0
    fortnights = [sum(house.waiting[start : start + 14]) / 14 / a_day for start in range(14, 182, 14)]
    assert all(1.8 <= days <= 4.0 for days in fortnights)


def test_a_household_bin_is_mostly_castings_after_four_to_six_months(house: Household) -> None:
    reached = next(day for day, share in enumerate(house.share, start=1) if share >= 0.80)
    assert 110 <= reached <= 180


def test_a_household_bin_stays_as_damp_as_a_keeper_wants_it(house: Household) -> None:
    assert all(0.75 <= moisture <= 0.855 for moisture in house.moisture[10:])


def test_worms_double_in_about_eleven_weeks(house: Household) -> None:
    doubled = next(day for day, worms in enumerate(house.worms, start=1) if worms >= 0.90)
    assert 60 <= doubled <= 95


def test_a_bin_fed_double_turns_wet_and_airless_and_piles_up(fed_double: Household, house: Household) -> None:
    assert fed_double.moisture[-1] > 0.88
    assert fed_double.air[-1] < 0.1
    assert house.air[-1] > 0.5
    assert fed_double.waiting[-1] > 4 * max(house.waiting[-14:])


def test_castings_weigh_a_third_of_the_scraps_plus_what_the_bedding_adds(house: Household) -> None:
    wet = house.bed.castings_kg / (1.0 - 0.79)
    board = 0.58 * 1.2 / (1.0 - 0.79)
    assert 0.2 <= (wet - board) / house.fed_kg <= 0.4


def test_dry_matter_is_put_in_castings_burned_or_worms() -> None:
    house = Household(days=120)
    put = 1.2 + house.fed_kg * (1.0 - LARDER["vegetable-scraps"].moisture)
    tissue = 0.18 * (house.bed.herd.kg - 0.45)
    there = house.bed.dry_kg + house.bed.burned_kg
    assert there + tissue == pytest.approx(put, rel=0.03)


def test_feed_goes_slowly_at_first_and_then_quickly() -> None:
    cohort = Cohort("vegetable-scraps", LARDER["vegetable-scraps"], 1.0, 0.14)
    went = [cohort.older(0.25) for _ in range(24)]
    assert went[0] < went[3]
    assert went[-1] < max(went) / 3
    assert sum(went) == pytest.approx(0.14 * (1.0 - cohort.share))


@pytest.mark.parametrize("material", sorted(LARDER))
def test_every_material_goes_within_bounds_and_never_comes_back(material: str) -> None:
    stuff = LARDER[material]
    cohort = Cohort(material, stuff, 1.0, 1.0 - stuff.moisture)
    shares = []
    for _ in range(200):
        assert cohort.older(1.0) >= 0.0
        shares.append(cohort.share)
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert shares == sorted(shares, reverse=True)
    assert 0.4 <= TEMPERS[stuff.sort].kept <= 1.0


def test_worms_are_liveliest_in_the_warm_damp_middle() -> None:
    assert zest(24.0) == pytest.approx(1.0)
    assert zest(2.0) == zest(36.0) == 0.0
    assert zest(12.0) < zest(18.0) < zest(24.0)
    assert ease(0.80) == 1.0
    assert ease(0.60) < 0.6
    assert ease(0.95) < 0.3


def test_a_starving_herd_shrinks_and_a_hot_one_dies() -> None:
    starved, hot = Herd(grown_kg=0.5), Herd(grown_kg=0.5)
    for _ in range(30):
        starved.live(1.0, fed=0.0, room_kg=1.5, temp_c=20.0, moisture=0.78, air=1.0)
        hot.live(1.0, fed=1.0, room_kg=1.5, temp_c=35.0, moisture=0.78, air=1.0)
    assert 0.35 < starved.kg < 0.48
    assert hot.kg < 0.1


def test_a_mountain_of_spent_grain_heats_the_bin_and_peelings_do_not() -> None:
    warm, cool = Household(days=20).bed, Household(days=20).bed
    warm.put("spent-grain", 6.0)
    cool.put("vegetable-scraps", 0.3)
    hottest_warm = hottest_cool = 0.0
    for _ in range(10):
        warm.step(STILL)
        cool.step(STILL)
        hottest_warm, hottest_cool = max(hottest_warm, warm.temp_c), max(hottest_cool, cool.temp_c)
    assert hottest_warm > hottest_cool + 1.5
    assert hottest_cool < 26.0


def test_weather_has_a_warm_july_a_cold_january_and_a_memory() -> None:
    site = Site(usual_c=15.0, swing_c=7.0, restless_c=1.5)
    first = date(2025, 1, 1)
    airs = list(days_of_air(site, first, first + timedelta(days=729), Random("weather")))
    temps = [air.temp_c for air in airs]
    assert sum(temps[181:212]) / 31 > sum(temps[0:31]) / 31 + 9.0
    steps = [abs(after - before) for before, after in pairwise(temps)]
    assert sum(steps) / len(steps) < 1.3
    assert all(0.2 < air.humidity < 0.95 and air.thirst > 0 for air in airs)
