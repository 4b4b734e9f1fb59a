from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from hypothesis import given, strategies as st

from tests.advice.cases import CARDBOARD, LEAVES, SETTINGS, TODAY, Shelf, a_case, band, entry
from wormbin.advice.bedding import choices, dry, kg_for_cn, kg_of_water, kg_to_dry, spoken, wanted_kg
from wormbin.advice.finding import Action, Doing
from wormbin.figures import Band
from wormbin.records.entries import Bedding, Portion
from wormbin.records.farms import OnHand, Settings, Units


@given(st.floats(0.5, 50), st.floats(0.82, 0.95), st.floats(0.6, 0.8), st.floats(0.0, 0.3))
def test_the_dry_bedding_worked_out_brings_the_bin_to_its_target(kg: float, wet: float, aim: float, dry: float) -> None:
    added = kg_to_dry(kg, wet, aim, dry)
    assert (kg * wet + added * dry) / (kg + added) == pytest.approx(aim)


@given(st.floats(0.5, 50), st.floats(0.3, 0.7), st.floats(0.71, 0.85))
def test_the_water_worked_out_brings_the_bin_to_its_target(kg: float, dry: float, aim: float) -> None:
    added = kg_of_water(kg, dry, aim)
    assert (kg * dry + added) / (kg + added) == pytest.approx(aim)


def test_nothing_is_added_to_what_is_right_already() -> None:
    assert kg_to_dry(8.0, 0.8, 0.83, 0.08) == 0.0
    assert kg_of_water(8.0, 0.8, 0.75) == 0.0
    assert kg_for_cn(1.0, 0.02, 20.0, CARDBOARD) == 0.0


def test_bedding_cannot_dry_below_its_own_moisture() -> None:
    assert kg_to_dry(8.0, 0.8, 0.05, 0.08) == 0.0


def test_the_carbon_worked_out_brings_the_matter_to_its_ratio() -> None:
    carbon, nitrogen = 0.5, 0.05
    dry = kg_for_cn(carbon, nitrogen, 20.0, CARDBOARD) * (1 - CARDBOARD.moisture)
    assert (carbon + dry * CARDBOARD.carbon) / (nitrogen + dry * CARDBOARD.nitrogen) == pytest.approx(20.0)


def test_the_keepers_own_bedding_is_named_with_what_must_be_shredded_first() -> None:
    wet: dict[str, Any] = {"moisture": Band(0.86, 0.87, 0.88)}
    case = a_case(settings=Settings(on_hand=(OnHand("dry-leaves", 5.0, 0.0),)), **wet)
    assert "dry leaves" in dry(case).text
    assert "shred" in dry(case).text
    ready = a_case(settings=Settings(on_hand=(OnHand("dry-leaves", 5.0, 5.0),)), **wet)
    assert "shred" not in dry(ready).text


def test_a_short_stock_says_how_much_more_to_find() -> None:
    case = a_case(settings=Settings(on_hand=(OnHand("shredded-cardboard", 0.1, 0.1),)), moisture=Band(0.86, 0.88, 0.9))
    assert "you have 100 g" in dry(case).text
    assert "more" in dry(case).text


def test_without_any_noted_bedding_it_says_that_none_is() -> None:
    case = a_case(settings=Settings(), moisture=Band(0.86, 0.87, 0.88))
    assert [choice.material for choice in choices(case)] == [CARDBOARD]
    assert "your settings list none" in dry(case).text


@pytest.mark.parametrize(("days", "told"), [(28, False), (29, True)])
def test_bedding_that_went_in_of_late_is_not_to_be_found_first(days: int, told: bool) -> None:
    laid = entry(Bedding((Portion(CARDBOARD.key, 1.0),)), TODAY - timedelta(days=days))
    case = a_case(settings=Settings(), entries=(laid,), moisture=Band(0.86, 0.87, 0.88))
    assert ("find some first" in dry(case).text) is told


