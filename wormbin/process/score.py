"""The program's own score: how often what was read lay in the band made before, and how much wider bands are for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import sqrt

from wormbin.science.constants import TENTH_SD

KEPT = 20
"""So many of the last readings of a quantity count."""
BEFORE = 8.0
"""So many readings that went as they should are taken to have come before any (ours)."""
WILD = 3.0
"""A reading further off than so many standard deviations counts as one that far off: it may be the keeper's slip."""
MOST = 2.0


def noted(offs: Sequence[float], off: float) -> list[float]:
    """The last readings with one more, each in standard deviations off what was expected."""
    return [*offs, off][-KEPT:]


def wider(offs: Sequence[float]) -> float:
    """How many times as wide a band has to be for the readings to have lain as far off as they did, 1 at least."""
    square = BEFORE + sum(min(off * off, WILD * WILD) for off in offs)
    return min(MOST, max(1.0, sqrt(square / (BEFORE + len(offs)))))


def held(scores: Mapping[str, Iterable[float]]) -> tuple[int, int]:
    """Of how many readings so many lay in the band, eight times in ten, that was made before."""
    offs = [abs(off) for each in scores.values() for off in each]
    return sum(off <= TENTH_SD for off in offs), len(offs)
