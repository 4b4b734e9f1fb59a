"""Looks made into days: each figure with the band that the courses span, of as many days at once as are wanted."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final, cast, overload

import numpy as np

from wormbin.figures import Band
from wormbin.process import flows, pools
from wormbin.process.ensemble import COURSES, DESIGN, bands, mass_bands, share_bands, spread
from wormbin.process.flows import LIKE, RATES
from wormbin.process.learning import wider
from wormbin.process.look import Look, Seen
from wormbin.process.pools import AGED, FIBRE, FOODS, FRESH, QUICK, RAW, SLOW, STEADY, VOLATILE, WORMS, Array
from wormbin.process.views import FED_DAYS, LEFT_DAYS, Day, Layers, Part
from wormbin.science.constants import TENTH_SD, WET_PORES

LONGEST_DAYS = 400.0
FIRST_STEP_DAYS, LATER_STEP = 0.5, 0.2
"""Steps of half a day, later of a fifth of the days gone by."""
_FED = [QUICK, STEADY, AGED]


def days_to_work_off(seen: Seen, daily_kg: Array, given_kg: Array | None = None) -> Array:
    """Days until the feed waiting in all compartments is worked off, ``(looks, COURSES)``; ``LONGEST_DAYS`` at most.

    ``daily_kg`` is a day's feed, ``(looks, 1)``. ``given_kg`` of the usual scraps are thought to be given on top, where
    most worms are; then the answer is that of the likely course alone.
    """
    upto = None if given_kg is None else 1
    c, k, f = (each[..., :upto] for each in (seen.c, seen.k, seen.f))
    raw = c[[RAW + i for i in _FED]]
    soft = c[[VOLATILE + i for i in _FED]] - raw
    fresh = c[[FRESH + i for i in _FED]]
    if given_kg is not None:
        top = (np.argmax(c[WORMS], axis=0)[None] == np.arange(c.shape[1])[:, None, None]) * given_kg
        fresh[0] += top
        raw[0] += top * np.array([[look.usual[0]] for look in seen.looks])
    fresh = fresh / (soft + raw + 1e-300)
    like, rates = k[[LIKE + i for i in _FED]], k[[RATES + i for i in _FED]] * f[flows.DECAY]
    rates[:2] *= f[flows.STIRS]
    # Slow things and fibre share the worms' time, and hardly change meanwhile.
    others = [SLOW, *range(FIBRE, FOODS)]
    rest = (k[[LIKE + i for i in others]] * (c[[VOLATILE + i for i in others]] - c[[RAW + i for i in others]])).sum(
        axis=0
    )
    rest += k[flows.HALF_KG] * c[WORMS] + 1e-15

    def on(dt: float) -> None:
        """Half of the step with the pull of its start to find the middle, then the whole with that."""
        nonlocal soft, raw
        thick = (fresh[:2] * (soft + raw)[:2]).sum(axis=0) / k[flows.HEAP_KG]
        opens = np.ones_like(soft)
        opens[:2] = seen.p.heap_open + (1.0 - seen.p.heap_open) / (1.0 + thick * thick)
        keeps = np.exp(-dt * f[flows.SOFTENS])
        middle = soft + raw * (1.0 - np.sqrt(keeps))
        pull = f[flows.CAPACITY] / ((like * middle).sum(axis=0) + rest)
        middle *= np.exp(-0.5 * dt * (opens * like * pull + rates))
        pull = f[flows.CAPACITY] / ((like * middle).sum(axis=0) + rest)
        goes = np.exp(-0.5 * dt * (opens * like * pull + rates))
        soft = goes * (soft * goes + raw * (1.0 - keeps))
        raw = raw * keeps

    def waiting() -> Array:
        return np.asarray((fresh * (soft + raw)).sum(axis=(0, 1)))

    start = now = waiting()
    aim = np.maximum(LEFT_DAYS * daily_kg, 1e-9)
    # A day's feed is a day's work, though it may lie.
    least = np.where(daily_kg > 0.0, np.minimum(LEFT_DAYS, start / np.maximum(daily_kg, 1e-12)), 0.0)
    found, t = np.where(start <= aim, least, LONGEST_DAYS), 0.0
    while t < LONGEST_DAYS and (now > aim).any():
        dt = max(FIRST_STEP_DAYS, LATER_STEP * t)
        before = now
        on(dt)
        now, t = waiting(), t + dt
        there = (before > aim) & (now <= aim)
        part = np.log(np.maximum(aim / np.maximum(now, 1e-300), 1.0)) / np.log(
            np.maximum(before / np.maximum(now, 1e-300), 1.0 + 1e-12)
        )
        found = np.where(there, np.minimum(LONGEST_DAYS, np.maximum(least, t - dt * part)), found)
    return found


SUMS_SD = {"moisture": 0.10, "feed": 0.20, "worms": 0.28, "castings": 0.15, "share": 0.20}
"""Doubt about the sums themselves, whatever the courses say: natural log, of shares on the logit scale. Ours, held to
made-up bins of other equations."""
LEAST_APPETITE = 1e-6
"""Of the feed waiting and the herd: an appetite under this share of them is none."""


def days_of(looks: Sequence[Look]) -> list[Day]:
    """The days of looks at one bin, with their bands."""
    if not looks:
        return []
    seen = Seen(looks)
    parts, housing = seen.c.shape[1], looks[0].housing
    over = parts if housing.sideways else 1
    bulk_sd, site_sd = np.array([(look.bulk_sd, look.site_sd_c) for look in looks]).T
    dry, waiting, worms = seen.dry.sum(axis=0), seen.waiting.sum(axis=0), seen.worms.sum(axis=0)
    small = 0.01 * dry[:, 0] + 1e-9
    eats = seen.appetites()
    fed = [(0.0 * eats[:, :1]), *(eats[:, :1] * times for times in FED_DAYS)]
    days = days_to_work_off(seen, eats[:, :1])
    if_fed = [days_to_work_off(seen, eats[:, :1], each)[:, 0] for each in fed[1:]]
    weights = seen.dry + 1e-9
    rise = (seen.rise * weights).sum(axis=0) / weights.sum(axis=0)
    carbon, nitrogen = seen.carbon.sum(axis=0), seen.nitrogen.sum(axis=0)
    cn = np.minimum(np.where(nitrogen > 1e-12, carbon / np.maximum(nitrogen, 1e-12), 1000.0), 1000.0)
    at = np.arange(len(looks))
    free, reach = seen.free[seen.worst(), at], seen.reach[seen.worst(), at]
    depth = mass_bands(seen.depth.sum(axis=0) / over, 1e-4, bulk_sd)
    box = housing.depth_m * (1 if housing.sideways else parts)
    of_parts = [_parts(seen, i, bulk_sd) for i in range(parts)] if parts > 1 else []
    site = np.array([[look.site_c] for look in looks])
    columns: dict[str, Sequence[Any]] = {
        **_bands(seen, slice(None)),
        "feed_waiting_days": mass_bands(days, 0.3),
        "slow_waiting_kg": mass_bands(seen.slow.sum(axis=0), small),
        "appetite_kg_day": mass_bands(eats, 0.02 * worms[:, 0] + 1e-6),
        "processed_kg_day": mass_bands(seen.processed().sum(axis=0), 1e-6),
        "free_air_space": _free_air(free, bulk_sd),
        "air_reach_m": _reach(reach, free[:, 0], bulk_sd),
        "contents_m": depth,
        "temp_c": bands(site + rise, site_sd),
        "heat_rise_c": bands(rise),
        "cn": mass_bands(cn, 1.0),
        "fullness": [each.times(1.0 / box) if box > 0 else Band.exactly(0.0) for each in depth],
        "layers": _layers(seen, slice(None), over),
    }
    found = []
    for i, look in enumerate(looks):
        told = {name: column[i] for name, column in columns.items()}
        feeds = eats[i, 0] > LEAST_APPETITE * (waiting[i, 0] + worms[i, 0])
        asked = tuple(
            (float(waiting[i, 0] + kg[i, 0]), float(took[i])) for kg, took in zip(fed[1:], if_fed, strict=True)
        )
        found.append(
            Day(
                look.on, look.day, **told, parts=tuple(each[i] for each in of_parts), days_if_fed=asked if feeds else ()
            )
        )
    return found


def _bands(seen: Seen, part: int | slice) -> dict[str, list[Band]]:
    """What is told alike of a whole bin (all its parts) and of one part."""

    def whole(values: Array) -> Array:
        return np.asarray(values[part].sum(axis=0) if isinstance(part, slice) else values[part])

    dry, water, castings, worms = (whole(each) for each in (seen.dry, seen.water, seen.castings, seen.worms))
    small = 0.01 * dry[:, 0] + 1e-9
    wider = {name: _wider(seen.looks, name) for name in ("moisture", "left", "worms_kg", "castings_kg", "total_kg")}
    return {
        "moisture": _shares(water, dry + water, SUMS_SD["moisture"], wider["moisture"]),
        "feed_waiting_kg": mass_bands(whole(seen.waiting), small, SUMS_SD["feed"], wider["left"]),
        "worms_kg": mass_bands(worms, 1e-6, SUMS_SD["worms"], wider["worms_kg"]),
        "castings_share": _shares(castings, dry, SUMS_SD["share"], wider["castings_kg"]),
        "castings_dry_kg": mass_bands(castings, small, SUMS_SD["castings"], wider["castings_kg"]),
        "dry_kg": mass_bands(dry),
        "total_kg": mass_bands(dry + water + worms, wider=wider["total_kg"]),
        "standing_water_kg": mass_bands(whole(seen.standing), small),
    }


def _parts(seen: Seen, part: int, bulk_sd: Array) -> list[Part]:
    columns: dict[str, Sequence[Any]] = {
        **_bands(seen, part),
        "layers": _layers(seen, slice(part, part + 1), 1),
        "free_air_space": _free_air(seen.free[part], bulk_sd),
        "air_reach_m": _reach(seen.reach[part], seen.free[part, :, 0], bulk_sd),
    }
    return [Part(part + 1, **{name: each[i] for name, each in columns.items()}) for i in range(len(seen.looks))]


def _wider(looks: Sequence[Look], quantity: str) -> Array:
    """How many times as wide the bands are for what the readings of a quantity have shown."""
    return np.array([wider(look.scores.get(quantity, ())) for look in looks])


def _shares(of: Array, whole: Array, extra_sd: float, wider: Array) -> list[Band]:
    """Bands of a share of something; nothing of nothing."""
    found = share_bands(of / (whole + 1e-300), extra_sd, wider)
    return [band if there > 0.0 else Band.exactly(0.0) for band, there in zip(found, whole[:, 0].tolist(), strict=True)]


def _free_air(values: Array, bulk_sd: Array) -> list[Band]:
    """Pores left over: doubt about the room taken counts as doubt about what is solid and water."""
    half = TENTH_SD * np.hypot(spread(np.log(np.maximum(1e-6, 1.0 - values))), bulk_sd)
    full = 1.0 - values[:, 0]
    rows = np.stack([
        np.maximum(0.0, 1.0 - full * np.exp(half)), values[:, 0], np.maximum(0.0, 1.0 - full * np.exp(-half))
    ], axis=1).tolist()  # fmt: skip
    return [Band(*row) for row in rows]


def _reach(values: Array, free: Array, bulk_sd: Array) -> list[Band]:
    """Reach goes with free air space and the root of the room: doubt about the room weighs double in dense beds."""
    return mass_bands(np.minimum(values, 50.0), 1e-3, bulk_sd * (0.5 + (1.0 - free) / np.maximum(free, 0.05)))


def _layers(seen: Seen, parts: slice, over: int) -> list[Layers]:
    feed, bedding = seen.layers()
    area = seen.looks[0].housing.area_m2
    rows = [each[parts, :, 0].sum(axis=0) / over for each in (feed, bedding, seen.depth, seen.standing)]
    found = []
    for eaten, laid, depth, standing in zip(*(row.tolist() for row in rows), strict=True):
        water = min(depth, standing / 1000.0 / area / WET_PORES) if area > 0 else 0.0
        found.append(Layers(eaten, laid, max(0.0, depth - eaten - laid), water))
    return found


def harvest_bands(looks: Sequence[Look]) -> list[tuple[Band, Band]]:
    """Castings' share of dry matter and fullness of the box, with bands: all that a harvest date needs."""
    c = np.stack([look.c for look in looks], axis=2).astype(np.float64)
    castings, dry = pools.castings(c).sum(axis=0), pools.dry(c).sum(axis=0)
    shares = _shares(castings, dry, SUMS_SD["share"], _wider(looks, "castings_kg"))
    housing = looks[0].housing
    box = housing.depth_m * c.shape[1] * housing.area_m2
    if box <= 0.0:
        return [(share, Band.exactly(0.0)) for share in shares]
    bulk = np.array([[look.housing.open_above[0].bulk] for look in looks]) / box
    weights = pools.of_pools(looks[0].p, "bulk")[:, None, None, None]
    full = mass_bands(bulk * pools.weighed(c, weights).sum(axis=0), 1e-4, np.array([look.bulk_sd for look in looks]))
    return list(zip(shares, full, strict=True))


