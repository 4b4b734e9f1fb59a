from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import SETTINGS, TODAY, a_case, ahead_of, band, fed, looked
from wormbin.advice.case import Case
from wormbin.advice.feeding import FeedingEffect, feeding_effect
from wormbin.advice.judgement import judge
from wormbin.advice.wording import days as days_said
from wormbin.figures import Band, Level
from wormbin.materials.table import default_table
from wormbin.problems import RefusedError
from wormbin.process.views import Layers
from wormbin.records.entries import Portion, Squeeze
from wormbin.records.farms import OnHand
from wormbin.science.blend import Ingredient, blend

IN_FOUR = TODAY + timedelta(days=4)
RICH: dict[str, Any] = {"cn": band(20.0)}
"""All that lies unfinished is low in carbon."""
BARE = a_case(feed_waiting_days=band(0.8), feed_waiting_kg=band(0.2))
FULL = replace(BARE, table=default_table())


def after_feeding(before: Case, kg: float, material: str = "vegetable-scraps", **changes: Any) -> Case:
    """A stand-in for the model: the feed waits, a day's work of it for each 0.25 kg."""
    waiting = before.today.feed_waiting_kg.p50 + kg
    day = replace(
        before.today,
        feed_waiting_kg=band(waiting),
        feed_waiting_days=band(waiting / 0.25),
        layers=Layers(waiting / 500 / 0.2, 0.09, 0.08, 0.0),
        **changes,
    )
    return replace(
        before, today=day, history=(*before.history[:-1], day), entries=(*before.entries, fed(kg, TODAY, material)),
        unfed=ahead_of(day, eaten=True),
    )  # fmt: skip


def effect(kg: float, material: str = "vegetable-scraps", before: Case = BARE, **changes: Any) -> FeedingEffect:
    after = after_feeding(before, kg, material, **changes)
    return feeding_effect(before, after, (Portion(material, kg),), (), IN_FOUR)


def test_what_the_bin_can_take_is_fine() -> None:
    fine = effect(0.8)
    assert fine.level is Level.STEADY
    assert not fine.too_much
    assert fine.share == pytest.approx(1.0), "worked off just by the next feeding"
    assert fine.up_to_kg == judge(BARE, IN_FOUR).ration.kg == pytest.approx(0.8)
    assert fine.hold_back_kg == 0.0
    assert fine.verdict == "right: up to 800 g is fine today"
    assert fine.lines[:2] == (
        "100% of what they can eat by 24 May (about 200 g is uneaten, 800 g comes)",
        "then 4 days' worth of food lies there",
    )


@pytest.mark.parametrize(
    ("kg", "level"), [(0.9, Level.STEADY), (0.91, Level.WATCH), (1.3, Level.WATCH), (1.31, Level.ACT)]
)
def test_a_scoop_more_is_let_pass_and_half_as_long_again_is_held_back(kg: float, level: Level) -> None:
    """Four days' work is 1 kg in all: a tenth over it is a scoop, and six days are the most."""
    assert effect(kg).level is level


def test_a_little_too_much_is_said_and_far_too_much_is_held_back_with_the_amount() -> None:
    little = effect(1.3)
    assert little.level is Level.WATCH
    assert little.hold_back_kg == pytest.approx(0.5, abs=0.02)
    assert little.verdict == "a little too much: feed 800 g today. Keep 500 g in the freezer until 24 May"
    much = effect(2.0)
    assert much.too_much
    keep = "Keep 1.2 kg in a bucket with dry bedding or a second bin until 24 May"
    assert much.verdict == f"too much: feed 800 g today. {keep}"
    assert "overfed" in {finding.code for finding in much.findings}


def test_the_level_never_falls_as_the_bucket_grows() -> None:
    ranks = [effect(kg / 10).level.rank for kg in range(1, 60)]
    assert ranks == sorted(ranks)


def test_when_nothing_should_be_fed_everything_is_held_back() -> None:
    felt = (*BARE.entries, looked(TODAY, squeeze=Squeeze.DRIPPING))
    wet = a_case(moisture=Band.exactly(0.92), entries=felt)
    assert effect(0.5, before=wet).too_much
    assert "do not feed" in effect(0.5, before=wet).verdict
    assert effect(0.05, before=wet).too_much, "while something stops the feed a taste is no small thing"
    left = a_case(entries=(*BARE.entries[:-1], looked(TODAY, left=0.6)))
    assert effect(0.8, before=left).too_much


def test_the_bedding_brings_what_is_given_into_both_bands() -> None:
    rich = effect(0.8, "grass-clippings", **RICH)
    added = [Ingredient.of(BARE.table.get(each.material), each.kg) for each in rich.proposal.beddings]
    whole = blend(
        [Ingredient.of(BARE.table.get("grass-clippings"), 0.8), *added, Ingredient.water(rich.proposal.water_kg)]
    )
    assert 25.0 - 1e-6 <= whole.cn <= 30.0 + 1e-6
    # No water on a guess, and never drier than worms take it.
    assert 0.64 <= whole.moisture <= 0.85 + 1e-6
    assert "shredded cardboard" in rich.proposal.words
    assert rich.proposal.gives_way == ""


