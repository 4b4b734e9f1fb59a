from __future__ import annotations

import pytest

from wormbin.advice import limits
from wormbin.advice.levels import Limit
from wormbin.records.bins import Species
from wormbin.records.farms import Settings

ALL = [value for value in vars(limits).values() if isinstance(value, Limit)]
ALL += [limits.too_hot(each) for each in Species] + [limits.too_cold(each) for each in Species]
ALL += [limits.too_wet(Settings()), limits.too_dry(Settings()), limits.overfed(3.5), limits.overfed(7.0)]


@pytest.mark.parametrize("limit", ALL, ids=lambda limit: f"{limit.name}-{limit.watch.enter}")
def test_every_limit_names_its_source_and_is_left_on_the_calm_side(limit: Limit) -> None:
    assert limit.source
    side = 1 if limit.above else -1
    edges = [limit.watch] + ([limit.act] if limit.act else [])
    assert all(side * edge.enter >= side * edge.leave for edge in edges)
    if limit.act is not None:
        assert side * limit.act.enter > side * limit.watch.enter
        assert side * limit.act.leave > side * limit.watch.leave


def test_feeding_stops_over_thirty_degrees_for_the_common_worm() -> None:
    hot = limits.too_hot(Species.EISENIA)
    assert hot.act is not None
    assert hot.act.enter == 30.0


def test_tropical_worms_are_cold_long_before_the_common_one() -> None:
    assert limits.too_cold(Species.EUDRILUS).watch.enter > limits.too_cold(Species.EISENIA).watch.enter + 5


def test_moisture_limits_follow_the_keepers_band() -> None:
    drier = Settings(moisture_low=0.65, moisture_high=0.78)
    assert limits.too_wet(drier).watch.enter < limits.too_wet(Settings()).watch.enter
    assert limits.too_dry(drier).watch.enter < limits.too_dry(Settings()).watch.enter
    assert limits.too_wet(Settings()).watch.leave > Settings().moisture_high


def test_who_feeds_weekly_may_have_a_weeks_work_waiting() -> None:
    assert limits.overfed(7.0).watch.enter >= 7.0
    assert limits.overfed(3.5).watch.enter < limits.overfed(7.0).watch.enter
