"""From a bag back to bins, days and feedstocks, and from a bin on to its lots; yields by feed and surface."""

from __future__ import annotations

from datetime import date

import pytest

from tests.castings.made_up import KITCHEN, at, bedded, came, fed, harvest, sold, step
from wormbin.castings.lot import lots
from wormbin.castings.origin import finished_share, origins, went, yield_of
from wormbin.records.lots import LotStep

LOG = (
    bedded("b1", at(1, 1, year=2025), 1.2),
    fed("f1", at(1, 10, year=2025), 10.0, "coffee-grounds"),
    harvest("h1", at(6, 1, year=2025), 5.0, lot="first"),
    fed("f2", at(6, 2, year=2025), 3.0),
    fed("f3", at(7, 2, year=2025), 4.0, "coffee-grounds"),
    fed("f4", at(8, 2, year=2025), 2.0),
    harvest("h2", at(1, 1), 4.0),
    fed("f5", at(1, 2), 30.0),
)
STARTED = {"kitchen": KITCHEN.started}


def test_a_bag_is_traced_to_bins_days_and_what_they_were_fed_since_the_harvest_before() -> None:
    (lot,) = lots([came("h2", at(1, 1), 4.0), came("x", at(1, 2), 12.0, source="attic")])
    mine, other = origins(lot, {"kitchen": LOG}, STARTED)
    assert (mine.bin, mine.harvest, mine.on, mine.kg, mine.share) == ("kitchen", "h2", date(2026, 1, 1), 4.0, 0.25)
    assert (mine.since, mine.feeds) == (date(2025, 6, 1), (("melon-rind", 5.0), ("coffee-grounds", 4.0)))
    assert mine.beddings == ()
    assert (other.bin, other.feeds, other.since) == ("attic", (), date(2026, 1, 2))


def test_a_first_harvest_comes_from_all_since_the_start() -> None:
    (lot,) = lots([came("h1", at(6, 1, year=2025), 5.0)])
    (origin,) = origins(lot, {"kitchen": LOG}, STARTED)
    assert origin.since == KITCHEN.started
    assert origin.feeds == (("coffee-grounds", 10.0),)
    assert origin.beddings == (("shredded-cardboard", 1.2),)


def test_harvests_of_one_tray_come_from_what_that_tray_was_fed() -> None:
    log = (
        fed("f1", at(1, 1), 1.0, part=1),
        fed("f2", at(1, 2), 2.0, part=2),
        fed("f3", at(1, 3), 4.0),
        harvest("h1", at(2, 1), 3.0, part=2),
        fed("f4", at(2, 2), 8.0, part=1),
        harvest("h2", at(3, 5), 3.0, part=1),
    )
    (lot,) = lots([came("h2", at(3, 5), 3.0)])
    (origin,) = origins(lot, {"kitchen": log}, STARTED)
    assert origin.feeds == (("melon-rind", 13.0),)


def test_harvests_days_apart_are_one_harvest_that_took_its_time() -> None:
    log = (
        harvest("h0", at(1, 1), 2.0),
        fed("f1", at(1, 2), 6.0),
        harvest("h1", at(3, 1), 2.0),
        harvest("h2", at(3, 8), 2.0),
    )
    (lot,) = lots([came("h2", at(3, 8), 2.0)])
    (origin,) = origins(lot, {"kitchen": log}, STARTED)
    assert (origin.since, origin.feeds) == (date(2026, 1, 1), (("melon-rind", 6.0),))


def test_back_from_a_bin_to_its_lots() -> None:
    found = went("kitchen", lots([came("h2", at(1, 1), 4.0), came("x", at(1, 2), 12.0, source="attic")]))
    assert [(each.lot.name, each.on, each.kg, each.share) for each in found] == [
        ("spring", date(2026, 1, 1), 4.0, 0.25)
    ]
    assert went("cellar", lots([came("h2", at(1, 1), 4.0)])) == ()


def test_yields_count_up_to_the_latest_harvest() -> None:
    found = yield_of(KITCHEN, LOG)
    assert (found.harvests, found.castings_kg, found.feed_kg, found.bedding_kg) == (2, 9.0, 19.0, 1.2)
    assert found.per_feed == pytest.approx(9.0 / 19.0)
    assert found.per_m2 == pytest.approx(9.0 / 0.24)
    assert found.per_m2_year == pytest.approx(9.0 / 0.24 * 365.25 / 365)
    earlier = yield_of(KITCHEN, LOG, date(2025, 12, 31))
    assert (earlier.castings_kg, earlier.feed_kg, earlier.until) == (5.0, 10.0, date(2025, 6, 1))


def test_a_bin_without_a_harvest_has_no_yield() -> None:
    found = yield_of(KITCHEN, LOG[:2])
    assert (found.per_feed, found.per_m2, found.per_m2_year, found.until) == (None, None, None, None)


def test_feed_for_a_kilogram_finished_counts_only_lots_in_stock() -> None:
    book = [came("a", at(3, 1), 10.0), step("s", at(3, 20), LotStep.SCREENED, 6.0)]
    assert finished_share("kitchen", lots(book)) is None
    stocked = lots([*book, step("t", at(3, 21), LotStep.STOCK), sold("v", at(3, 22), 2.0)])
    assert finished_share("kitchen", stocked) == pytest.approx(0.6)
    log = [fed("f", at(2, 1), 30.0), harvest("a", at(3, 1), 10.0)]
    assert yield_of(KITCHEN, log, finished=0.6).feed_per_finished == pytest.approx(5.0)
    assert yield_of(KITCHEN, log).feed_per_finished is None