def test_bedding_given_along_counts() -> None:
    alone = effect(0.8, "grass-clippings", **RICH)
    case = after_feeding(BARE, 0.8, "grass-clippings", **RICH)
    given = Portion("shredded-cardboard", alone.proposal.beddings[0].kg, moisture=0.75)
    with_it = feeding_effect(BARE, case, (Portion("grass-clippings", 0.8),), (given,), IN_FOUR)
    assert with_it.cn > alone.cn
    assert sum(each.kg for each in with_it.proposal.beddings) < sum(each.kg for each in alone.proposal.beddings)


def test_what_cannot_be_met_is_said_with_how_much_is_missing() -> None:
    short = replace(BARE, settings=replace(SETTINGS, on_hand=(OnHand("shredded-cardboard", 0.05, 0.05),)))
    lean = effect(3.0, "grass-clippings", before=short, **RICH)
    assert "under your 25-30. That is too rich. About" in lean.proposal.gives_way
    assert "more dry board or leaves would mend it" in lean.proposal.gives_way
    assert lean.proposal.gives_way in lean.lines


@pytest.mark.parametrize(("cn", "adds"), [(24.9, True), (25.1, False)])
def test_bedding_for_balance_only_where_all_that_lies_unfinished_is_low_in_carbon(cn: float, adds: bool) -> None:
    assert bool(effect(0.8, "grass-clippings", cn=band(cn)).proposal.beddings) is adds


def test_lean_feed_needs_no_bedding_for_its_carbon() -> None:
    lean = effect(0.5, "citrus-peel")
    assert lean.cn > 30
    assert lean.proposal.gives_way == ""


def test_heat_and_layer_to_come_are_told() -> None:
    case = after_feeding(BARE, 5.0, heat_rise_c=Band(8.0, 10.0, 12.0), temp_c=Band(30.0, 31.0, 32.0))
    hot = feeding_effect(BARE, case, (Portion("vegetable-scraps", 5.0),), (), IN_FOUR)
    assert hot.heat_c.p50 == 10.0
    assert {"too-hot", "thick-layer"} <= {finding.code for finding in hot.findings}
    assert any("10 °C warmer than the room" in line for line in hot.lines)


def test_what_was_wrong_before_is_not_blamed_on_the_feeding() -> None:
    crowded = a_case(worms_kg=band(1.2), feed_waiting_kg=band(0.1))
    assert "crowded" not in {finding.code for finding in effect(0.3, before=crowded).findings}


def test_a_material_that_nobody_knows_is_refused() -> None:
    with pytest.raises(RefusedError):
        feeding_effect(BARE, BARE, (Portion("moon-dust", 1.0),), (), IN_FOUR)


def test_no_feed_at_all_is_harmless() -> None:
    none = feeding_effect(BARE, BARE, (), (), IN_FOUR)
    assert none.level is Level.STEADY
    assert none.proposal.nothing


def test_bedding_that_would_make_it_far_too_dry_is_held_back_like_too_much_feed() -> None:
    feed = (Portion("vegetable-scraps", 0.3),)
    after = after_feeding(BARE, 0.3, moisture=Band(0.48, 0.53, 0.58))
    held = feeding_effect(BARE, after, feed, (Portion("shredded-cardboard", 4.0),), IN_FOUR)
    assert held.too_much
    assert "too dry" in held.verdict
    assert "53%" in held.verdict
    fine = after_feeding(BARE, 0.3, moisture=Band(0.63, 0.64, 0.65))
    assert not feeding_effect(BARE, fine, feed, (Portion("shredded-cardboard", 1.0),), IN_FOUR).too_much


def test_the_work_that_waits_afterwards_is_the_finding_s_own_figure() -> None:
    found = effect(25.0)
    (heaped,) = [each for each in found.findings if each.code == "overfed"]
    work = days_said(found.waiting_days_after.p50)
    assert heaped.short == f"{work}' worth of food is uneaten"
    assert f"then {work}' worth of food lies there" in found.lines


@pytest.mark.parametrize(
    ("material", "name", "why"),
    [
        ("cooked-rice", "rice, cooked", "it sours and draws mites"),
        ("bread", "bread, white", "it sours and draws mites"),
        ("orange-peel", "orange peel", "it sours the bed"),
    ],
)
def test_what_goes_in_only_a_little_at_a_time_says_so_with_the_reason(material: str, name: str, why: str) -> None:
    first = effect(0.4, material, FULL).lines[0]
    assert first.startswith(f"{name}: only a little at a time, as {why}")
    assert effect(0.05, material, FULL).lines[0].startswith(f"{name}: so little does no harm")
    assert not [line for line in effect(0.4, before=FULL).lines if "a little at a time" in line or "is little" in line]


def test_sour_feed_that_was_not_given_yet_is_told_as_what_would_be() -> None:
    nothing = replace(FULL, entries=())
    (would,) = [each for each in effect(1.0, "orange-peel", nothing).findings if each.code == "sour"]
    assert would.level is Level.WATCH
    assert would.what.startswith("a lot of sour fruit: 100% of what you feed")
    assert would.do == ("feed only a little of it, and freeze or compost the rest",)
    given = replace(FULL, entries=(fed(2.0, TODAY), fed(0.3, TODAY, "orange-peel")))
    more = [each for each in effect(3.0, "orange-peel", given).findings if each.code == "sour"]
    assert any("until" in step for each in more for step in each.do)
