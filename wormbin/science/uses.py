"""How much castings go on pots and beds, into a potting mix and into an aerated extract."""

from __future__ import annotations

from math import pi
from typing import Final

POTTING_SHARE: Final = (0.10, 0.20)
"""Share of a potting mix by volume that grew seedlings best (Atiyeh et al. 2000)."""
POTTING_MOST: Final = 0.40
"""No more than this: salts and waterlogging set plants back (after Atiyeh et al. 2000)."""
DRESSING_M: Final = 0.01
"""Thickness strewn on top of a bed or pot, m (common practice, no source)."""
EXTRACT_WATER_PARTS: Final = 10.0
"""Parts of water to one of castings by volume (Ohio State, BioCycle 2007)."""
EXTRACT_HOURS: Final = 24
"""Hours under air, at most (Ohio State, BioCycle 2007)."""


def dressing_l(area_m2: float) -> float:
    """Litres of castings to strew over a surface."""
    return area_m2 * DRESSING_M * 1000.0


def pots_m2(number: float, across_m: float) -> float:
    """Surface of so many round pots, m2."""
    return number * pi * across_m**2 / 4.0


def extract_l(water_l: float) -> float:
    """Litres of castings for so much water."""
    return water_l / EXTRACT_WATER_PARTS
