from __future__ import annotations

from dataclasses import replace

import pytest

from tests.advice.cases import CARDBOARD, GRASS, LEAVES, SCRAPS
from wormbin.advice.bedding import Choice
from wormbin.advice.mixing import WETTEST_MIX, gives_way_words, mix_findings, mix_moisture_band, propose
from wormbin.figures import Level
from wormbin.science.addition import GivesWay, Goal
from wormbin.science.blend import Ingredient, blend

PLENTY = (Choice(CARDBOARD, 50.0, 50.0, True),)


def test_a_mix_in_its_bands_has_no_findings() -> None:
    mix = blend([Ingredient(1.0, 0.80, 0.45, 0.0165, 0.08, 300.0)])
    assert mix_findings(mix) == ()
    assert mix_findings(blend([])) == ()


@pytest.mark.parametrize(
    ("nitrogen", "code", "level"),
    [(0.04, "mix-rich", Level.ACT), (0.02, "mix-rich", Level.WATCH), (0.005, "mix-lean", Level.WATCH)],
)
def test_carbon_to_nitrogen_out_of_band(nitrogen: float, code: str, level: Level) -> None:
    found = mix_findings(blend([Ingredient(1.0, 0.80, 0.45, nitrogen, 0.08, 300.0)]))
    assert [(each.code, each.level) for each in found] == [(code, level)]


def test_no_nitrogen_is_said_in_words() -> None:
    found = mix_findings(blend([Ingredient(1.0, 0.80, 0.45, 0.0, 0.08, 300.0)]))
    assert found[0].what.startswith("no nitrogen at all")


def test_moisture_out_of_the_band_asked_for() -> None:
    wet = blend([Ingredient(1.0, 0.90, 0.45, 0.0165, 0.08, 300.0)])
    assert [each.code for each in mix_findings(wet)] == ["mix-wet"]
    assert [each.code for each in mix_findings(wet, moisture=(0.9, 0.95))] == []
    assert [each.code for each in mix_findings(wet, moisture=(0.95, 0.97))] == ["mix-dry"]


def test_a_dense_mix_is_watched_and_denser_acted_on() -> None:
    def levels(density: float) -> list[tuple[str, Level]]:
        mix = blend([Ingredient(1.0, 0.80, 0.45, 0.0165, 0.08, density)])
        return [(each.code, each.level) for each in mix_findings(mix)]

    assert levels(500.0) == []
    assert levels(780.0) == [("mix-dense", Level.WATCH)]
    assert levels(900.0) == [("mix-dense", Level.ACT)]


def test_what_is_proposed_stands_in_the_finding() -> None:
    bucket = [Ingredient.of(GRASS, 2.0)]
    found = propose(bucket, PLENTY, (0.75, 0.85), "metric")
    rich = mix_findings(blend(bucket), proposal=found)
    assert rich[0].do == (found.words,)
    assert "shredded cardboard" in found.words


def test_a_blend_of_two_beddings_is_used_when_one_is_short() -> None:
    few = (Choice(CARDBOARD, 0.1, 0.1, True), Choice(LEAVES, 50.0, 50.0, True))
    found = propose([Ingredient.of(GRASS, 2.0)], few, (0.75, 0.85), "metric")
    assert {each.material for each in found.beddings} == {"shredded-cardboard", "dry-leaves"}
    assert found.gives_way == ""
    assert found.cn == pytest.approx(25.0)


def test_bedding_that_nobody_noted_is_proposed_and_said_to_be() -> None:
    found = propose([Ingredient.of(GRASS, 2.0)], (replace(PLENTY[0], kg=0.0, noted=False),), (0.75, 0.85), "metric")
    assert found.gives_way == ""
    assert "your settings list none" in found.words


def test_a_wet_bin_asks_for_a_drier_mix_and_a_dry_one_for_a_wetter() -> None:
    even = mix_moisture_band(8.0, 0.80, 1.0, 0.75, 0.85)
    wet = mix_moisture_band(8.0, 0.87, 1.0, 0.75, 0.85)
    dry = mix_moisture_band(8.0, 0.70, 1.0, 0.75, 0.85)
    assert even[1] == WETTEST_MIX, "a bin that is dry enough takes feed as wet as it is"
    assert wet[1] < 0.75
    assert dry[0] > 0.80
    for low, high in (even, wet, dry, mix_moisture_band(8.0, 0.87, 0.0, 0.75, 0.85)):
        assert 0.0 <= low <= high <= WETTEST_MIX


def test_bedding_against_the_wet_makes_it_lean_and_that_is_no_fault() -> None:
    found = propose([Ingredient.of(SCRAPS, 1.0)], PLENTY, (0.60, 0.65), "metric")
    assert found.cn > 30
    assert found.gives_way == ""


@pytest.mark.parametrize(
    ("gives", "words"),
    [
        (
            GivesWay(Goal.CN, (25.0, 30.0), 50.7, 0.0031),
            "51, over your 25-30. That is slow, but no harm. 3.1 g more nitrogen would mend it",
        ),
        (
            GivesWay(Goal.CN, (25.0, 30.0), 12.2, 0.082),
            "12, under your 25-30. That is too rich. About 200 g more dry board or leaves would mend it",
        ),
        (
            GivesWay(Goal.MOISTURE, (0.75, 0.85), 0.9, 0.3),
            "90%, over your 75% to 85%. It has 300 g too much water: give less of it, or let it drain",
        ),
    ],
)
def test_an_aim_that_gives_way_says_plainly_what_it_means(gives: GivesWay, words: str) -> None:
    assert gives_way_words(gives, "metric") == f"{gives.goal.value} comes to {words}"


def test_wet_scraps_into_a_wet_bin_get_dry_bedding_and_no_water() -> None:
    found = propose([Ingredient.of(SCRAPS, 1.0)], PLENTY, mix_moisture_band(8.0, 0.88, 1.0, 0.75, 0.85), "metric")
    assert found.water_kg == 0.0
    assert found.words.endswith(", dry")
    assert found.moisture <= 0.65 + 1e-9