@dataclass(slots=True)
class _Held:
    """A day, or the look of which it is made; shared by all sequences that it lies in."""

    what: Day | Look


class Days(Sequence[Day]):
    """A sequence of ``Day``; a slice is a tuple. What it is given may be days already or looks that become days.

    ``made`` makes days of looks: many at once cost little more than one.
    """

    def __init__(
        self, given: Iterable[Day | Look | _Held], made: Callable[[Sequence[Look]], Sequence[Day]] = days_of
    ) -> None:
        self._held = [each if isinstance(each, _Held) else _Held(each) for each in given]
        self._make = made

    def __len__(self) -> int:
        return len(self._held)

    @overload
    def __getitem__(self, at: int) -> Day: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Day, ...]: ...
    def __getitem__(self, at: int | slice) -> Day | tuple[Day, ...]:
        if isinstance(at, slice):
            return self._made(self._held[at])
        return self._made([self._held[at]])[0]

    def __iter__(self) -> Iterator[Day]:
        return iter(self[:])

    def _made(self, wanted: Sequence[_Held]) -> tuple[Day, ...]:
        looks = [(held, held.what) for held in wanted if isinstance(held.what, Look)]
        for (held, _), day in zip(looks, self._make([look for _, look in looks]), strict=True):
            held.what = day
        return tuple(cast(Day, held.what) for held in wanted)

    def first_on(self) -> date | None:
        """The date of the first day, without making it."""
        return self._held[0].what.on if self._held else None

    def before(self, on: date) -> Days:
        """The days before a date; none is made."""
        return Days((each for each in self._held if each.what.on < on), self._make)

    def and_then(self, others: Days) -> Days:
        """These days and then others; none is made."""
        return Days([*self._held, *others._held], self._make)

    def last(self, count: int) -> Days:
        """The last ``count`` days; none is made."""
        return Days(self._held[-count:] if count > 0 else (), self._make)


