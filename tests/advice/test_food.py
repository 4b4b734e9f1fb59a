"""Grit, lime and eggshell go in with the feed, and are no food: they fill no share of what a bin can take."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.advice.cases import CALM_LOG, TODAY, Shelf, a_case, entry, fed
from wormbin.advice.feeding import feeding_effect
from wormbin.advice.food import food_log, food_of
from wormbin.materials.material import Material, Pace, Role
from wormbin.materials.table import default_table
from wormbin.records.entries import Feeding, Portion
from wormbin.records.habits import last_feeding, usual_meal_kg

SHELL = Material("eggshell", "eggshell, crushed", Role.AMENDMENT, Pace.SLOW, 0.006, 0.027, 0.95, 0.01, 800.0)
SCRAPS, GRIT = Portion("vegetable-scraps", 0.3), Portion("eggshell", 0.1)


def test_shell_beside_scraps_changes_nothing_of_what_is_fed() -> None:
    case = a_case(table=replace(Shelf(), rows=(*Shelf().rows, SHELL)))
    plain, gritty = feeding_effect(case, case, [SCRAPS]), feeding_effect(case, case, [SCRAPS, GRIT])
    assert gritty.share == plain.share
    assert gritty.total_kg == pytest.approx(0.3)
    assert gritty.proposal.cn_before == pytest.approx(plain.proposal.cn_before)
    assert any("100 g of it is mineral" in line for line in gritty.lines)
    alone = feeding_effect(case, case, [GRIT])
    assert alone.verdict.startswith("no food in it")
    assert alone.proposal.nothing


def test_a_meal_of_shell_is_no_meal_in_the_log() -> None:
    shelf = replace(Shelf(), rows=(*Shelf().rows, SHELL))
    both = entry(Feeding((SCRAPS, Portion("eggshell", 5.0))), TODAY - timedelta(days=2))
    alone = entry(Feeding((Portion("eggshell", 5.0),)), TODAY - timedelta(days=1))
    log = food_log((*CALM_LOG, both, alone), shelf)
    newest = last_feeding(log, TODAY)
    assert newest is not None
    assert newest.when.date() == TODAY - timedelta(days=2)
    assert usual_meal_kg(log, TODAY) == pytest.approx(0.8)
    assert food_log(CALM_LOG, shelf) == CALM_LOG
    unknown = fed(1.0, TODAY, "who-knows")
    assert food_log((unknown,), shelf) == (unknown,)


@pytest.mark.parametrize("key", ["eggshell", "grit", "ground-limestone", "oyster-shell", "gypsum", "rock-dust"])
def test_every_mineral_of_the_table_is_known_as_one(key: str) -> None:
    assert food_of([Portion(key, 0.1)], default_table()) == ()
    assert len(food_of([Portion("melon-rind", 0.1), Portion("vermicast", 0.1)], default_table())) == 2
