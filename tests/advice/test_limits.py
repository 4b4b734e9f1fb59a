from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import BIN, CALM_LOG, TODAY, a_case, a_day, ahead_of, days, fed, looked, piled, stocked
from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.judgement import findings
from wormbin.advice.limits import Edge, Limit
from wormbin.figures import Band, Level
from wormbin.process.views import Layers, Window
from wormbin.records.bins import Species
from wormbin.records.entries import Squeeze
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


EDGES = """
    0.5 0.4 0.8 0.7 | 1 0.85 | 0.045 0.038 0.07 0.06 | 17 19 14 15.5 | 0.5 0.4 0.75 0.65 | 5.8 6 5 5.3 | 8.6 8.4 9 8.7
    1 1.1 0.5 0.6 | 0.2 0.23 | 0.85 0.95 | 18 13 | 0.3 0.3 0.2 0.2 | 0.015 0.01 0.03 0.02 | 0.5 0.65 0.2 0.3
    5 4.5 8 7.2 | 0.2 0.14 0.4 0.3 | 7 4 21 14 | 0 -1 42 41 | 0.92 0.88 1 0.97 | 10 9 | 1.5 1.25 2.5 2
    28 27 30 29 | 30 29 32 31 | 30 29 32 31 | 25.5 24.5 28.5 27.5 | 8 9 4 5 | 17 18 12 13 | 15 16 11 12 | 7 8 3 4
    0.87 0.855 0.9 0.88 | 0.67 0.69 0.62 0.645 | 6 4 12 9 | 7.5 5.5 15 12
"""
"""Where watch is entered and left, and act, in the order of the limits: changed on purpose or not at all."""


def test_no_edge_of_a_limit_moves_unseen() -> None:
    told = [[each.watch, *([each.act] if each.act else [])] for each in ALL]
    found = [" ".join(f"{edge.enter:g} {edge.leave:g}" for edge in edges) for edges in told]
    assert found == [row.strip() for line in EDGES.strip().splitlines() for row in line.split("|")]
    assert list(limits.COMFORT_C.values()) == [(15, 25), (20, 28), (18, 28), (13, 23)]


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


FELT = (*CALM_LOG, looked(TODAY - timedelta(days=5), squeeze=Squeeze.SPONGE))
"""Felt so long ago that it speaks against nothing, and lately enough that the sums may call it urgent."""
AREA_M2 = BIN.footprint_m2
SET = Settings()


def day(**changes: Any) -> Case:
    return a_case([a_day(**changes)], entries=FELT)


def exactly(name: str, scale: float = 1.0) -> Callable[[float], Case]:
    """A day of which this one figure is known exactly."""
    return lambda value: day(**{name: Band.exactly(value * scale)})


def bare(count: float) -> Case:
    return a_case(days([piled(2.0)] * 10 + [piled(0.0, 0.01)] * int(count)), entries=FELT)


def lost(share: float) -> Case:
    """A herd that went down by so much in the last days."""
    return a_case(days([{"worms_kg": Band.exactly(kg)} for kg in (0.5, 0.5, 0.5 * (1 - share))]), entries=FELT)


def due(count: float) -> Case:
    since = TODAY - timedelta(days=int(count))
    return a_case(entries=FELT, harvest=Window(None, None, None, due_since=since))


def airy(share: float) -> Case:
    return day(air_reach_m=Band.exactly(share * 0.18), contents_m=Band.exactly(0.18))


def rich(cn: float) -> Case:
    return day(cn=Band.exactly(cn), **piled(3.0))


def warming(celsius: float) -> Case:
    """Heat of its own that comes within the week."""
    today = a_day(feed_waiting_kg=Band.exactly(2.0))
    coming = ahead_of(today, temp_c=Band.exactly(celsius), heat_rise_c=Band.exactly(10.0))
    return replace(a_case([today], entries=FELT), unfed=coming)


