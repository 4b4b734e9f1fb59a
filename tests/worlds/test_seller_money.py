"""The seller's loads, pile, costs and recall as the demo shows them, with the sums done by hand beside them."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from tests.cli.running import run
from wormbin.farm import feedstock
from wormbin.farm.money import costs
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session

NOW = datetime(2026, 10, 30, 18, tzinfo=UTC)


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    folder: Path = tmp_path_factory.mktemp("seller")
    copy_sample("seller", folder)
    return Session(folder, clock=lambda: NOW)


def test_what_was_taken_and_spent_is_what_the_rows_add_up_to(farm: Session) -> None:
    """Taken 84+56+35 May, 105+70+84 July, 32+98 August: 175, 259, 130, together 564.

    Spent on loads 15+8+4.80+9+7.20 = 44; bags 48; five market days at 15 = 75; bottles 4.20; 3+4+3 h at 10 = 100:
    together 271.20.
    """
    view = costs(farm)
    assert (view.taken, view.spent) == (Decimal(564), Decimal("271.20"))
    assert {each.lot: each.taken for each in view.lots} == {
        "May sacks": Decimal(175), "July barn": Decimal(259), "August mix": Decimal(130), "Autumn": Decimal(0),
    }  # fmt: skip
    assert {each.lot: each.own for each in view.lots} == {
        "May sacks": Decimal(30), "July barn": Decimal(40), "August mix": Decimal(30), "Autumn": Decimal("4.20"),
    }  # fmt: skip
    assert sum(each.general for each in view.lots) == Decimal(123)
    in_none = sum((amount for _, amount in view.rest), Decimal(0))
    assert sum(each.feed for each in view.lots) + in_none == Decimal(44)
    out = run(farm.folder, "costs", now=NOW).out
    assert "taken 564.00, spent 271.20, leaves 292.80 EUR" in out


def test_bags_and_stalls_go_to_the_lots_by_what_was_harvested_into_each(farm: Session) -> None:
    """123.00 by 46.5, 74.75, 55.85 and 84.9 kg of 262: 21.83, 35.09, 26.22, 39.86; six costs, within two cents."""
    came = {"May sacks": 46.5, "July barn": 74.75, "August mix": 55.85, "Autumn": 84.9}
    for each in costs(farm).lots:
        by_hand = 123.0 * came[each.lot] / sum(came.values())
        assert float(each.general) == pytest.approx(by_hand, abs=0.02), each.lot


def test_a_load_turned_bad_names_the_bed_the_lot_and_both_buyers(farm: Session) -> None:
    page = feedstock.load(farm, "grain 26")
    assert {each.bin for each in page.went} == {"crate-2"}
    assert [(each.lot, each.bin, each.likely) for each in page.lots] == [("August mix", "crate-2", True)]
    assert [each.buyer for each in page.handed] == ["Bea", "Lime Street school"]
    assert page.load.came_kg == pytest.approx(page.load.given_kg + page.load.kg)


def test_the_heap_was_hot_long_enough_and_came_off_as_a_load(farm: Session) -> None:
    (heap,) = feedstock.all_piles(farm)
    assert (heap.hot_days, heap.turns, heap.met, heap.gaps) == (15, 5, True, ())
    assert (heap.hot_since, heap.broken) == (date(2026, 3, 4), date(2026, 3, 20))
    assert next(each for each in feedstock.loads(farm).loads if each.pile).came_kg == 38.0


@pytest.mark.more
def test_one_order_was_met_one_missed_and_others_wait(farm: Session) -> None:
    """15 kg on 22 August to the nursery, sold on that day; 12 kg for the allotments never; two are to come."""
    out = " ".join(run(farm.folder, "orders", now=NOW).out.split())
    assert "nursery august Corner nursery 15 kg met 2026-08-22" in out
    assert "allotments Hill allotments 12 kg missed, 12 kg short" in out
    assert "2026-12-05 nursery december Corner nursery 30 kg" in out
    assert "stall goes on after these, every 28 days" in out
