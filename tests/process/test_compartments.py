"""Stacked trays and sideways halves: the herd follows the feed, water runs down, each is fed and harvested apart."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.process.a_bin import TABLE, entry, household, moment_of, started
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import Replay, replay
from wormbin.process.views import Planned
from wormbin.records.bins import Bin, Method
from wormbin.records.entries import Bedding, Draining, Entry, Feeding, Harvest, Portion, Watering


def trays(number: int = 3, **changes: object) -> Bin:
    return household(compartments=number, method=Method.UPWARD, **changes)


def halves() -> Bin:
    return household(compartments=2, method=Method.SIDEWAYS)


def fed_into(compartment: int, first: int, last: int, kg: float = 0.8) -> list[Entry]:
    return [
        entry(f"f{compartment}-{day}", day, Feeding((Portion("scraps", kg),)), 18, compartment)
        for day in range(first, last)
        if day % 7 in (1, 4)
    ]


def bedded(compartment: int, day: int) -> list[Entry]:
    return [
        entry(f"b{compartment}", day, Bedding((Portion("board", 0.8),)), 9, compartment),
        entry(f"w{compartment}", day, Watering(2.8), 9, compartment),
    ]


def herd(found: Replay) -> list[float]:
    return [part.worms_kg.p50 for part in found.today.parts]


def test_the_herd_goes_up_into_the_tray_that_is_fed() -> None:
    lines = [*started(), *fed_into(1, 1, 60), *bedded(2, 60), *fed_into(2, 60, 120)]
    before, after = (replay(trays(), lines, TABLE, moment_of(day)) for day in (59, 119))
    assert herd(before)[0] > 0.95 * sum(herd(before))
    assert herd(after)[1] > 0.6 * sum(herd(after))
    assert herd(after)[2] == 0.0


def test_the_herd_goes_sideways_to_the_half_that_is_fed() -> None:
    lines = [*started(), *fed_into(1, 1, 40), *bedded(2, 40), *fed_into(2, 40, 80)]
    after = replay(halves(), lines, TABLE, moment_of(79))
    assert herd(after)[1] > 0.6 * sum(herd(after))


def test_water_runs_down_to_the_tray_below_and_only_the_lowest_lets_it_out() -> None:
    lines = [*started(), *bedded(2, 10), entry("flood", 12, Watering(6.0), 10, 2)]
    found = replay(trays(2, drainage=False), lines, TABLE, moment_of(20))
    dry = replay(trays(2, drainage=False), lines[:-1], TABLE, moment_of(20))
    assert found.today.parts[0].standing_water_kg.p50 > dry.today.parts[0].standing_water_kg.p50 + 2.0
    assert found.balance.drained == 0.0
    let_out = replay(trays(2, drainage=True), lines, TABLE, moment_of(20))
    assert let_out.balance.drained > 2.0


def test_sideways_halves_do_not_run_into_each_other() -> None:
    lines = [*started(), *bedded(2, 10), entry("flood", 12, Watering(6.0), 10, 2)]
    found = replay(halves(), lines, TABLE, moment_of(13))
    assert found.today.parts[1].moisture.p50 > found.today.parts[0].moisture.p50


def test_each_compartment_is_harvested_apart() -> None:
    lines = [*started(), *fed_into(1, 1, 90), *bedded(2, 60), *fed_into(2, 60, 100)]
    before = replay(trays(2), lines, TABLE, moment_of(99))
    after = replay(trays(2), [*lines, entry("h", 99, Harvest(6.0), 19, 1)], TABLE, moment_of(99))
    assert after.today.parts[0].castings_dry_kg.p50 < before.today.parts[0].castings_dry_kg.p50 - 1.0
    assert after.today.parts[1].castings_dry_kg.p50 == pytest.approx(
        before.today.parts[1].castings_dry_kg.p50, rel=0.02
    )


def test_a_harvest_without_a_compartment_is_from_the_one_richest_in_castings() -> None:
    lines = [*started(), *fed_into(1, 1, 90), *bedded(2, 60), *fed_into(2, 60, 100)]
    said = replay(trays(2), [*lines, entry("h", 99, Harvest(6.0), 19, 1)], TABLE, moment_of(99))
    unsaid = replay(trays(2), [*lines, entry("h", 99, Harvest(6.0), 19)], TABLE, moment_of(99))
    assert unsaid.today == said.today


def test_each_compartment_is_looked_ahead_at_apart() -> None:
    lines = [*started(), *fed_into(1, 1, 60), *bedded(2, 58)]
    found = replay(trays(2), lines, TABLE, moment_of(60))
    on = found.until.date() + timedelta(days=1)
    up = look_ahead(found, [Planned(on, feed_kg=1.0, compartment=2)], 2).days[-1]
    down = look_ahead(found, [Planned(on, feed_kg=1.0, compartment=1)], 2).days[-1]
    assert up.parts[1].feed_waiting_kg.p50 > down.parts[1].feed_waiting_kg.p50 + 0.5
    assert down.parts[0].feed_waiting_kg.p50 > up.parts[0].feed_waiting_kg.p50 + 0.5


def test_the_whole_is_the_sum_of_its_parts() -> None:
    lines = [*started(), *fed_into(1, 1, 60), *bedded(2, 40), *fed_into(2, 40, 60), entry("d", 50, Draining(0.3), 9)]
    day = replay(trays(3), lines, TABLE, moment_of(60)).today
    assert len(day.parts) == 3
    for whole, name in ((day.worms_kg, "worms_kg"), (day.dry_kg, "dry_kg"), (day.total_kg, "total_kg")):
        assert sum(getattr(part, name).p50 for part in day.parts) == pytest.approx(whole.p50)
    assert sum(part.layers.contents_m for part in day.parts) == pytest.approx(day.layers.contents_m)