IN_COMMON: Final = (flows.HALF, flows.YIELDS, flows.HOLDING, flows.GROWTH, flows.AMOUNTS, flows.HARMS)
"""What two bins of one keeper have in common: the worms, the food, the scale (ours). How fast each works and dries, its
fibre and its microbes are its own, and so is all that was seen of it."""


def courses(looks: Sequence[Look], figure: str) -> Array:
    """A figure of ``Day`` on the last day by every course, ``(COURSES,)``; of what is worked off, kg, of all days."""
    if figure == "processed_kg_day":
        return np.asarray(Seen(looks).processed().sum(axis=(0, 1)))
    seen = Seen(looks[-1:])
    dry, water, castings, worms = (
        each.sum(axis=0)[0] for each in (seen.dry, seen.water, seen.castings, seen.worms)
    )  # fmt: skip
    weights = seen.dry[:, 0] + 1e-9
    figures = {
        "moisture": water / (dry + water + 1e-300),
        "castings_share": castings / (dry + 1e-300),
        "worms_kg": worms,
        "total_kg": dry + water + worms,
        "contents_m": seen.depth.sum(axis=0)[0] / (len(seen.depth) if looks[-1].housing.sideways else 1),
        "temp_c": (seen.rise[:, 0] * weights).sum(axis=0) / weights.sum(axis=0),
    }
    return np.asarray(figures[figure])


def covariance(mine: Array, theirs: Array) -> float:
    """How far two bins' courses go together through what they have in common, in the figure's unit squared.

    Every cause has its column of the design in both bins, so that each effect is a mean over the companions.
    """
    one, other = (DESIGN[list(IN_COMMON), 1:] @ each[1:] / (COURSES - 1) for each in (mine, theirs))
    return float(one @ other)
