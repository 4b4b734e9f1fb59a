"""The study's bins: the same for the same seed, spread as asked, with the troubles that a study needs."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.worlds.life import MadeBin, make_bin
from tests.worlds.study import DRYING, RATE, study_bins, study_story, without_readings
from tests.worlds.truth import Pile, Trouble

FEW = 16


@pytest.fixture(scope="module")
def bins() -> tuple[MadeBin, ...]:
    return tuple(study_bins(FEW, 7))


def test_the_same_seed_gives_the_same_bins_and_another_seed_others(bins: tuple[MadeBin, ...]) -> None:
    assert next(study_bins(1, 7)) == bins[0]
    assert next(study_bins(1, 8)).truth.rate != bins[0].truth.rate


def test_paces_and_dryings_are_spread_over_their_range() -> None:
    drawn = [study_story(number, 7) for number in range(120)]
    rates, dryings = sorted(story.rate for story in drawn), sorted(story.drying for story in drawn)
    assert RATE[0] <= rates[0] < 0.5
    assert 2.0 < rates[-1] <= RATE[1]
    assert 0.8 < rates[60] < 1.25
    assert DRYING[0] <= dryings[0] < 0.6
    assert 1.7 < dryings[-1] <= DRYING[1]


def test_truth_stays_within_what_can_be(bins: tuple[MadeBin, ...]) -> None:
    for each in bins:
        for day in each.truth.days:
            assert 0.45 < day.moisture < 0.95
            assert 0.0 <= day.castings_share <= 1.0
            assert 0.0 <= day.air <= 1.0
            assert 0.0 < day.worms_kg < 6.0
            assert day.feed_waiting_kg >= 0.0
            assert -2.0 < day.temp_c < 45.0
        assert all((after.on - before.on).days == 1 for before, after in pairwise(each.truth.days))


def test_the_pace_drifts_about_its_own(bins: tuple[MadeBin, ...]) -> None:
    wandered = [max(day.rate for day in each.truth.days) / min(day.rate for day in each.truth.days) for each in bins]
    assert max(wandered) > 1.1
    assert all(ratio < 3.5 for ratio in wandered)


def test_the_study_meets_pile_ups_wet_bins_and_harvests(bins: tuple[MadeBin, ...]) -> None:
    met = {kind: sum(bool(each.truth.troubles(kind)) for each in bins) for kind in Trouble}
    assert met[Trouble.OVERFED] >= FEW // 4
    assert met[Trouble.DUE] >= FEW // 2
    assert met[Trouble.WET] >= 1
    assert sum(len(each.truth.calm) for each in bins) >= FEW


def test_readings_are_rounded_scarce_and_now_and_then_wrong(bins: tuple[MadeBin, ...]) -> None:
    lefts = [row["left_pct"] for each in bins for row in each.rows if "left_pct" in row]
    assert sum(int(left) % 5 == 0 for left in lefts) / len(lefts) > 0.95
    days = sum(len(each.truth.days) for each in bins)
    checked = sum(row["kind"] == "check" for each in bins for row in each.rows)
    assert 0.05 < checked / days < 0.6


def test_a_keeper_who_looks_less_writes_less() -> None:
    story = study_story(3, 7)
    often, seldom = make_bin(7, story), make_bin(7, without_readings(story, 0.2))

    def checks(made: MadeBin) -> int:
        return sum(row["kind"] == "check" for row in made.rows)

    assert checks(seldom) < checks(often) / 2


def test_a_slow_bin_that_is_fed_what_it_stands_piles_nothing_up_and_a_mountain_does() -> None:
    slow, mountain = Pile(), Pile()
    steady = [slow.day(11.0, 2.4 + 0.4 * (day % 3)) for day in range(60)]
    assert not any(steady[20:])
    told = [mountain.day(3.0, 1.5) for _ in range(20)] + [mountain.day(14.0, 12.0), mountain.day(13.0, 11.0)]
    assert told == [False] * 20 + [True, True]
    assert not mountain.day(9.0, 6.0)
