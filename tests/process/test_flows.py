"""The model's equations, laid out for speed, against the plain formulas of the science, one at a time."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest

from tests.process import plain_formulas as plain
from tests.process.a_bin import BOARD, COFFEE, MANURE, SCRAPS, own, settled
from tests.process.method_page import listed
from wormbin.process import flows, pools
from wormbin.process.flows import Box
from wormbin.process.parameters import DEFAULT as P, Parameters
from wormbin.process.pools import FRESH, HARD, NITROGEN, OLD, RAW, RISE, VOLATILE, WATER, WORMS, Array
from wormbin.science.constants import FRESH_SCRAPS_KG_M3

BOX = Box(0.24, 0.45, False)
LIKE = pools.of_foods(P, "like")


def a_compartment(water: float = 4.0) -> Array:
    c = 1.2 * pools.brings(BOARD, feed=False)
    for material, kg in ((SCRAPS, 1.5), (COFFEE, 0.3), (MANURE, 0.5)):
        c += kg * pools.brings(material, feed=True)
    c[RAW], c[RAW + 1], c[RAW + HARD] = 0.4 * c[VOLATILE], 0.2 * c[VOLATILE + 1], 0.7 * c[VOLATILE + HARD]
    pools.matter(c)[:4, OLD] = 0.4, 0.2, 0.02, 0.1
    c[WATER] += water
    c[WORMS] = 0.5
    return c


def soft_of(c: Array) -> Array:
    return c[VOLATILE : VOLATILE + pools.FOODS] - c[RAW : RAW + pools.FOODS]


def flows_of(c: Array, temp_c: float, its: Array | None = None, p: Parameters = P) -> Array:
    return flows.flows(c, settled(BOX, temp_c, its, p), p)


@pytest.mark.parametrize("temp_c", [8.0, 20.0, 27.5])
@pytest.mark.parametrize("water", [0.8, 4.0])
def test_eating_and_decay_are_those_of_the_plain_formulas(temp_c: float, water: float) -> None:
    c = a_compartment(water)
    now, soft = flows_of(c, temp_c), soft_of(c)
    liked = float((soft * LIKE).sum())
    room = plain.room_for(0.24, pools.dry(c) + c[WATER] + c[WORMS], P.room_m2, P.room_kg)
    capacity = plain.capacity_kg_day(c[WORMS], temp_c, pools.moisture(c), P.appetite)
    capacity *= 1.0 - P.crowds * (1.0 - plain.crowding(c[WORMS], room))
    eaten = plain.eaten_kg_day(capacity, liked, P.half_days * P.appetite * c[WORMS])
    assert now[flows.AIR] == pytest.approx(1.0)
    assert now[flows.PULL] * liked == pytest.approx(eaten, rel=2e-3)
    parts = plain.shared(eaten, soft.tolist(), LIKE.tolist())
    assert now[flows.PULL] * LIKE[3] * soft[3] == pytest.approx(parts[3], rel=2e-3)
    share = plain.decay_share_day(P.decay_quick, temp_c, pools.moisture(c))
    assert now[flows.DECAY] * P.decay_quick == pytest.approx(share, rel=2e-3)


def test_worms_make_microbes_faster_and_a_herd_without_feed_dies_away() -> None:
    c = a_compartment()
    assert flows_of(c, 20.0)[flows.STIRS] == pytest.approx(plain.stirred(0.5, 0.24, P.stirs, P.stirs_kg_m2))
    fed = flows_of(c, 25.0)[flows.DEATH]
    c[VOLATILE : VOLATILE + pools.FOODS] = c[RAW : RAW + pools.FOODS] = 0.0
    assert flows_of(c, 25.0)[flows.DEATH] - fed > 0.9 * P.starves
    c[WORMS] = 0.0
    assert flows_of(c, 20.0)[flows.STIRS] == 1.0


def test_drying_and_heat_are_those_of_the_plain_formulas() -> None:
    c = a_compartment()
    now = flows_of(c, 22.0)
    assert now[flows.DRIES] == pytest.approx(plain.dried_kg_day(0.45, 0.24, pools.moisture(c), 22.0, 22.0), rel=2e-3)
    rise = plain.heat_rise_c(now[flows.BURN], now[flows.DRIES], 0.24, now[flows.DEPTH], P.heat_loss)
    loss = P.heat_loss * (2.0 * 0.24 + 4.0 * sqrt(0.24) * now[flows.DEPTH])
    # What cools by drying the more the warmer it is stands in both; what is left over now is the same.
    left_over = now[flows.HEAT] - now[flows.LOSS] * c[RISE]
    assert left_over == pytest.approx(loss * (rise - c[RISE]), rel=1e-9)


def test_air_falls_short_in_a_dense_burning_bed_and_work_with_it() -> None:
    calm, dense = a_compartment(), a_compartment()
    for c, kg in ((calm, 0.0), (dense, 45.0)):
        c += kg * pools.brings(SCRAPS, feed=True)
        c[RAW] = 0.0
    # Were it no heap, it would all burn at once.
    airy, short = (flows_of(c, 28.0, p=replace(P, heap_open=1.0)) for c in (calm, dense))
    assert airy[flows.AIR] == pytest.approx(1.0)
    assert short[flows.REACH_M] < short[flows.DEPTH]
    assert short[flows.AIR] < 0.8
    assert short[flows.REACH_M] < airy[flows.REACH_M]


@pytest.mark.parametrize("kg", [0.0, 3.0, 12.0])
def test_a_heap_goes_as_slowly_as_its_thickness_of_fresh_feed_says(kg: float) -> None:
    c = a_compartment() + kg * pools.brings(SCRAPS, feed=True)
    thick_m = (c[FRESH] + c[FRESH + 1]) / FRESH_SCRAPS_KG_M3 / BOX.area_m2
    assert flows_of(c, 20.0)[flows.OPEN] == pytest.approx(plain.heap_pace(thick_m, P.heap_m, P.heap_open), rel=1e-9)


def test_a_layer_of_three_centimetres_goes_at_two_thirds_of_the_pace_and_a_heap_at_a_third() -> None:
    assert plain.heap_pace(0.01) == pytest.approx(0.93, abs=0.005)
    assert plain.heap_pace(0.03) == pytest.approx(0.65)
    assert plain.heap_pace(0.30) == pytest.approx(0.307, abs=0.001)


def test_worms_grow_with_what_they_eat_less_by_crowding_and_by_poor_feed() -> None:
    c = a_compartment()
    now, soft = flows_of(c, 25.0), soft_of(c)
    room = plain.room_for(0.24, pools.dry(c) + c[WATER] + c[WORMS], P.room_m2, P.room_kg)
    soft[:2] *= now[flows.OPEN]
    eaten = now[flows.PULL] * float((soft * LIKE).sum())
    assert now[flows.GAIN] * c[WORMS] == pytest.approx(P.growth * eaten * plain.crowding(c[WORMS], room), rel=2e-3)
    c[NITROGEN : NITROGEN + 4] = 1e-6
    assert flows_of(c, 25.0)[flows.GAIN] < 0.2 * now[flows.GAIN]


def test_a_bins_own_factors_scale_what_they_say() -> None:
    c = a_compartment()
    book, quick = flows_of(c, 20.0), flows_of(c, 20.0, own(rate=2.0, drying=3.0))
    assert quick[flows.PULL] == pytest.approx(2.0 * book[flows.PULL])
    assert quick[flows.DRIES] == pytest.approx(3.0 * book[flows.DRIES])
    assert settled(BOX, 20.0, own(rate=4.0))[flows.RATES] == pytest.approx(2.0 * P.decay_quick)
    assert settled(BOX, 20.0, own(yields=3.0))[flows.CAST] == 0.95


def test_every_parameter_has_a_unit_a_source_and_lies_in_its_range() -> None:
    rows = listed()
    assert len(rows) > 50
    for row in rows:
        assert row.unit
        assert row.source
        assert row.low <= row.value <= row.high, row.key
