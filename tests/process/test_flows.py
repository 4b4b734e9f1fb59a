"""The model's equations, laid out for speed, against the plain formulas of the science, one at a time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.process import plain_formulas as plain
from tests.process.a_bin import BOARD, BOOK, COFFEE, MANURE, SCRAPS
from tests.process.method_page import listed
from wormbin.process import flows, pools
from wormbin.process.flows import Box, Own, flow_now
from wormbin.process.parameters import DEFAULT as P
from wormbin.process.pools import RAW, RAW_FIBRE, WATER, WORMS, Compartment
from wormbin.science.constants import FRESH_SCRAPS_KG_M3

BOX = Box(0.24, 0.45, False)


def a_compartment(water: float = 4.0) -> Compartment:
    c = pools.empty()
    pools.add(c, BOARD, 1.2, feed=False)
    pools.add(c, SCRAPS, 1.5, feed=True)
    pools.add(c, COFFEE, 0.3, feed=True)
    pools.add(c, MANURE, 0.5, feed=True)
    c[RAW], c[RAW + 1], c[RAW_FIBRE] = 0.4 * c[0], 0.2 * c[1], 0.7 * c[4]
    c[5], c[11], c[17], c[23] = 0.4, 0.2, 0.02, 0.1
    c[WATER] += water
    c[WORMS] = 0.5
    return c


@pytest.mark.parametrize("temp_c", [8.0, 20.0, 27.5])
@pytest.mark.parametrize("water", [0.8, 4.0])
def test_eating_and_decay_are_those_of_the_plain_formulas(temp_c: float, water: float) -> None:
    c = a_compartment(water)
    now = flow_now(c, BOX, temp_c, BOOK, P)
    soft = [c[0] - c[RAW], c[1] - c[RAW + 1], c[2], c[3], c[4] - c[RAW_FIBRE]]
    like = flows.likings(BOOK, P)
    liked = sum(a * b for a, b in zip(soft, like, strict=True))
    capacity = plain.capacity_kg_day(c[WORMS], temp_c, pools.moisture(c), P.appetite)
    eaten = plain.eaten_kg_day(capacity, liked, P.half_days * P.appetite * c[WORMS])
    assert now[flows.AIR] == pytest.approx(1.0)
    assert now[flows.PULL] * liked == pytest.approx(eaten, rel=2e-3)
    parts = plain.shared(eaten, soft, like)
    assert now[flows.PULL] * like[3] * soft[3] == pytest.approx(parts[3], rel=2e-3)
    share = plain.decay_share_day(P.decay_quick, temp_c, pools.moisture(c))
    assert now[flows.DECAY] * P.decay_quick == pytest.approx(share, rel=2e-3)


def test_drying_and_heat_are_those_of_the_plain_formulas() -> None:
    c = a_compartment()
    now = flow_now(c, BOX, 22.0, BOOK, P)
    assert now[flows.DRIES] == pytest.approx(plain.dried_kg_day(0.45, 0.24, pools.moisture(c), 22.0, 22.0), rel=2e-3)
    rise = plain.heat_rise_c(now[flows.BURN], now[flows.DRIES], 0.24, now[flows.DEPTH], P.heat_loss)
    assert now[flows.HEAT] / now[flows.LOSS] == pytest.approx(rise, rel=1e-9)


def test_air_falls_short_in_a_dense_burning_bed_and_work_with_it() -> None:
    calm, dense = a_compartment(), a_compartment()
    for c, kg in ((calm, 0.0), (dense, 25.0)):
        pools.add(c, SCRAPS, kg, feed=True)
        c[RAW] = 0.0
    # Were it no heap, it would all burn at once.
    airy, short = (flow_now(c, BOX, 28.0, BOOK, replace(P, heap_open=1.0)) for c in (calm, dense))
    assert airy[flows.AIR] == pytest.approx(1.0)
    assert short[flows.REACH_M] < short[flows.DEPTH]
    assert short[flows.AIR] < 0.8
    assert short[flows.REACH_M] < airy[flows.REACH_M]


@pytest.mark.parametrize("kg", [0.0, 3.0, 12.0])
def test_a_heap_goes_as_slowly_as_its_thickness_of_fresh_feed_says(kg: float) -> None:
    c = a_compartment()
    pools.add(c, SCRAPS, kg, feed=True)
    thick_m = (c[pools.FRESH] + c[pools.FRESH + 1]) / FRESH_SCRAPS_KG_M3 / BOX.area_m2
    assert flow_now(c, BOX, 20.0, BOOK, P)[flows.OPEN] == pytest.approx(
        plain.heap_pace(thick_m, P.heap_m, P.heap_open), rel=1e-9
    )


def test_a_layer_of_three_centimetres_goes_at_two_thirds_of_the_pace_and_a_heap_at_a_third() -> None:
    assert plain.heap_pace(0.01) == pytest.approx(0.93, abs=0.005)
    assert plain.heap_pace(0.03) == pytest.approx(0.65)
    assert plain.heap_pace(0.30) == pytest.approx(0.307, abs=0.001)


def test_worms_grow_with_what_they_eat_less_by_crowding_and_by_poor_feed() -> None:
    c = a_compartment()
    now = flow_now(c, BOX, 25.0, BOOK, P)
    room = plain.room_for(0.24, pools.dry(c) + c[WATER] + c[WORMS], P.room_m2, P.room_kg)
    soft = [c[0] - c[RAW], c[1] - c[RAW + 1], c[2], c[3], c[4] - c[RAW_FIBRE]]
    soft[:2] = [now[flows.OPEN] * each for each in soft[:2]]
    eaten = now[flows.PULL] * sum(a * b for a, b in zip(soft, flows.likings(BOOK, P), strict=True))
    assert now[flows.GAIN] * c[WORMS] == pytest.approx(P.growth * eaten * plain.crowding(c[WORMS], room), rel=2e-3)
    c[12] = c[13] = c[15] = 1e-6
    assert flow_now(c, BOX, 25.0, BOOK, P)[flows.GAIN] < 0.2 * now[flows.GAIN]


def test_a_bins_own_factors_scale_what_they_say() -> None:
    c = a_compartment()
    book, quick = flow_now(c, BOX, 20.0, BOOK, P), flow_now(c, BOX, 20.0, Own(rate=2.0, drying=3.0), P)
    assert quick[flows.PULL] == pytest.approx(2.0 * book[flows.PULL])
    assert quick[flows.DRIES] == pytest.approx(3.0 * book[flows.DRIES])
    assert flows.decay_rates(Own(rate=4.0), P)[0] == pytest.approx(2.0 * P.decay_quick)
    assert flows.yields(Own(yields=3.0), P)[0][0] == 0.95


def test_every_parameter_has_a_unit_a_source_and_lies_in_its_range() -> None:
    rows = listed()
    assert len(rows) > 50
    for row in rows:
        assert row.unit
        assert row.source
        assert row.low <= row.value <= row.high, row.key
