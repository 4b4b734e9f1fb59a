"""The reach of air against the depth of the contents, as a band: by the usual relation, and by a more careful one."""

from __future__ import annotations

from wormbin.advice.limits import AIR_HEAP_REACH, FEW_PORES
from wormbin.figures import Band
from wormbin.process.views import Day
from wormbin.science.constants import WATER_KG_M3


def air_share(day: Day) -> Band | None:
    """Reach of air over depth of the contents (1 is air to the bottom); None when there is nothing in the bin.

    Depth is the smaller doubt of the two (a ruler settles it), so the band is the reach's own over the likely depth.
    """
    depth = day.contents_m.p50
    return day.air_reach_m.times(1.0 / depth) if depth > 0.01 else None


def careful_share(day: Day, area_m2: float) -> Band | None:
    """The same by Millington & Quirk 1961 (from memory) where air is under ``FEW_PORES`` of the contents; else None.

    Sources differ on how far air gets through wet pores. Theirs is FAS^(10/3) / pores^2 in place of FAS^2, about half
    the reach in a dense bed; in a loose one they agree. ``area_m2`` is the surface of the bin.
    """
    share, free = air_share(day), day.free_air_space.p50
    if share is None or free >= FEW_PORES or area_m2 <= 0.0:
        return None
    water = day.total_kg.p50 * day.moisture.p50 / WATER_KG_M3 / (area_m2 * day.contents_m.p50)
    return share.times(min(1.0, free ** (2.0 / 3.0) / min(1.0, max(1e-9, free + water))))


def heap_kg_m2(day: Day, area_m2: float) -> Band | None:
    """Feed waiting, kg fresh a square metre; None where air reaches so deep that it gets into a heap as well."""
    share = air_share(day)
    if share is None or share.p50 >= AIR_HEAP_REACH or area_m2 <= 0.0:
        return None
    return day.feed_waiting_kg.times(1.0 / area_m2)
