"""The harvest window moves as the world does, narrows with readings, and is due once; what-if keeps nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.process.a_bin import TABLE, entry, household, log_of, moment_of
from wormbin.process.belief import Belief, Fingerprint
from wormbin.process.outlook import look_ahead, with_entries
from wormbin.process.replay import Replay, replay
from wormbin.process.views import Planned, Window
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Entry, Feeding, Harvest, MoistureBy, Portion


def at_day(day: int, lines: list[Entry] | None = None, bin_: Bin | None = None) -> Replay:
    return replay(bin_ or household(), lines if lines is not None else log_of(day), TABLE, moment_of(day))


def plan_from(found: Replay, days: int, kg: float = 0.8, skip: int = 0) -> list[Planned]:
    first = found.until.date()
    ahead = [first + timedelta(days=n) for n in range(1, days) if n % 7 in (1, 4)]
    return [Planned(on, feed_kg=kg) for on in ahead[skip:]]


def window(found: Replay, kg: float = 0.8, skip: int = 0, days: int = 200) -> Window:
    return look_ahead(found, plan_from(found, days, kg, skip), days).harvest


def days_between(early: date | None, late: date | None) -> int:
    assert early is not None
    assert late is not None
    return (late - early).days


def test_a_household_bin_is_ripe_after_three_to_six_months_with_dates_in_order() -> None:
    found = at_day(45)
    seen = window(found)
    assert seen.earliest is not None
    assert seen.likely is not None
    assert seen.earliest <= seen.likely
    assert seen.latest is None or seen.likely <= seen.latest
    assert 85 <= (seen.likely - household().started).days <= 190
    assert seen.due_since is None


def test_cold_puts_the_harvest_off() -> None:
    warm = window(at_day(60, log_of_cold(60)))
    cold = window(at_day(60, log_of_cold(60), household(site_temp_c=12.0)))
    assert cold.likely is None or days_between(warm.likely, cold.likely) > 20


def log_of_cold(days: int) -> list[Entry]:
    """The same log without its thermometer."""
    return [
        replace(each, what=replace(each.what, temp_c=None)) if isinstance(each.what, Check) else each
        for each in log_of(days, left=None)
    ]


def test_a_slow_bin_is_ripe_later_than_a_quick_one() -> None:
    slow, quick = window(at_day(60, log_of(60, left=0.9))), window(at_day(60, log_of(60, left=0.05)))
    assert slow.likely is None or days_between(quick.likely, slow.likely) > 5


def test_skipped_weeks_more_feed_and_new_bedding_all_move_it() -> None:
    """Young, most of what is unfinished is board, and castings come of feed: less of it puts the share off."""
    found = at_day(45)
    plain, skipped, double = window(found), window(found, skip=4), window(found, kg=1.6)
    assert days_between(plain.likely, skipped.likely) > 0
    with_bedding = [
        *plan_from(found, 200),
        Planned(found.until.date() + timedelta(days=2), bedding_kg=0.8, water_kg=2.0),
    ]
    bedded = look_ahead(found, with_bedding, 200).harvest
    assert days_between(plain.likely, bedded.likely) > 5
    assert (double.earliest, double.likely, double.latest) != (plain.earliest, plain.likely, plain.latest)


def test_readings_narrow_the_window() -> None:
    blind = log_of(90, left=None)
    seeing = [
        *log_of(90),
        *(entry(f"o{day}", day, Check(moisture=0.79, moisture_by=MoistureBy.OVEN), 12) for day in (30, 60, 88)),
    ]
    few = [each for each in blind if not isinstance(each.what, Check)]
    wide, narrow = window(at_day(90, few), days=300), window(at_day(90, seeing), days=300)
    assert days_between(narrow.earliest, narrow.latest) < days_between(wide.earliest, wide.latest)


def test_a_bin_past_its_share_is_due_once_and_cleared_by_its_harvest() -> None:
    lines = log_of(220)
    due = replay(household(), lines, TABLE, moment_of(200))
    first = due.due_since
    assert first is not None
    later = replay(household(), lines, TABLE, moment_of(220))
    assert later.due_since == first
    assert look_ahead(due, plan_from(due, 30), 30).harvest.due_since == first
    taken = entry("h", 200, Harvest(0.8 * due.today.castings_dry_kg.p50 / (1.0 - due.today.moisture.p50)), 19)
    after = replay(household(), [*lines, taken], TABLE, moment_of(200, 21))
    assert after.due_since is None
    assert after.today.castings_share.p50 < due.today.castings_share.p50
    assert look_ahead(after, plan_from(after, 10), 10).harvest.due_since is None


def test_bands_widen_into_the_future() -> None:
    found = at_day(60)
    ahead = look_ahead(found, plan_from(found, 90), 90)
    assert [each.on for each in ahead.days] == [found.until.date() + timedelta(days=n) for n in range(1, 91)]
    for name in ("moisture", "worms_kg", "temp_c", "castings_dry_kg"):
        assert getattr(ahead.days[-1], name).width > getattr(found.today, name).width


def test_a_look_ahead_and_a_what_if_leave_the_replay_as_it_was() -> None:
    found = at_day(40)
    before = found.beliefs[-1].of(found.run, found.until.date(), Fingerprint(()), ()).to_json()
    look_ahead(found, plan_from(found, 30), 30)
    more = with_entries(found, [entry("x", 40, Feeding((Portion("scraps", 2.0),)), 20)])
    assert more.today.feed_waiting_kg.p50 == pytest.approx(found.today.feed_waiting_kg.p50 + 2.0, rel=0.02)
    assert found.beliefs[-1].of(found.run, found.until.date(), Fingerprint(()), ()).to_json() == before


def test_what_is_planned_in_a_named_material_is_that_material() -> None:
    found = at_day(40)
    on = found.until.date() + timedelta(days=1)
    wet = look_ahead(found, [Planned(on, feed_kg=1.0, material="scraps")], 1).days[0]
    dry = look_ahead(found, [Planned(on, feed_kg=1.0, material="coffee")], 1).days[0]
    assert dry.dry_kg.p50 > wet.dry_kg.p50 + 0.1


def test_bedding_planned_with_a_named_feed_is_bedding_and_dries_the_bin() -> None:
    """Bedding that goes in with melon is not melon: it takes up water."""
    found = at_day(40)
    on = found.until.date() + timedelta(days=1)
    without = look_ahead(found, [Planned(on, feed_kg=1.0, material="scraps")], 1).days[0]
    along = look_ahead(found, [Planned(on, feed_kg=1.0, bedding_kg=0.4, material="scraps")], 1).days[0]
    assert along.feed_waiting_kg.p50 == pytest.approx(without.feed_waiting_kg.p50, rel=0.02)
    assert along.moisture.p50 < without.moisture.p50 - 0.005
    assert along.dry_kg.p50 == pytest.approx(without.dry_kg.p50 + 0.37, abs=0.03)


def test_a_belief_survives_as_json_and_a_damaged_one_is_nothing() -> None:
    found = at_day(40)
    again = Belief.from_json(found.beliefs[-1].to_json())
    assert again == found.beliefs[-1]
    assert Belief.from_json("{}") is None
    assert Belief.from_json("not json") is None
    assert Belief.from_json(found.beliefs[-1].to_json().replace('"version": ', '"version": 9')) is None


def test_a_full_box_is_due_though_its_share_is_not_reached() -> None:
    found = at_day(60, bin_=household(depth_m=0.10))
    seen = look_ahead(found, plan_from(found, 120, kg=2.4), 120).harvest
    assert seen.likely is not None
    assert seen.because == "full"
