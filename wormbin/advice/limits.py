"""Every limit that advice holds a bin against, in one place: value, unit, source, and where it is entered and left."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import erfc, sqrt
from types import MappingProxyType
from typing import TypeVar

from wormbin.figures import Band, Level
from wormbin.records.bins import Species
from wormbin.records.farms import Settings
from wormbin.science.constants import TENTH_SD

T = TypeVar("T")

LIKELY = 0.5


@dataclass(frozen=True, slots=True)
class Edge:
    """Where a level is entered, and where it is left again; between the two it stays as it was."""

    enter: float
    leave: float


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit: what it is on, its unit, the edges of watch and act, and where it comes from.

    ``above`` is True when too much is wrong, False when too little is. An ``act`` of None never rises past watch.
    """

    name: str
    unit: str
    above: bool
    watch: Edge
    act: Edge | None
    source: str

    def edge(self, level: Level) -> float:
        """The value at which ``level`` is entered."""
        return self.act.enter if level is Level.ACT and self.act is not None else self.watch.enter


def chance_over(band: Band, value: float) -> float:
    """Chance (0-1) that the true figure is ``value`` or more: each half of the band is taken as half a normal curve."""
    if value <= band.p50:
        spread = (band.p50 - band.p10) / TENTH_SD
        if spread <= 0:
            return 1.0
    else:
        spread = (band.p90 - band.p50) / TENTH_SD
        if spread <= 0:
            return 0.0
    return 0.5 * erfc((value - band.p50) / (spread * sqrt(2)))


def chance_beyond(band: Band, value: float, *, above: bool) -> float:
    """Chance that the true figure is on the wrong side of ``value``."""
    if above:
        return chance_over(band, value)
    return chance_over(Band(-band.p90, -band.p50, -band.p10), -value)


def level_of(days: Sequence[T], band_of: Callable[[T], Band | None], limit: Limit) -> Level:
    """The level on the last of ``days``: entered and left as the limit says, walking the days in order.

    A level is entered when the figure is more likely than not beyond its edge. A band that is only wide alarms nobody:
    it asks for the reading that would settle it. A day without a figure (None) is calm. The latest day that settles a
    latch by itself decides, so the walk runs backwards and is short.
    """
    edges = [(Level.ACT, limit.act), (Level.WATCH, limit.watch)]
    return next(
        (level for level, edge in edges if edge is not None and _latched(days, band_of, limit, edge)), Level.STEADY
    )


def _on(band: Band, limit: Limit, edge: Edge) -> bool:
    return chance_beyond(band, edge.enter, above=limit.above) >= LIKELY


def _off(band: Band, limit: Limit, edge: Edge) -> bool:
    return chance_beyond(band, edge.leave, above=limit.above) < LIKELY


def _latched(days: Sequence[T], band_of: Callable[[T], Band | None], limit: Limit, edge: Edge) -> bool:
    for day in reversed(days):
        band = band_of(day)
        if band is None or _off(band, limit, edge):
            return False
        if _on(band, limit, edge):
            return True
    return False


TOLERANCE = "Edwards ed., Earthworm Ecology 2004, Table 18.3"
MITES = "NC State Extension, Controlling Mite Pests in Earthworm Beds"
PRACTICE = "common practice, no source"
OURS = "a margin of our own"
REACH = "air reach: Papendick & Campbell 1981, with zero-order oxygen uptake (textbook diffusion, from memory)"
NEW_BIN = PRACTICE

