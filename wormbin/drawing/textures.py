"""What each layer of a bin looks like: a pattern of dots per layer, anchored to the place so that it never flickers."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

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
