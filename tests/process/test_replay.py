"""A log replayed: what it comes to, that it can be gone on with, and that it moves as the world does."""

from __future__ import annotations

from math import isclose, log
from operator import attrgetter

from tests.process.a_bin import TABLE, entry, household, log_of, moment_of
from wormbin.process import abreast, flows, pools
from wormbin.process.pools import RISE, WORMS
from wormbin.process.replay import replay
from wormbin.records.entries import Feeding, Portion


def test_a_replay_gives_one_day_a_day_with_ordered_bands() -> None:
    found = replay(household(), log_of(days=30), TABLE, moment_of(30))
    assert [each.day for each in found.days] == list(range(31))
    for day in found.days:
        for band in (day.moisture, day.feed_waiting_kg, day.worms_kg, day.castings_share, day.contents_m):
            assert band.p10 <= band.p50 <= band.p90


def test_going_on_from_a_belief_comes_to_the_same_as_replaying_everything() -> None:
    entries = log_of(days=60)
    earlier = replay(household(), [e for e in entries if e.when < moment_of(50)], TABLE, moment_of(49))
    whole = replay(household(), entries, TABLE, moment_of(60))
    resumed = replay(household(), entries, TABLE, moment_of(60), resume=earlier.beliefs[-1])
    assert len(resumed.days) == 12
    assert resumed.today == whole.today


def test_a_billionth_more_at_the_start_is_no_more_than_that_half_a_year_later() -> None:
    """Neither steps nor doubts blow up what is too small to see: a log has one answer."""
    begun, other = (
        replay(household(site_temp_c=degrees), log_of(days=180), TABLE, moment_of(180)).today
        for degrees in (20.0, 20.000000001)
    )
    for of in (attrgetter("moisture.p50"), attrgetter("worms_kg.p10"), attrgetter("castings_dry_kg.p90")):
        assert isclose(of(begun), of(other), rel_tol=1e-6)


def test_a_struck_line_makes_a_later_belief_unfit() -> None:
    entries = log_of(days=60)
    earlier = replay(household(), entries, TABLE, moment_of(60))
    without = [entry for entry in entries if entry.id != entries[10].id]
    resumed = replay(household(), without, TABLE, moment_of(60), resume=earlier.beliefs[-1])
    assert len(resumed.days) == 61
    assert resumed.today == replay(household(), without, TABLE, moment_of(60)).today


def test_a_heap_on_a_bin_that_works_fast_warms_it_and_does_not_cook_the_herd() -> None:
    """Seven kilograms at once on a bin learned to be twice as fast: warm, but no lethal heat."""
    run = replay(household(), log_of(days=60), TABLE, moment_of(60, 23.0)).run
    run.own[flows.RATE] = log(2.0)
    herd = run.likely[WORMS].sum()
    run.act(entry("heap", 60, Feeding((Portion("scraps", 7.0),)), 23.0))
    warmest = 0.0
    for _quarter in range(4 * 6):
        abreast.gone([run.forward(run.t + 0.25)])
        warmest = max(warmest, run.site_c + run.likely[RISE, 0])
    assert 24.0 < warmest < 35.0
    assert run.likely[WORMS].sum() > 0.85 * herd


def test_pieces_are_less_sure_than_what_was_weighed_and_come_to_the_same() -> None:
    """66 g, and eight in ten from 46 to 86 (materials/pieces.csv): 24 % by ln(86/46)/2.563, where a scale has 10 %."""

    def fed(said: str, kg: float = 1.32) -> list[float]:
        run = replay(household(), log_of(days=10), TABLE, moment_of(10, 23.0)).run
        before = pools.volatile(run.c[:, 0])
        run.act(entry("peels", 10, Feeding((Portion("banana-peel", kg, said),)), 23.0))
        return [float(each) for each in pools.volatile(run.c[:, 0]) - before]

    scale, counted, own = fed("1.32 kg"), fed("20 pieces"), fed("20 pieces", kg=1.0)
    assert abs(log(counted[0] / scale[0])) < 0.01
    by = log(max(counted) / min(counted)) / log(max(scale) / min(scale))
    assert abs(by - log(86 / 46) / 2.5631 / 0.10) < 0.01
    assert abs(log(max(own) / min(own)) / log(max(scale) / min(scale)) - 2.5) < 0.01
