"""Amounts that hardly fit the box are said so when they are saved; usual ones are not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.farm import starts
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.lots import Lots
from wormbin.farm.recording.lines import write
from wormbin.farm.views.proposals import BinDraft
from wormbin.farm.words.unlikely import unlikely
from wormbin.records.bins import Bin
from wormbin.records.entries import (
    Bedding,
    Draining,
    Feeding,
    Harvest,
    Kind,
    Move,
    Note,
    Portion,
    Stocking,
    Watering,
    What,
)
from wormbin.records.kinds.castings import LotKind

BOX = Bin(key="kitchen", name="Kitchen", length_m=0.6, width_m=0.4, depth_m=0.3, started=date(2026, 1, 1))
DRAFT = BinDraft(key="attic", name="Attic", length="60 cm", width="40 cm", depth="30 cm", worms="100 g")

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


@pytest.mark.parametrize("times", [0.99, 1.01])
def test_each_limit_lies_where_it_is_said_to(times: float) -> None:
    """Of 72 L a quarter as water, all of it drained, castings of 900 kg/m3; on 0.24 m2 10 kg/m2 of worms or feed."""
    for what in (
        Watering(times * 18.0),
        Draining(times * 72.0),
        Harvest(times * 64.8),
        Stocking(times * 2.4),
        Feeding((Portion("melon-rind", times * 2.4),)),
        Bedding((Portion("dry-leaves", times * 72.0),)),
    ):
        assert bool(unlikely(what, BOX, "metric")) is (times > 1), what


def test_a_stack_of_trays_holds_more_than_one() -> None:
    assert unlikely(Harvest(70.0), replace(BOX, compartments=3), "metric") == ()


def test_more_worms_out_than_there_are_is_asked_about_before_it_is_saved(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    starts.start(farm, replace(DRAFT, started="2026-05-01"))
    before = farm.entries("kitchen")
    writes: tuple[Callable[[Heading], object], ...] = (
        lambda head: write(farm, "kitchen", Kind.MOVE, {"to": "attic", "worms": "2 kg"}, head),
        lambda head: write(farm, "kitchen", Kind.STOCKING, {"worms": "2 kg", "out": "yes"}, head),
        lambda head: write(farm, "kitchen", Kind.HARVEST, {"castings": "500 kg"}, head),
        lambda head: write(
            farm, "kitchen", Kind.SURVEY, {"samples": "2 worms; 1 worms; 0 worms", "area": "225 cm2"}, head
        ),
    )
    for written in writes:
        with pytest.raises(DoubtedError, match="Keep it"):
            written(Heading(ask=True))
        assert farm.entries("kitchen") == before
    write(farm, "kitchen", Kind.MOVE, {"to": "attic", "worms": "100 g"}, Heading(ask=True))
    gone = write(farm, "kitchen", Kind.MOVE, {"to": "attic", "worms": "2 kg"})
    assert len(farm.entries("attic")) > 1
    write(farm, "kitchen", Kind.MOVE, {"to": "attic", "worms": "100 g"}, Heading(ask=True, replaces=gone.ids[0]))


def test_a_sale_before_the_lot_is_in_stock_is_asked_about(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    write(farm, "kitchen", Kind.HARVEST, {"castings": "2 kg", "lot": "may"})
    with pytest.raises(DoubtedError, match="harvested, not in stock yet"):
        Lots(farm).write("may", LotKind.SALE, {"amount": "1 kg"}, Heading(ask=True))
    assert Lots(farm).lot("may").sold_kg == 0
    Lots(farm).write("may", LotKind.SALE, {"amount": "1 kg"})
    Lots(farm).write("may", LotKind.STEP, {"step": "stock"})
    Lots(farm).write("may", LotKind.SALE, {"amount": "500 g"}, Heading(ask=True))
    assert Lots(farm).lot("may").sold_kg == 1.5


def test_samples_that_dig_up_the_bin_say_so() -> None:
    from wormbin.farm.recording.held_against import survey_view
    from wormbin.records.entries import Sample, Survey

    small = survey_view(Survey((Sample(0.0005, 0.01),) * 4), BOX, "metric")
    assert 9 <= (small.more_samples or 0) <= 13, "three times as many more, near enough"
    assert "dig up" not in small.words
    large = survey_view(Survey((Sample(0.0225, 0.01),) * 3), BOX, "metric")
    assert "dig up" in large.words
