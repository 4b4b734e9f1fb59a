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
from wormbin.farm.recording.lines import record_harvest, record_move, record_stocking, record_survey
from wormbin.farm.views.proposals import BinDraft
from wormbin.farm.words.unlikely import unlikely
from wormbin.records.bins import Bin
from wormbin.records.entries import Draining, Feeding, Harvest, Move, Note, Portion, Stocking, Watering, What

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


def test_a_stack_of_trays_holds_more_than_one() -> None:
    assert unlikely(Harvest(70.0), replace(BOX, compartments=3), "metric") == ()


def test_more_worms_out_than_there_are_is_asked_about_before_it_is_saved(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    starts.start(farm, replace(DRAFT, started="2026-05-01"))
    before = farm.entries("kitchen")
    writes: tuple[Callable[[Heading], object], ...] = (
        lambda head: record_move(farm, "kitchen", "attic", "2 kg", head),
        lambda head: record_stocking(farm, "kitchen", "2 kg", out=True, heading=head),
        lambda head: record_harvest(farm, "kitchen", "500 kg", heading=head),
        lambda head: record_survey(farm, "kitchen", ["2 worms", "1 worms", "0 worms"], "225 cm2", head),
    )
    for write in writes:
        with pytest.raises(DoubtedError, match="Keep it"):
            write(Heading(ask=True))
        assert farm.entries("kitchen") == before
    record_move(farm, "kitchen", "attic", "100 g", Heading(ask=True))
    gone = record_move(farm, "kitchen", "attic", "2 kg")
    assert len(farm.entries("attic")) > 1
    record_move(farm, "kitchen", "attic", "100 g", Heading(ask=True, replaces=gone.ids[0]))


def test_a_sale_before_the_lot_is_in_stock_is_asked_about(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    record_harvest(farm, "kitchen", "2 kg", lot="may")
    with pytest.raises(DoubtedError, match="harvested, not in stock yet"):
        Lots(farm).sell("may", "1 kg", heading=Heading(ask=True))
    assert Lots(farm).lot("may").sold_kg == 0
    Lots(farm).sell("may", "1 kg")
    Lots(farm).step("may", "stock")
    Lots(farm).sell("may", "500 g", heading=Heading(ask=True))
    assert Lots(farm).lot("may").sold_kg == 1.5


def test_samples_that_dig_up_the_bin_say_so() -> None:
    from wormbin.farm.recording.asked_first import survey_view
    from wormbin.records.entries import Sample, Survey

    small = survey_view(Survey((Sample(0.0005, 0.01),) * 4), BOX, "metric")
    assert 9 <= (small.more_samples or 0) <= 13, "three times as many more, near enough"
    assert "dig up" not in small.words
    large = survey_view(Survey((Sample(0.0225, 0.01),) * 3), BOX, "metric")
    assert "would dig up" in large.words
