"""How many steps high each layer of a bin is drawn, so that the drawing keeps to the state."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wormbin.drawing.textures import BEDDING, CASTINGS, FEED, WATER


@dataclass(frozen=True, slots=True)
class Section:
    """One compartment to draw: depths in m from the top down, worms in kg per m2 of surface.

    ``water_m`` is the depth at the base that stands in water; it overlaps the lowest layers. ``number`` is 1 for the
    lowest tray or the left half; ``name`` is what stands beside it. ``named`` layers are drawn in a row at least,
    however thin, even where only the eye saw them.
    """

    number: int
    feed_m: float
    bedding_m: float
    castings_m: float
    water_m: float = 0.0
    worms_kg_m2: float = 0.0
    name: str = ""
    named: tuple[str, ...] = ()

    @property
    def contents_m(self) -> float:
        """Depth of the contents, m; a depth that is negative or not a number counts as none."""
        return depth(self.feed_m) + depth(self.bedding_m) + depth(self.castings_m)


@dataclass(frozen=True, slots=True)
class Strata:
    """Layers in whole steps from the floor up, and the steps under water."""

    castings: int
    bedding: int
    feed: int
    water: int

    @property
    def top(self) -> int:
        """Steps from the floor to the surface."""
        return self.castings + self.bedding + self.feed

    def layer(self, step: int) -> str:
        """The layer at a step counted from the floor (0 is the lowest); empty in the air."""
        if step < self.castings:
            return CASTINGS
        if step < self.castings + self.bedding:
            return BEDDING
        return FEED if step < self.top else ""


def depth(value: float) -> float:
    """A depth that can be drawn: what is negative, infinite or not a number is 0."""
    return value if math.isfinite(value) and value > 0.0 else 0.0


def settle(heights: Sequence[float], room: int, within: int = 1) -> tuple[int, ...]:
    """Whole steps for layers whose heights are given in steps (>= 0), at most ``room`` in all.

    Each is drawn within ``within`` steps of its height, and their sum within one step of theirs. A layer that is there
    gets at least one step as long as that holds: with ``within`` over 1 the thickest gives way for the thin ones, else
    the later ones (the upper) have the better right.
    """
    whole = sum(heights)
    present = [i for i, height in enumerate(heights) if height > 0.0]
    steps = [math.floor(height) for height in heights]
    marks = sum(steps) + sum(1 for i in present if steps[i] == 0)
    total = min(max(round(whole), min(marks, math.ceil(whole)), 1 if present else 0), room)
    for i in reversed(present):
        if steps[i] == 0 and (sum(steps) < total or max(steps) > within > 1):
            steps[i] = 1
    for i in sorted(present, key=lambda i: steps[i] - heights[i]):
        if sum(steps) < total and steps[i] < heights[i]:
            steps[i] += 1
    while sum(steps) > total:
        steps[max(present, key=lambda i: steps[i])] -= 1
    return tuple(steps)


def strata(section: Section, step_m: float, room: int, row: int = 1) -> Strata:
    """The layers of a section in steps of ``step_m`` metres, ``row`` of them to a row, ``room`` from floor to top."""
    if room <= 0 or step_m <= 0.0:
        return Strata(0, 0, 0, 0)
    wanted = (depth(section.castings_m), depth(section.bedding_m), depth(section.feed_m))
    castings, bedding, feed = settle([height / step_m for height in wanted], room, row)
    (water,) = settle([min(depth(section.water_m) / step_m, room)], room)
    if FEED in section.named and castings + bedding < room:
        feed = max(feed, 1)
    return Strata(castings, bedding, feed, max(water, row) if WATER in section.named else water)