LEFT_SHARE = Limit(
    "share of the last feeding left", "fraction", True, Edge(0.50, 0.40), Edge(0.80, 0.70),
    f"never feed while over a third of the last feeding remains ({PRACTICE})",
)  # fmt: skip
OVERFED_DAYS = 6.0
TOO_LONG_DAYS = 14.0
"""Work that takes longer than this sours before it is eaten: feed is taken out again (ours)."""
HEAT_AHEAD_DAYS = 7
OWN_HEAT_C = 3.0
"""Under this rise the room is to blame, not the feed (ours)."""
BODY_WEIGHTS = Limit(
    "feed a day in the last week, in worms' weights", "", True, Edge(1.0, 0.85), None,
    "half to one body weight a day at most (extension rule; NYC Compost Project 2012)",
)  # fmt: skip
SURE_OF_DAYS = 2.5
"""Nine times in ten at least this much work must wait before it is called overfeeding; else a look is asked for."""
HOLD_DAYS = 3
"""No feed for so long at least, once a bin is far too wet, hot, cold or short of air, or shows a sign of it (ours)."""
HOLD_ABOVE_LEFT = 1 / 3
"""Never feed while over this share of the last feeding remains (common practice, no source)."""
TRIFLE_KG_M2 = 0.5
"""Feed waiting under this is a smear on the surface and overfeeds nothing (ours)."""
LITTLE_SHARE = 0.10
"""Sour or starchy feed up to this share of what may be fed today is little (ours; common practice: a small share)."""
LAYER_MAX_M = 0.04
LAYER = Limit(
    "thickness of the feed layer", "m", True, Edge(0.045, 0.038), Edge(0.07, 0.06),
    f"layers of 2.5-4 cm at most ({MITES})",
)  # fmt: skip
LOW_CN = Limit(
    "C:N of unfinished matter", "", False, Edge(17.0, 19.0), Edge(14.0, 15.5),
    "under about 15 the surplus nitrogen leaves as ammonia (a model choice of ours)",
)  # fmt: skip
ACID = Limit(
    "share of sour feed in two weeks", "fraction", True, Edge(0.50, 0.40), Edge(0.75, 0.65),
    f"sour feed a small part of the whole ({PRACTICE}); pH under 5 kills within a week (Kaplan et al. 1980)",
)  # fmt: skip
SOUR_DAYS, SOUR_OF_BIN, SOUR_HARMS = 2.0, 0.02, 0.15
"""Sour feed counts over two days' work and a fiftieth of the contents, and harms over a seventh of them (ours)."""
PH_LOW = Limit(
    "pH", "", False, Edge(5.8, 6.0), Edge(5.0, 5.3), f"pH over 5 and under 9 ({TOLERANCE}; Kaplan et al. 1980)"
)
PH_HIGH = Limit(
    "pH", "", True, Edge(8.6, 8.4), Edge(9.0, 8.7), f"pH over 5 and under 9 ({TOLERANCE}; Kaplan et al. 1980)"
)
AIR = Limit(
    "reach of air over depth of the contents", "fraction", False, Edge(1.0, 1.1), Edge(0.5, 0.6),
    f"{REACH}; free air space: watch under 30 % (Haug 1993, from memory), act under 20 % (Technical Note 24)",
)  # fmt: skip
DENSE = Limit(
    "free air space", "fraction", False, Edge(0.20, 0.23), None, "free air space under 20 % (Technical Note 24)"
)
FEW_PORES = 0.40
"""Share of air in the contents under which sources differ on how far it carries (ours; optimum 35-60 %)."""
AIR_CAREFUL = Limit(
    "careful reach of air over depth of the contents", "fraction", False, Edge(0.85, 0.95), None,
    "air reach by Millington & Quirk 1961, from memory, the more careful of two relations for wet pores; the margin "
    "is ours, for the foot of a bed is mostly finished and asks for little",
)  # fmt: skip
AIR_HEAP = Limit(
    "feed lying in a heap", "kg/m2", True, Edge(18.0, 13.0), None,
    "a heap of three centimetres burns where it lies and settles shut: ours, judged on made-up bins",
)  # fmt: skip
AIR_HEAP_REACH = 2.5
"""Where air would reach this many times the depth of the contents it gets into a heap as well (ours)."""
MIX_AIR = Limit(
    "free air space of a mix", "fraction", False, Edge(0.30, 0.30), Edge(0.20, 0.20),
    "watch under 30 % (Haug 1993, from memory), act under 20 % (Technical Note 24)",
)  # fmt: skip
STANDING = Limit(
    "water standing at the base", "m", True, Edge(0.015, 0.010), Edge(0.030, 0.020),
    "feed is 80-90 % water, and a box without drainage keeps it (San Mateo County RecycleWorks)",
)  # fmt: skip
FEW_WORMS = Limit(
    "worms to the square metre", "kg/m2", False, Edge(0.5, 0.65), Edge(0.20, 0.30),
    "start with 1.6-2.5 kg/m2 (NC State Extension AG-473-18; Ndegwa, Thompson & Das 2000)",
)  # fmt: skip
CROWDED = Limit(
    "worms to the square metre", "kg/m2", True, Edge(5.0, 4.5), Edge(8.0, 7.2),
    "do not plan above 5 kg/m2 (NC State Extension AG-473-18); crowded old stock eats about its own weight a week "
    "(Reeh 1992)",
)  # fmt: skip
FALLING = Limit(
    "share of the worms lost in four weeks", "fraction", True, Edge(0.20, 0.14), Edge(0.40, 0.30),
    f"a herd that is kept well holds or grows ({OURS})",
)  # fmt: skip
BARE_KG_M2 = 0.15
"""Feed waiting under this is next to none (ours)."""
HUNGRY = Limit(
    "days with next to no feed waiting", "days", True, Edge(7.0, 4.0), Edge(21.0, 14.0),
    "worms with nothing fall about 0.8 % a day (worked out from the model); they live on bedding for a while",
)  # fmt: skip
LATE_HARVEST = Limit(
    "days since the castings were due", "days", True, Edge(0.0, -1.0), Edge(42.0, 41.0),
    f"left too long, castings harm their makers (Earthworm Ecology 2004); six weeks is {OURS}",
)  # fmt: skip
FULL = Limit(
    "depth of the contents over the depth of the box", "fraction", True, Edge(0.92, 0.88), Edge(1.0, 0.97), OURS
)
HARVEST_NEAR_DAYS = 21
MAY_BE_READY = 0.10
"""So little of the share may be lacking, on the likely course, where castings may be ready by the upper end of the band
(ours, held to made-up bins: see the method page)."""
OLD_CHECK = Limit(
    "days since the bin was last looked at", "days", True, Edge(10.0, 9.0), None,
    f"the estimate leans on the model alone after that ({OURS})",
)  # fmt: skip
RAMP_OVER = Limit(
    "share of a new bin's ration given in a week", "fraction", True, Edge(1.5, 1.25), Edge(2.5, 2.0), NEW_BIN
)
LIME_KG_M2 = 0.05
"""A light dusting of crushed eggshell or calcium carbonate (common practice, no source)."""
BEDDING_AT_ONCE_M = 0.05
"""No more loose dry bedding than this in one go (ours)."""

