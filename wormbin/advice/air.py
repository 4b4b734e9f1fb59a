"""The reach of air against the depth of the contents, as a band."""

from __future__ import annotations

from wormbin.figures import Band
from wormbin.process.views import Day


def air_share(day: Day) -> Band | None:
    """Reach of air over depth of the contents (1 is air to the bottom); None when there is nothing in the bin.

    Depth is the smaller doubt of the two (a ruler settles it), so the band is the reach's own over the likely depth.
    """
    depth = day.contents_m.p50
    return day.air_reach_m.times(1.0 / depth) if depth > 0.01 else None
