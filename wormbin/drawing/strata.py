"""How many steps high each layer of a bin is drawn, so that the drawing keeps to the state."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache


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


FEED, BEDDING, CASTINGS, WATER, WORM = "feed", "bedding", "castings", "water", "worm"

# In ASCII each layer has its own letters, picked by place: lumps, straws, crumbs, waves.
ASCII_LETTERS: dict[str, str] = {FEED: "%&%@%&%8", BEDDING: "/ -\\ _/ \\- ", CASTINGS: ":.:::;:.", WATER: "~"}
ASCII_SAMPLES: dict[str, str] = {FEED: "%@", BEDDING: "/\\", CASTINGS: ":.", WATER: "~~"}
WORM_GLYPH = "§"
WATER_GLYPH = "≈"
WORM_ASCII = "S"


def scatter(*place: int) -> int:
    """A steady pseudo-random number in 0 .. 2**32 - 1 for a place: the same place always gives the same number."""
    mixed = 0x9E3779B9
    for part in place:
        mixed = (mixed ^ (part & 0xFFFFFFFF)) * 0x85EBCA6B & 0xFFFFFFFF
        mixed ^= mixed >> 13
        mixed = mixed * 0xC2B2AE35 & 0xFFFFFFFF
        mixed ^= mixed >> 16
    return mixed


@lru_cache(maxsize=1 << 16)
def dotted(layer: str, x: int, y: int) -> bool:
    """Whether the dot ``x`` from the left and ``y`` from the floor of a layer's pattern is set (2 by 4 to a cell)."""
    return _DOTTED[layer](x, y)


def letter(layer: str, x: int, y: int) -> str:
    """The ASCII letter of a layer at a cell."""
    letters = ASCII_LETTERS[layer]
    return letters[scatter(x, y, 5) % len(letters)]


def glyph(layer: str, x: int, y: int, filled: int, bits: str) -> str:
    """The character of a cell, ``y`` rows from the floor, of which ``filled`` of the 4 steps belong to the layer.

    Feed is drawn in blocks, since it is what the keeper looks for first; water in waves; the rest in dots, which are
    handed in as ``bits``.
    """
    if layer == WATER:
        return WATER_GLYPH
    if layer != FEED:
        return bits
    shown = 0
    for half in (0, 1):
        if filled > half * 2:
            for side in (0, 1):
                if _lump(2 * x + side, 2 * y + half):
                    shown |= 1 << (2 * half + side)
    return QUADRANTS[shown]


def _lump(x: int, y: int) -> bool:
    """Lumps of three to five half cells with a gap after each, every second course shifted."""
    lump, within = divmod(x + 3 * (y % 2) + scatter(y, 11) % 2, 5)
    return within < 2 + scatter(lump, y, 12) % 3


def _feed(x: int, y: int) -> bool:
    """Where feed shares a cell with what lies below it."""
    return _lump(x, y // 2)


def _bedding(x: int, y: int) -> bool:
    """Shredded strips: short straws, each lying its own way, with air between them."""
    column, row = x // 5, y // 4
    dx, dy = x % 5, y % 4
    way = scatter(column, row, 3) % 5
    slip = scatter(column, row, 4) % 2
    if way == 0:
        return dx == dy + slip
    if way == 1:
        return dx == 3 - dy + slip
    if way == 2:
        return dy == 1 + slip
    if way == 3:
        return dy == (dx + slip) // 2
    return dy == 3 - (dx + slip) // 2


def _castings(x: int, y: int) -> bool:
    """Fine dark crumb: the densest pattern, an even grain with a few pores."""
    return scatter(x, y, 6) % 100 >= 9


def _water(x: int, y: int) -> bool:
    """Ripples: level lines that rise and fall by one dot."""
    line, within = divmod(y, 3)
    return within == (1 if (x + 2 * line) % 8 < 4 else 0)


_DOTTED: dict[str, Callable[[int, int], bool]] = {FEED: _feed, BEDDING: _bedding, CASTINGS: _castings, WATER: _water}

# Quarters of a cell by bit: lower left, lower right, upper left, upper right.
QUADRANTS = " ▖▗▄▘▌▚▙▝▞▐▟▀▛▜█"
