"""The box that all courses share, and what of it each compartment has."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.process.flows import Box
from wormbin.process.parameters import Parameters
from wormbin.process.pools import QUICK, WATER, Array
from wormbin.records.bins import Bin, Cover


@dataclass(frozen=True, slots=True)
class Housing:
    """One ``Box`` a compartment when it is the uppermost, and when others lie above it."""

    open_above: tuple[Box, ...]
    covered: tuple[Box, ...]
    sideways: bool
    depth_m: float
    area_m2: float

    def boxes(self, likely: Array) -> tuple[Box, ...]:
        """The box of each compartment as things lie now, by what is in them on the likely course, ``(SIZE, parts)``.

        In a stack only the uppermost filled tray dries freely.
        """
        parts = likely.shape[1]
        if self.sideways or parts == 1:
            return self.open_above
        top = max((i for i in range(parts) if likely[WATER, i] > 0.0 or likely[4 + QUICK, i] > 0.0), default=0)
        return tuple(self.open_above[i] if i >= top else self.covered[i] for i in range(parts))


def housing_of(
    bin_: Bin, p: Parameters, bulk: float = 1.0, *, held: bool = False, humidity: float | None = None
) -> Housing:
    """The boxes of a bin; trays above the lowest always let water through. ``bulk`` as learned from the ruler."""
    dries = {Cover.OPEN: p.evaporation_open, Cover.LOOSE: p.evaporation_loose, Cover.CLOSED: p.evaporation_closed}[
        bin_.cover
    ]

    def box(number: int, evaporation: float) -> Box:
        drained = bin_.drainage or (number > 0 and not bin_.sideways)
        return Box(bin_.surface_m2, evaporation, drained, str(bin_.species.value), bulk, held, humidity)

    numbers = range(max(1, bin_.compartments))
    return Housing(
        tuple(box(n, dries) for n in numbers),
        tuple(box(n, dries * p.evaporation_under) for n in numbers),
        bin_.sideways,
        bin_.depth_m,
        bin_.surface_m2,
    )
