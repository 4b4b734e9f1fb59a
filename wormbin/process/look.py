"""A bin looked at: the figures of one moment for each of its nine courses, and the ``Day`` with bands made of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, inf, log, sqrt

from wormbin.figures import Band
from wormbin.process import companions, flows, pools
from wormbin.process.course import Course, Housing
from wormbin.process.flows import flow_now
from wormbin.process.parameters import Parameters
from wormbin.process.pools import FRESH, RISE, WATER, WORMS, Compartment
from wormbin.process.views import Day, Layers, Part

WAIT_DAYS = 3.0
"""Days of feed that may lie waiting when a bin is fed just what it can keep up with."""

# Places in the figures of one compartment.
(
    DRY, CASTINGS_DRY, WATER_KG, WORMS_KG, WAITING, SLOW, STANDING, DEPTH_M, FAS, REACH_M, RISE_C, CARBON, NITROGEN,
    PROCESSED, WORKED, CAPACITY, FEED_M, BEDDING_M, MICROBES,
) = range(19)  # fmt: skip

Figures = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """All nine courses at one moment: ``figures[course][part]``, and what is shared by them."""

    on: date
    day: int
    figures: tuple[tuple[Figures, ...], ...]
    usual: tuple[float, float, float]
    """Of the usual feed: volatile kg per fresh kg, liking, decay a day at 20 degC."""
    site_c: float
    site_sd_c: float
    bulk_sd: float
    area_m2: float
    box_depth_m: float
    sideways: bool
    half: float


def figures_of(c: Compartment, box: flows.Box, site_c: float, rate: float, drying: float, p: Parameters) -> Figures:
    """The figures of one compartment now; see the places above. kg, m, kg/day, K."""
    dry = pools.dry(c)
    if dry <= 0.0 and c[WATER] <= 0.0:
        return (0.0,) * 7 + (0.0, 1.0, inf) + (0.0,) * 9
    flow = flow_now(c, box, site_c, rate, drying, p)
    shares = [flow[i] + flow[flows.DECAYED_OF + i] for i in range(5)]
    processed = sum(share * c[i] for i, share in enumerate(shares)) + flow[flows.DECAYED_OF + 5] * c[5]
    worked = shares[0] * c[FRESH] + shares[1] * c[FRESH + 1] + shares[3] * c[FRESH + 3]
    room = [
        p.bulk_quick * (c[0] + c[18]) + p.bulk_steady * (c[1] + c[19]) + p.bulk_slow * (c[2] + c[20])
        + p.bulk_aged * (c[3] + c[21]),
        p.bulk_fibre * (c[4] + c[22]),
        p.bulk_castings * (c[5] + c[23]),
    ]  # fmt: skip
    whole = sum(room) + 1e-15
    depth = flow[flows.DEPTH]
    return (
        dry,
        pools.castings(c),
        c[WATER],
        c[WORMS],
        pools.waiting_fresh(c),
        c[FRESH + pools.SLOW],
        0.0 if box.drained else max(0.0, c[WATER] - pools.holds(c, p)),
        depth,
        flow[flows.FREE],
        flow[flows.REACH_M],
        c[RISE],
        c[6] + c[7] + c[8] + c[9] + c[10],
        c[12] + c[13] + c[14] + c[15] + c[16],
        processed,
        worked,
        flow[flows.CAPACITY],
        depth * room[0] / whole,
        depth * room[1] / whole,
        # Decay of quick feed against its book rate, which holds warmth, moisture, air and the bin's own factor.
        flow[flows.DECAYED_OF] / p.decay_quick,
    )


def figures_of_course(course: Course, housing: Housing, site_c: float, p: Parameters) -> tuple[Figures, ...]:
    """The figures of each compartment of a course."""
    rate, drying = exp(course.log_rate), exp(course.log_drying)
    boxes = housing.boxes(course.parts)
    return tuple(figures_of(part, box, site_c, rate, drying, p) for part, box in zip(course.parts, boxes, strict=True))


def appetite(capacity: float, microbes: float, worms_kg: float, usual: Sequence[float], half: float) -> float:
    """Fresh kg of the usual feed a day that leaves just ``WAIT_DAYS`` of it waiting.

    Eating saturates: at a feeding of r (volatile kg/day) with ``WAIT_DAYS`` r waiting, eaten and decayed make r.
    ``half`` is what a kg of worms must find to eat at half its capacity, kg.
    """
    volatile, liking, decay = usual
    there = 1.0 - min(0.6, WAIT_DAYS * decay * microbes)
    need = half * worms_kg
    liked = WAIT_DAYS * liking
    by_worms = max(0.0, (liked * capacity / there - need) / liked)
    # With few worms or none the microbes alone still take their share of a modest heap.
    alone = (1.0 - there) * 0.1 * worms_kg / WAIT_DAYS
    return max(by_worms, alone) / volatile if volatile > 0.0 else 0.0


def _sum(rows: Sequence[Sequence[Figures]], at: int) -> list[float]:
    return [sum(part[at] for part in row) for row in rows]


def day_of(look: Look) -> Day:
    """The ``Day`` with its bands."""
    rows = look.figures
    dry, castings, water = _sum(rows, DRY), _sum(rows, CASTINGS_DRY), _sum(rows, WATER_KG)
    worms, waiting = _sum(rows, WORMS_KG), _sum(rows, WAITING)
    small = 0.01 * (dry[0] + 0.02)
    capacity, worked = _sum(rows, CAPACITY), _sum(rows, WORKED)
    microbes = [
        sum(part[MICROBES] * (part[DRY] + 1e-9) for part in row) / sum(part[DRY] + 1e-9 for part in row) for row in rows
    ]
    appetites = [
        appetite(cap, mic, kg, look.usual, look.half) for cap, mic, kg in zip(capacity, microbes, worms, strict=True)
    ]
    days = [
        w / max(rate, keep, 1e-9) if w > 0 else 0.0 for w, rate, keep in zip(waiting, worked, appetites, strict=True)
    ]
    depth = [_depth(row, look.sideways) for row in rows]
    box_depth = look.box_depth_m * (1 if look.sideways else max(1, len(rows[0])))
    depth_band = companions.mass_band(depth, 1e-4, look.bulk_sd)
    rise = [
        sum(part[RISE_C] * (part[DRY] + 1e-9) for part in row) / sum(part[DRY] + 1e-9 for part in row) for row in rows
    ]
    rise_band = companions.band(rise)
    cn = [_ratio(sum(p[CARBON] for p in row), sum(p[NITROGEN] for p in row)) for row in rows]
    air = _worst_air(rows[0])
    total = [d + w + m for d, w, m in zip(dry, water, worms, strict=True)]
    return Day(
        on=look.on,
        day=look.day,
        moisture=_moisture(dry, water),
        feed_waiting_kg=companions.mass_band(waiting, small),
        feed_waiting_days=companions.mass_band([min(each, 400.0) for each in days], 0.3),
        slow_waiting_kg=companions.mass_band(_sum(rows, SLOW), small),
        worms_kg=companions.mass_band(worms),
        appetite_kg_day=companions.mass_band(appetites, 0.02 * worms[0] + 1e-6),
        processed_kg_day=companions.mass_band(_sum(rows, PROCESSED), 1e-6),
        castings_dry_kg=companions.mass_band(castings, small),
        castings_share=_share(castings, dry),
        dry_kg=companions.mass_band(dry),
        total_kg=companions.mass_band(total),
        free_air_space=_free_air([row[air][FAS] for row in rows], look.bulk_sd),
        air_reach_m=_reach([row[air][REACH_M] for row in rows], rows[0][air][FAS], look.bulk_sd),
        contents_m=depth_band,
        temp_c=companions.band([look.site_c + each for each in rise], look.site_sd_c),
        heat_rise_c=rise_band,
        cn=companions.mass_band([min(each, 1000.0) for each in cn], 1.0),
        standing_water_kg=companions.mass_band(_sum(rows, STANDING), small),
        fullness=depth_band.times(1.0 / box_depth) if box_depth > 0 else Band.exactly(0.0),
        layers=_layers(rows[0], look),
        parts=tuple(_part(look, i) for i in range(len(rows[0]))) if len(rows[0]) > 1 else (),
    )


def _part(look: Look, i: int) -> Part:
    rows = look.figures
    at = [row[i] for row in rows]
    dry, water = [f[DRY] for f in at], [f[WATER_KG] for f in at]
    castings, worms = [f[CASTINGS_DRY] for f in at], [f[WORMS_KG] for f in at]
    small = 0.01 * (dry[0] + 0.02)
    return Part(
        number=i + 1,
        layers=_layers((rows[0][i],), look),
        moisture=_moisture(dry, water),
        feed_waiting_kg=companions.mass_band([f[WAITING] for f in at], small),
        worms_kg=companions.mass_band(worms),
        castings_share=_share(castings, dry),
        castings_dry_kg=companions.mass_band(castings, small),
        dry_kg=companions.mass_band(dry),
        total_kg=companions.mass_band([d + w + m for d, w, m in zip(dry, water, worms, strict=True)]),
        free_air_space=_free_air([f[FAS] for f in at], look.bulk_sd),
        standing_water_kg=companions.mass_band([f[STANDING] for f in at], small),
    )


def _moisture(dry: Sequence[float], water: Sequence[float]) -> Band:
    if dry[0] + water[0] <= 0.0:
        return Band.exactly(0.0)
    return companions.share_band([w / (d + w) if d + w > 0 else 0.0 for d, w in zip(dry, water, strict=True)])


def _share(castings: Sequence[float], dry: Sequence[float]) -> Band:
    if dry[0] <= 0.0:
        return Band.exactly(0.0)
    return companions.share_band([c / d if d > 0 else 0.0 for c, d in zip(castings, dry, strict=True)])


def _free_air(values: Sequence[float], bulk_sd: float) -> Band:
    """Pores left over: doubt about the room taken counts as doubt about what is solid and water."""
    filled = [log(max(1e-6, 1.0 - each)) for each in values]
    half = companions.TO_P90 * sqrt(companions.spread(filled) ** 2 + bulk_sd**2)
    full = 1.0 - values[0]
    return Band(max(0.0, 1.0 - full * exp(half)), values[0], max(0.0, 1.0 - full * exp(-half)))


def _reach(values: Sequence[float], free: float, bulk_sd: float) -> Band:
    """Reach goes with free air space and the root of the room: doubt about the room weighs double in dense beds."""
    held = [min(value, 50.0) for value in values]
    return companions.mass_band(held, 1e-3, bulk_sd * (0.5 + (1.0 - free) / max(free, 0.05)))


def _ratio(carbon: float, nitrogen: float) -> float:
    return carbon / nitrogen if nitrogen > 1e-12 else 1000.0


def _depth(row: Sequence[Figures], sideways: bool) -> float:
    depths = [part[DEPTH_M] for part in row]
    return sum(depths) / len(depths) if sideways else sum(depths)


def _worst_air(row: Sequence[Figures]) -> int:
    """The compartment in which air reaches the smallest share of the depth."""
    return min(range(len(row)), key=lambda i: row[i][REACH_M] / row[i][DEPTH_M] if row[i][DEPTH_M] > 1e-6 else inf)


def _layers(row: Sequence[Figures], look: Look) -> Layers:
    over = len(row) if look.sideways else 1
    feed = sum(part[FEED_M] for part in row) / over
    bedding = sum(part[BEDDING_M] for part in row) / over
    depth = sum(part[DEPTH_M] for part in row) / over
    standing = sum(part[STANDING] for part in row) / over
    # Water at the base stands in the pores between what lies there: about half of the room is free for it.
    water = min(depth, standing / 1000.0 / look.area_m2 / 0.5) if look.area_m2 > 0 else 0.0
    return Layers(feed, bedding, max(0.0, depth - feed - bedding), water)


def harvest_bands(look: Look) -> tuple[Band, Band]:
    """Castings' share of dry matter and fullness of the box, with bands: all that a harvest date needs."""
    rows = look.figures
    share = _share(_sum(rows, CASTINGS_DRY), _sum(rows, DRY))
    box_depth = look.box_depth_m * (1 if look.sideways else max(1, len(rows[0])))
    depth = companions.mass_band([_depth(row, look.sideways) for row in rows], 1e-4, look.bulk_sd)
    return share, depth.times(1.0 / box_depth) if box_depth > 0 else Band.exactly(0.0)