_HOT: Mapping[Species, tuple[Edge, Edge]] = MappingProxyType({
    Species.EISENIA: (Edge(28.0, 27.0), Edge(30.0, 29.0)),
    Species.EUDRILUS: (Edge(30.0, 29.0), Edge(32.0, 31.0)),
    Species.PERIONYX: (Edge(30.0, 29.0), Edge(32.0, 31.0)),
    Species.DENDROBAENA: (Edge(25.5, 24.5), Edge(28.5, 27.5)),
})  # fmt: skip
_COLD: Mapping[Species, tuple[Edge, Edge]] = MappingProxyType({
    Species.EISENIA: (Edge(8.0, 9.0), Edge(4.0, 5.0)),
    Species.EUDRILUS: (Edge(17.0, 18.0), Edge(12.0, 13.0)),
    Species.PERIONYX: (Edge(15.0, 16.0), Edge(11.0, 12.0)),
    Species.DENDROBAENA: (Edge(7.0, 8.0), Edge(3.0, 4.0)),
})  # fmt: skip
COMFORT_C: Mapping[Species, tuple[float, float]] = MappingProxyType({
    Species.EISENIA: (15.0, 25.0),
    Species.EUDRILUS: (20.0, 28.0),
    Species.PERIONYX: (18.0, 28.0),
    Species.DENDROBAENA: (13.0, 23.0),
})  # fmt: skip
"""The band to be in, degC: around the best growth (Earthworm Ecology 2004, Table 18.3; its ends are ours), and always
within what the findings leave alone."""

_SPECIES_SOURCE = f"limits 4-30 C, 35 C is lethal ({TOLERANCE})"


def too_hot(species: Species) -> Limit:
    """Temperature of the bedding, degC, on the high side."""
    watch, act = _HOT[species]
    return Limit("temperature of the bedding", "degC", True, watch, act, _SPECIES_SOURCE)


def too_cold(species: Species) -> Limit:
    """Temperature of the bedding, degC, on the low side."""
    watch, act = _COLD[species]
    return Limit("temperature of the bedding", "degC", False, watch, act, _SPECIES_SOURCE)


def too_wet(settings: Settings) -> Limit:
    """Moisture, fraction: above the keeper's band by more than an eye can miss; act where the animals' range ends."""
    high = settings.moisture_high
    return Limit(
        "moisture", "fraction", True, Edge(high + 0.02, high + 0.005), Edge(max(0.90, high + 0.04), high + 0.03),
        f"75-85 % aimed at; the animals bear 60-90 % ({TOLERANCE})",
    )  # fmt: skip


def too_dry(settings: Settings) -> Limit:
    """Moisture, fraction, on the low side."""
    low = settings.moisture_low
    return Limit(
        "moisture", "fraction", False, Edge(low - 0.08, low - 0.06),
        Edge(min(0.62, low - 0.11), min(0.645, low - 0.085)),
        "75-85 % aimed at; growth falls off under 70 % (Dominguez & Edwards 1997), at 61 % half died (Reinecke & "
        "Venter 1985)",
    )  # fmt: skip


def overfed(interval_days: float) -> Limit:
    """Days of work waiting, for a keeper who feeds every ``interval_days``; always beyond what a ration gives.

    Set on made-up bins: nine in ten that pile up are told of.
    """
    watch = max(OVERFED_DAYS, interval_days + 0.5)
    return Limit(
        "days of work waiting", "days", True, Edge(watch, watch - 2.0), Edge(2.0 * watch, 2.0 * watch - 3.0),
        f"feed is to be gone within a few days ({MITES}); {OVERFED_DAYS:g} days, and twice that for harm, are ours",
    )  # fmt: skip
