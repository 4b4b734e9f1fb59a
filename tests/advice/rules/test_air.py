from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import TODAY, a_case, a_day, band, days, read
from wormbin.advice.case import Case
from wormbin.advice.rules import air
from wormbin.advice.rules.air import air_share, careful_share
from wormbin.figures import Band, Level


@pytest.mark.parametrize(
    ("reach", "level"), [(0.50, None), (0.19, None), (0.15, Level.WATCH), (0.10, Level.WATCH), (0.08, Level.ACT)]
)
def test_air_is_watched_short_of_the_bottom_and_acted_on_under_half(reach: float, level: Level | None) -> None:
    found = air.air_short(a_case(air_reach_m=band(reach, 0.05), contents_m=band(0.18, 0.02)))
    assert (found.level if found else None) is level


def test_a_wet_overfed_box_is_loud_and_says_what_to_add() -> None:
    found = air.air_short(
        a_case(air_reach_m=band(0.06), free_air_space=band(0.18), moisture=band(0.90, 0.02), contents_m=band(0.2, 0.02))
    )
    assert found is not None
    assert found.level is Level.ACT
    assert "6 cm of 20 cm" in found.what
    assert "18%" in found.why
    assert any("dry shredded cardboard" in step for step in found.do)
    assert any(step.startswith("do not feed until about 23 May") for step in found.do)


def test_a_wet_bed_is_watched_by_the_more_careful_relation_and_a_loose_one_is_not() -> None:
    wet: dict[str, Any] = {
        "air_reach_m": band(0.24, 0.05),
        "contents_m": band(0.18, 0.02),
        "total_kg": band(20.0, 0.05),
    }
    found = air.air_short(a_case(free_air_space=band(0.32), **wet))
    assert found is not None
    assert found.level is Level.WATCH
    assert found.what == "may be short of air: it reaches 15 cm of 18 cm"
    _limit, level, share = air.judged_share(a_case(free_air_space=band(0.32), **wet))
    assert level is found.level
    assert share is not None
    assert round(100 * share.p50 * 0.18) == 15
    assert "Millington & Quirk 1961" in found.source
    assert air.air_short(a_case(free_air_space=band(0.45), **wet)) is None


def test_the_careful_relation_is_half_the_reach_in_a_dense_bed_and_never_more_than_the_usual() -> None:
    for free in (0.05, 0.2, 0.3, 0.39):
        case = a_case(free_air_space=band(free), total_kg=band(20.0), contents_m=band(0.18, 0.02))
        usual, careful = air_share(case.today), careful_share(case.today, case.bin.footprint_m2)
        assert usual is not None
        assert careful is not None
        pores = min(1.0, free + 20.0 * 0.8 / 1000.0 / (0.2 * 0.18))
        assert careful.p50 / usual.p50 == pytest.approx((free ** (10 / 3) / pores**2 / free**2) ** 0.5)
        assert careful.p50 < 0.75 * usual.p50


def test_dense_finished_castings_raise_no_alarm() -> None:
    castings = a_case(free_air_space=band(0.15, 0.05), air_reach_m=band(0.4), castings_share=band(0.9, 0.02))
    assert air.air_short(castings) is None
    found = air.dense_castings(castings)
    assert found is not None
    assert found.level is Level.STEADY
    assert "fluff once, or harvest" in found.what


def test_a_heap_of_feed_shuts_out_the_air_it_needs_where_reach_is_not_far_beyond_the_depth() -> None:
    def case(kg: float, reach: float) -> Case:
        return a_case(feed_waiting_kg=band(kg, 0.05), air_reach_m=band(reach, 0.05), contents_m=band(0.18, 0.02))

    found = air.air_short(case(5.0, 0.36))
    assert found is not None
    assert found.code == "air-short"
    assert found.level is Level.WATCH
    assert "heap" in found.what
    assert "25 kg/m2. The limit is 18 kg/m2" in found.why
    assert any("spread the heap" in step for step in found.do)
    assert air.air_short(case(3.0, 0.36)) is None
    assert air.air_short(case(5.0, 0.60)) is None


def test_loose_bedding_is_neither_dense_nor_airless() -> None:
    assert air.dense_castings(a_case()) is None
    assert air.air_short(a_case()) is None


def test_dense_and_burning_is_the_alarm_and_not_the_remark() -> None:
    case = a_case(free_air_space=band(0.15, 0.05), air_reach_m=band(0.05), contents_m=band(0.18, 0.02))
    assert air.dense_castings(case) is None
    assert air.air_short(case) is not None


def test_air_that_hovers_about_its_limit_does_not_flap() -> None:
    edge = [{"air_reach_m": band(0.18 * ratio, 0.02), "contents_m": band(0.18, 0.01)} for ratio in (1.2, 0.98, 1.05)]
    assert air.air_short(a_case(days(edge))) is not None
    assert air.air_short(a_case(days([edge[0], edge[2]]))) is None
    assert air.air_short(a_case(days([*edge, edge[0]]))) is None


def test_a_guess_about_air_asks_for_ruler_and_scale_until_it_has_them() -> None:
    wide: dict[str, Any] = {"air_reach_m": band(0.15, 0.6), "contents_m": band(0.18, 0.02)}
    asked = air.air_short(a_case(judged=(), **wide))
    assert asked is not None
    assert "stand a ruler in it and weigh it" in asked.do[-1]
    readings = (read("contents_m", 0.18, TODAY), read("total_kg", 9.0, TODAY - timedelta(days=1)))
    known = air.air_short(a_case(judged=readings, **wide))
    assert known is not None
    assert not any("would settle" in step for step in known.do)
    assert "Last ruler reading today and weighing yesterday" in known.sure


def test_the_careful_relation_judges_only_under_two_fifths_of_air() -> None:
    under, at = (careful_share(a_day(free_air_space=Band.exactly(free)), 0.2) for free in (0.399, 0.4))
    assert under is not None
    assert at is None