def given_young(share: float) -> Case:
    """So many times the ration of a bin of eight days, with a week's work waiting: it does not keep up."""
    kg = share * 0.25 * 0.5 * 0.5 * 7
    log = (stocked(TODAY - timedelta(days=8)), fed(kg, TODAY - timedelta(days=2)), FELT[-1])
    return a_case(entries=tuple(sorted(log, key=lambda each: each.when)), worms_kg=Band.exactly(0.5), **piled(7.0))


@dataclass(frozen=True)
class Told:
    """A finding, its limit, a case in which its figure has this value, and how near to an edge it is tried."""

    code: str
    limit: Limit
    case: Callable[[float], Case]
    hair: float = 1e-4
    most: Level = Level.ACT


TOLD = (
    Told("too-wet", limits.too_wet(SET), exactly("moisture")),
    Told("too-dry", limits.too_dry(SET), exactly("moisture")),
    Told("too-hot", limits.too_hot(Species.EISENIA), exactly("temp_c")),
    Told("too-cold", limits.too_cold(Species.EISENIA), exactly("temp_c")),
    Told("heat-to-come", limits.too_hot(Species.EISENIA), warming),
    Told("overfed", limits.overfed(3.5), lambda value: day(feed_waiting_days=Band.exactly(value))),
    Told("thick-layer", limits.LAYER, lambda value: day(layers=Layers(value, 0.1, 0.1, 0.0))),
    Told("nitrogen-rich", limits.LOW_CN, rich),
    Told("air-short", limits.AIR, airy),
    Told("standing-water", limits.STANDING, exactly("standing_water_kg", 1000.0 * AREA_M2), most=Level.WATCH),
    Told("few-worms", limits.FEW_WORMS, exactly("worms_kg", AREA_M2)),
    Told("crowded", limits.CROWDED, exactly("worms_kg", AREA_M2)),
    Told("falling", limits.FALLING, lost),
    Told("hungry", limits.HUNGRY, bare, hair=1.0),
    Told("full", limits.FULL, exactly("fullness")),
    Told("new-bin", limits.RAMP_OVER, given_young),
)


@pytest.mark.parametrize("told", TOLD, ids=lambda told: told.code)
def test_each_limit_is_entered_at_its_edge_and_not_a_hair_before(told: Told) -> None:
    def level(value: float) -> Level:
        return next((each.level for each in findings(told.case(value)) if each.code == told.code), Level.STEADY)

    side = told.hair if told.limit.above else -told.hair
    edges: list[tuple[Edge, Level, Level]] = [(told.limit.watch, Level.STEADY, Level.WATCH)]
    if told.limit.act is not None:
        edges.append((told.limit.act, Level.WATCH, min(Level.ACT, told.most, key=lambda each: each.rank)))
    for edge, before, past in edges:
        assert level(edge.enter - side) is before, edge
        # A ten-millionth over the edge: what is scaled to kg and back may fall short of it.
        assert level(edge.enter + side * 1e-3) is past, edge


@pytest.mark.parametrize(("count", "code"), [(0, "harvest-due"), (41, "harvest-due"), (42, "harvest-late")])
def test_a_harvest_is_late_after_six_weeks(count: int, code: str) -> None:
    assert [each.code for each in findings(due(count)) if each.code.startswith("harvest")] == [code]


@pytest.mark.parametrize(("ahead", "told"), [(21, True), (22, False)])
def test_a_harvest_is_near_within_three_weeks(ahead: int, told: bool) -> None:
    likely = TODAY + timedelta(days=ahead)
    found = {each.code for each in findings(a_case(entries=FELT, harvest=Window(likely, likely, likely)))}
    assert ("harvest-near" in found) is told


@pytest.mark.parametrize(("free", "told"), [(0.2, True), (0.2001, False)])
def test_castings_are_dense_under_a_fifth_of_free_air(free: float, told: bool) -> None:
    found = {each.code for each in findings(day(free_air_space=Band.exactly(free)))}
    assert ("dense" in found) is told
