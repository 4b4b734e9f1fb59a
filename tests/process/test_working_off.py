"""Days of feed waiting are the look-ahead's own: fed no more, so little is left by then that it may be fed again."""

from __future__ import annotations

from datetime import UTC, datetime, time
from math import exp, log
from statistics import median

import numpy as np
import pytest

from tests.benchmarks.made_logs import kept
from tests.benchmarks.worked_off import true_days
from tests.process.a_bin import TABLE, fed, household, log_of, moment_of, started
from tests.worlds.habits import Story
from tests.worlds.life import make_bin
from tests.worlds.write import LOGS
from wormbin.materials.table import default_table
from wormbin.process.day import LONGEST_DAYS, days_to_work_off
from wormbin.process.look import Seen
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import Replay, replay
from wormbin.process.views import LEFT_DAYS
from wormbin.records.bins import Method

WITHIN = 1.35
"""The look-ahead lets warmth, moisture, air and herd change on the way; the count of days holds them."""
STORIES = [(seed, story) for seed, stories in LOGS.values() for story in stories]


def by_look_ahead(found: Replay) -> float:
    """The day, with its part, on which the look-ahead without feeding has so much worked off that it may be fed."""
    before, daily = found.today.feed_waiting_kg.p50, found.today.appetite_kg_day.p50
    aim = LEFT_DAYS * daily
    for number, day in enumerate(look_ahead(found, (), 90).days):
        now = day.feed_waiting_kg.p50
        if now <= aim:
            return max(
                number + (before - aim) / (before - now), min(LEFT_DAYS, found.today.feed_waiting_kg.p50 / daily)
            )
        before = now
    raise AssertionError("nothing like worked off in 90 days")


@pytest.mark.parametrize(
    ("kg", "temp_c", "parts", "worms_kg"),
    [
        (0.8, 22.0, 1, 0.45), (0.8, 12.0, 1, 0.45), (6.0, 22.0, 1, 0.45), (2.5, 20.0, 1, 0.6), (0.8, 22.0, 3, 0.45),
    ],
)  # fmt: skip
def test_in_a_made_bin_they_are_the_day_of_the_look_ahead(
    kg: float, temp_c: float, parts: int, worms_kg: float
) -> None:
    bin_ = household(site_temp_c=temp_c, compartments=parts, method=Method.UPWARD if parts > 1 else Method.SORT)
    lines = [*started(worms_kg)[: 3 if worms_kg else 2], *fed(1, 40, 0.4), *fed(40, 43, kg)]
    found = replay(bin_, lines, TABLE, moment_of(43))
    assert found.today.feed_waiting_kg.p50 > 0.02
    # To the end of today two hours less than a sixth of a day: the look-ahead counts from midnight.
    assert found.today.feed_waiting_days.p50 == pytest.approx(by_look_ahead(found), rel=WITHIN - 1.0, abs=0.4)


def _told(seed: int, story: Story, every: int) -> list[tuple[float, float, float, float]]:
    """Of evenings of a made-up log: true days, the days said, the look-ahead's, and what waits over the appetite."""
    made, belief, out = kept(make_bin(seed, story)), None, []
    for true in true_days(seed, story, every):
        until = datetime.combine(true.on, time(23, 59), UTC)
        found = replay(
            made.bin, [each for each in made.entries if each.when <= until], default_table(), until, resume=belief
        )
        belief, today = found.beliefs[-1], found.today
        plain = today.feed_waiting_kg.p50 / today.appetite_kg_day.p50
        true_for = true.until(LEFT_DAYS * today.appetite_kg_day.p50)
        if plain > LEFT_DAYS + 0.5 and true_for is not None:
            out.append((max(LEFT_DAYS, true_for), today.feed_waiting_days.p50, by_look_ahead(found), plain))
    return out


def test_over_many_made_up_logs_they_agree_with_the_look_ahead_and_lie_near_the_truth() -> None:
    told = [each for seed, story in STORIES for each in _told(seed, story, 60)]
    assert len(told) > 12
    near = sum(1.0 / WITHIN < said / ahead < WITHIN for _, said, ahead, _ in told)
    assert near >= 0.9 * len(told)
    off = median(abs(log(said / true)) for true, said, _, _ in told)
    print(f"\n{len(told)} evenings, off the truth {exp(off):.2f} times")
    assert off < 0.45


def test_the_seller_s_crate_that_was_heaped_is_told_one_number_of_days() -> None:
    seed, stories = LOGS["seller"]
    made = kept(make_bin(seed, next(story for story in stories if story.key == "crate-2")))
    found = replay(made.bin, made.entries, default_table(), made.until)
    assert found.today.feed_waiting_kg.p50 > 10.0
    assert found.today.feed_waiting_days.p50 == pytest.approx(by_look_ahead(found), rel=0.15)


def test_more_feed_takes_longer_and_nothing_takes_no_time() -> None:
    found = replay(household(), log_of(40), TABLE, moment_of(40))
    seen, daily = Seen(found.looks[-1:]), np.array([[found.today.appetite_kg_day.p50]])
    days = [float(days_to_work_off(seen, daily, np.array([[kg]]))[0, 0]) for kg in (0.0, 0.5, 2.0, 8.0)]
    assert days == sorted(days)
    assert days[0] == pytest.approx(found.today.feed_waiting_days.p50)
    asked = [(found.today.feed_waiting_kg.p50, found.today.feed_waiting_days.p50), *found.today.days_if_fed]
    assert asked == sorted(asked)
    assert [days for _, days in asked] == sorted({days for _, days in asked})
    bare = replay(household(), started(), TABLE, moment_of(1)).today
    assert bare.feed_waiting_days.p50 == 0.0
    frozen = replay(household(site_temp_c=-12.0), [*started(), *fed(1, 5)], TABLE, moment_of(5)).today
    assert frozen.feed_waiting_days.p50 == LONGEST_DAYS
