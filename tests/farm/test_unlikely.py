"""Amounts that hardly fit the box are said so when they are saved; usual ones are not."""

from __future__ import annotations

from datetime import date

import pytest

from wormbin.farm.unlikely import unlikely
from wormbin.records.bins import Bin
from wormbin.records.entries import Draining, Feeding, Harvest, Move, Note, Portion, Stocking, Watering, What

BOX = Bin(key="kitchen", name="Kitchen", length_m=0.6, width_m=0.4, depth_m=0.3, started=date(2026, 1, 1))

TOO_MUCH: tuple[What, ...] = (
    Watering(50.0),
    Draining(80.0),
    Harvest(70.0),
    Stocking(5.0),
    Stocking(-20.0),
    Move(20.0, "other"),
    Feeding((Portion("melon-rind", 80.0),)),
)
USUAL: tuple[What, ...] = (
    Watering(3.0),
    Draining(2.0),
    Harvest(6.0),
    Stocking(0.5),
    Stocking(-0.2),
    Move(0.2, "other"),
    Feeding((Portion("melon-rind", 0.8),)),
    Note(),
)


@pytest.mark.parametrize("what", TOO_MUCH)
def test_too_much_is_said_with_the_amount_and_how_to_take_it_back(what: What) -> None:
    (said,) = unlikely(what, BOX, "metric")
    assert "undo" in said
    assert any(unit in said for unit in (" kg", " L"))


@pytest.mark.parametrize("what", USUAL)
def test_usual_amounts_pass_in_silence(what: What) -> None:
    assert unlikely(what, BOX, "metric") == ()


def test_a_stack_of_trays_holds_more_than_one() -> None:
    from dataclasses import replace

    assert unlikely(Harvest(70.0), replace(BOX, compartments=3), "metric") == ()