def test_ready_bedding_that_holds_most_water_is_chosen_first() -> None:
    settings = Settings(on_hand=(OnHand("dry-leaves", 5.0, 5.0), OnHand("shredded-cardboard", 1.0, 1.0)))
    assert [choice.material for choice in choices(a_case(settings=settings))] == [CARDBOARD, LEAVES]


def test_stock_that_the_table_does_not_know_or_that_is_no_bedding_is_passed_over() -> None:
    settings = Settings(on_hand=(OnHand("moon-dust", 5.0), OnHand("vegetable-scraps", 5.0), OnHand("dry-leaves", 1.0)))
    assert [choice.material for choice in choices(a_case(settings=settings))] == [LEAVES]
    assert choices(a_case(table=Shelf(rows=()))) == ()
    assert "two fingers" in dry(a_case(table=Shelf(rows=()))).text


def test_a_wetter_bin_is_given_more_and_standing_water_is_let_out_first() -> None:
    def needs(moisture: float, standing: float = 0.0) -> float:
        case = a_case(moisture=band(moisture, 0.01), standing_water_kg=Band.exactly(standing))
        return wanted_kg(case, choices(case)[0])

    assert needs(0.80) < needs(0.87) < needs(0.90)
    assert needs(0.90, standing=1.0) < needs(0.90)


def test_much_bedding_goes_in_over_several_days() -> None:
    case = a_case(
        moisture=Band(0.90, 0.92, 0.94), settings=replace(SETTINGS, on_hand=(OnHand("shredded-cardboard", 9, 9),))
    )
    assert "goes" in dry(case).text
    assert "every third day" in dry(case).text


def test_a_bin_that_is_dry_enough_only_gets_a_cover_over_its_feed_from_its_own_bedding() -> None:
    case = a_case()
    assert wanted_kg(case, choices(case)[0]) == 0.0
    assert dry(case) == Action(Doing.COVER, "cover the food two fingers deep with bedding from the bin")


@pytest.mark.parametrize(("kg", "kind"), [(0.019, Doing.COVER), (0.02, Doing.BEDDING)])
def test_under_a_handful_no_bedding_is_asked_for(kg: float, kind: Doing) -> None:
    assert dry(a_case(), kg).kind is kind


@pytest.mark.parametrize(("cn", "adds"), [(18.9, True), (19.1, False)])
def test_rich_unfinished_matter_gets_bedding_for_its_nitrogen_and_none_that_is_lean(cn: float, adds: bool) -> None:
    """Five over where ammonia starts; lean matter is only covered, as more bedding puts the harvest off."""
    assert (dry(a_case(cn=band(cn))).kind is Doing.BEDDING) is adds
    assert dry(a_case(cn=band(104.0))).kind is Doing.COVER


def test_rich_matter_is_brought_back_to_twenty_parts_of_carbon() -> None:
    """By the balance: unfinished dry matter is 48 % carbon, and what is put in brings its own."""
    case = a_case(moisture=Band(0.76, 0.77, 0.78), cn=band(13.0), castings_share=band(0.25))
    kg = wanted_kg(case, choices(case)[0]) * (1 - CARDBOARD.moisture)
    carbon = 0.48 * case.today.dry_kg.p50 * 0.75
    reached = (carbon + kg * CARDBOARD.carbon) / (carbon / 13.0 + kg * CARDBOARD.nitrogen)
    assert reached == pytest.approx(20.0)


def test_amounts_are_said_in_the_keepers_units() -> None:
    case = a_case(settings=replace(SETTINGS, units=Units.US), moisture=Band(0.86, 0.87, 0.88))
    assert "lb" in dry(case).text or "oz" in dry(case).text


def test_a_name_in_the_middle_of_a_sentence_begins_small_unless_it_is_all_capitals() -> None:
    assert [spoken(name) for name in ("Dry leaves", "PAS", "oats")] == ["dry leaves", "PAS", "oats"]
