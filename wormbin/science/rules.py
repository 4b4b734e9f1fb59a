"""Figures of United States rules and guidance on manure, heat and organic growing, to record by; not legal advice.

A keeper elsewhere has other rules. Whoever sells or certifies asks the authority and the certifier first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

HOT_C = 55.0
"""Temperature of a hot pile, degC; 131 F (7 CFR 205.203)."""
HOT_DAYS_IN_VESSEL = 3
HOT_DAYS_WINDROW = 15
HOT_TURNS_WINDROW = 5
HOT_START_CN = (25.0, 40.0)
"""Starting C:N of a hot pile (7 CFR 205.203)."""
MANURE_DAYS_TOUCHING_SOIL = 120
"""Days from raw manure to harvest where the crop touches the soil (7 CFR 205.203)."""
MANURE_DAYS_OFF_SOIL = 90
"""The same where the crop does not touch the soil (7 CFR 205.203)."""


@dataclass(frozen=True, slots=True)
class OrganicGuidance:
    """What guidance for organic growers asks of castings: layers, moisture, and the time of each way of keeping."""

    layer_days: tuple[int, int]
    moisture: tuple[float, float]
    least_days: dict[str, int]
    source: str


ORGANIC = OrganicGuidance(
    layer_days=(1, 3),
    moisture=(0.70, 0.90),
    least_days={"outdoor windrow": 365, "indoor container": 122, "wedge": 122, "continuous flow": 60},
    source="NOSB Compost Task Force 2002: thin layers every 1-3 days; 12 months, 4 months, 4 months, 60 days",
)


def manure_wait_days(touches_soil: bool) -> int:
    """Days between raw manure and harvest (7 CFR 205.203)."""
    return MANURE_DAYS_TOUCHING_SOIL if touches_soil else MANURE_DAYS_OFF_SOIL


def hot_phase_met(daily_low_c: Sequence[float], *, turns: int, in_vessel: bool) -> bool:
    """Whether a hot pile's record meets 7 CFR 205.203: 55 C for 3 days in a row in a vessel, or 15 days and 5 turns.

    ``daily_low_c`` is each day's lowest reading, in order, degC. A worm bin itself never gets there and must not.
    """
    longest = run = 0
    for reading in daily_low_c:
        run = run + 1 if reading >= HOT_C else 0
        longest = max(longest, run)
    if in_vessel:
        return longest >= HOT_DAYS_IN_VESSEL
    return longest >= HOT_DAYS_WINDROW and turns >= HOT_TURNS_WINDROW


def hot_start_off_by(cn: float) -> float:
    """How far a starting C:N lies outside 25-40: below is negative, inside 0, above positive."""
    low, high = HOT_START_CN
    return cn - low if cn < low else max(0.0, cn - high) if cn < inf else inf
