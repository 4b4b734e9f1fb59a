"""From a band and a limit to a level: how likely the limit is passed, and a latch so that nothing flaps on its edge."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import erfc, sqrt
from typing import TypeVar

from wormbin.figures import Band, Level
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
