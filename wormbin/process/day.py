"""A look made into a ``Day``: each figure with the band that the nine courses span."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, inf, log, sqrt

from wormbin.figures import Band
from wormbin.process import companions, pools
from wormbin.process.look import (
    BEDDING_M,
    CAPACITY,
    CARBON,
    CASTINGS_DRY,
    DEPTH_M,
    DRY,
    FAS,
    FEED_M,
    MICROBES,
    NITROGEN,
    PROCESSED,
    REACH_M,
    RISE_C,
    SLOW,
    STANDING,
    WAITING,
    WATER_KG,
    WORMS_KG,
    Figures,
    Look,
    appetite,
)
from wormbin.process.views import FED_DAYS, Day, Layers, Part
from wormbin.science.constants import TENTH_SD

LEAST_APPETITE = 1e-6
"""Of the feed waiting and the herd: an appetite under this share of them is none."""


Rows = Sequence[Sequence[Figures]]


def _sum(rows: Rows, at: int) -> list[float]:
    return [sum(part[at] for part in row) for row in rows]


def appetites_of(look: Look, rows: Rows) -> list[float]:
    """Fresh kg of the usual feed a day that each course keeps up with; ``rows`` are its figures."""
    capacity, worms = _sum(rows, CAPACITY), _sum(rows, WORMS_KG)
    microbes = [
        sum(part[MICROBES] * (part[DRY] + 1e-9) for part in row) / sum(part[DRY] + 1e-9 for part in row) for row in rows
    ]
    half = look.p.half_days * look.p.appetite
    return [appetite(cap, mic, kg, look.usual, half) for cap, mic, kg in zip(capacity, microbes, worms, strict=True)]


def day_of(look: Look) -> Day:
    """The ``Day`` with its bands."""
    now = look.now()
    rows = look.figures_at(now)
    dry, castings, water = _sum(rows, DRY), _sum(rows, CASTINGS_DRY), _sum(rows, WATER_KG)
    worms, waiting = _sum(rows, WORMS_KG), _sum(rows, WAITING)
    small = 0.01 * dry[0] + 1e-9
    appetites = appetites_of(look, rows)
    days = look.days(now, appetites[0])
    depth = [_depth(row, look.housing.sideways) for row in rows]
    box_depth = look.housing.depth_m * (1 if look.housing.sideways else max(1, len(rows[0])))
    depth_band = companions.mass_band(depth, 1e-4, look.bulk_sd)
    rise = [
        sum(part[RISE_C] * (part[DRY] + 1e-9) for part in row) / sum(part[DRY] + 1e-9 for part in row) for row in rows
    ]
    rise_band = companions.band(rise)
    cn = [_ratio(sum(p[CARBON] for p in row), sum(p[NITROGEN] for p in row)) for row in rows]
    air = worst_air(rows[0])
    total = [d + w + m for d, w, m in zip(dry, water, worms, strict=True)]
    return Day(
        on=look.on,
        day=look.day,
        moisture=_moisture(dry, water),
        feed_waiting_kg=companions.mass_band(waiting, small),
        feed_waiting_days=companions.mass_band(days, 0.3),
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
        parts=tuple(_part(look, rows, i) for i in range(len(rows[0]))) if len(rows[0]) > 1 else (),
        days_if_fed=tuple(
            (waiting[0] + kg, look.if_fed(now, kg, appetites[0])) for kg in (appetites[0] * times for times in FED_DAYS)
        )
        if appetites[0] > LEAST_APPETITE * (waiting[0] + worms[0])
        else (),
    )


def _part(look: Look, rows: Sequence[Sequence[Figures]], i: int) -> Part:
    at = [row[i] for row in rows]
    dry, water = [f[DRY] for f in at], [f[WATER_KG] for f in at]
    castings, worms = [f[CASTINGS_DRY] for f in at], [f[WORMS_KG] for f in at]
    small = 0.01 * dry[0] + 1e-9
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
        air_reach_m=_reach([f[REACH_M] for f in at], at[0][FAS], look.bulk_sd),
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
    half = TENTH_SD * sqrt(companions.spread(filled) ** 2 + bulk_sd**2)
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


def worst_air(row: Sequence[Figures]) -> int:
    """The compartment in which air reaches the smallest share of the depth."""
    return min(range(len(row)), key=lambda i: row[i][REACH_M] / row[i][DEPTH_M] if row[i][DEPTH_M] > 1e-6 else inf)


def _layers(row: Sequence[Figures], look: Look) -> Layers:
    over = len(row) if look.housing.sideways else 1
    feed = sum(part[FEED_M] for part in row) / over
    bedding = sum(part[BEDDING_M] for part in row) / over
    depth = sum(part[DEPTH_M] for part in row) / over
    standing = sum(part[STANDING] for part in row) / over
    # Water at the base stands in the pores between what lies there: about half of the room is free for it.
    water = min(depth, standing / 1000.0 / look.housing.area_m2 / 0.5) if look.housing.area_m2 > 0 else 0.0
    return Layers(feed, bedding, max(0.0, depth - feed - bedding), water)


def harvest_bands(look: Look) -> tuple[Band, Band]:
    """Castings' share of dry matter and fullness of the box, with bands: all that a harvest date needs."""
    states = [parts for _, parts in look.courses]
    share = _share(
        [sum(map(pools.castings, parts)) for parts in states], [sum(map(pools.dry, parts)) for parts in states]
    )
    trays = 1 if look.housing.sideways else len(states[0])
    over = len(states[0]) if look.housing.sideways else 1
    box = look.housing.depth_m * trays * look.housing.area_m2
    if box <= 0.0:
        return share, Band.exactly(0.0)
    bulk = look.housing.open_above[0].bulk / (box * over)
    room = [bulk * sum(pools.room(part, look.p) for part in parts) for parts in states]
    return share, companions.mass_band(room, 1e-4, look.bulk_sd)


def far_from_harvest(look: Look, share: float) -> bool:
    """Whether even the hopeful edges of the bands cannot reach a harvest yet: told from the likely course alone."""
    parts = look.courses[0][1]
    dry = sum(map(pools.dry, parts))
    box = look.housing.depth_m * look.housing.area_m2 * len(parts)
    room = look.housing.open_above[0].bulk * sum(pools.room(part, look.p) for part in parts)
    return sum(map(pools.castings, parts)) < 0.3 * share * dry and room < 0.3 * box
