"""Fills one compartment of the drawing with its layers, and lets the worms into the top of them."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from wormbin.drawing.picture import Canvas, Dots
from wormbin.drawing.strata import (
    BEDDING,
    CASTINGS,
    FEED,
    WATER,
    WORM,
    WORM_ASCII,
    WORM_GLYPH,
    Section,
    Strata,
    depth,
    dotted,
    glyph,
    letter,
    scatter,
)

WORM_DEPTH_M = 0.15
"""Composting worms work the top 10 to 15 cm (common practice, no source); none are drawn deeper."""

CROWDED_KG_M2 = 8.0
"""The worm texture fills up towards its densest over this many kg per m2, so that few and many both tell apart."""

MOST_WORMS = 0.34
"""Share of the cells that can hold a worm at the very most."""


@dataclass(frozen=True, slots=True)
class Room:
    """Where one section is drawn: its inside in cells (ends included) and its layers in steps of ``step_m``."""

    section: Section
    left: int
    right: int
    top: int
    floor: int
    layers: Strata
    step_m: float
    steps: int
    """Steps of height in one row: 4 in unicode, 1 in ASCII."""

    def row_of(self, height_m: float) -> int:
        """The row in which a height above the floor falls."""
        return self.floor - math.floor(height_m / self.step_m / self.steps - 1e-9)

    def look(self, step: int) -> str:
        """What is seen at a step from the floor: the layer, or the water that stands in it; empty for air."""
        return WATER if step < self.layers.water else self.layers.layer(step)

    def rows(self) -> list[str]:
        """What fills each row, from the floor up: the layer that has most of it, empty for air.

        A layer too thin to fill any row takes the one that it touches, as long as the layer that gives it up stays
        within a row of its height; feed and water come first. A layer that is named takes one whatever it costs.
        """
        shares = [
            Counter(look for step in range(first, first + self.steps) if (look := self.look(step)))
            for first in range(0, (self.floor - self.top + 1) * self.steps, self.steps)
        ]
        found = [max(share, key=lambda look: share[look]) if share else "" for share in shares]
        named = self.section.named
        for thin in (FEED, WATER, CASTINGS, BEDDING):
            touched = [row for row, share in enumerate(shares) if share[thin]]
            if not touched or thin in found:
                continue
            row = max(touched, key=lambda row: shares[row][thin])
            if found[row] in named and found.count(found[row]) == 1:
                continue
            if thin in named or found.count(found[row]) - 1 >= self._height(found[row]) - 1.0:
                found[row] = thin
        for row, share in enumerate(shares):
            # A sliver of surface and half a row below can add up to more than a row too many: the neighbour takes it.
            wide = found[row]
            for other in share:
                if (
                    other != wide
                    and wide not in self.section.named
                    and self._excess(found, wide) > 1.0
                    and self._excess(found, other) <= 0.0
                ):
                    found[row] = other
        return found

    def _excess(self, found: list[str], look: str) -> float:
        """Rows that a layer has beyond its height."""
        return found.count(look) - self._height(look) if look in (FEED, BEDDING, CASTINGS) else 0.0

    def _height(self, look: str) -> float:
        """How many rows a layer is high in the state; water hides what stands in it, so that has no height here."""
        section = self.section
        if look == WATER or self.layers.water:
            return 0.0
        metres = {FEED: section.feed_m, BEDDING: section.bedding_m, CASTINGS: section.castings_m}[look]
        return depth(metres) / self.step_m / self.steps

    def filled(self, row: int) -> int:
        """How many steps of a row lie below the surface."""
        return min(max(self.layers.top - (self.floor - row) * self.steps, 0), self.steps)


def fill(canvas: Canvas, room: Room) -> None:
    """Draw the layers of a compartment."""
    columns, rows = room.right - room.left + 1, room.floor - room.top + 1
    if columns < 1 or rows < 1:
        return
    dots = Dots(columns, rows)
    if not canvas.ascii:
        for step in range(max(room.layers.top, room.layers.water)):
            look = room.look(step)
            for x in range(2 * columns):
                if dotted(look, x, step):
                    dots.dot(x, 4 * rows - 1 - step)
    roles = room.rows()
    for row in range(rows):
        role = roles[rows - 1 - row]
        for column in range(columns):
            if not role:
                continue
            up = rows - 1 - row
            if canvas.ascii:
                seen = letter(role, column, up)
            else:
                seen = glyph(role, column, up, room.filled(room.top + row), dots.glyph(column, row))
            canvas.set(room.left + column, room.top + row, seen, role)


def worms(canvas: Canvas, room: Room) -> None:
    """Put worms where worms are: in the top of the contents, most of them at the feed; more of them for more kg/m2.

    Places are taken in a fixed order, so that one worm more leaves the others where they were.
    """
    stocked = depth(room.section.worms_kg_m2)
    if stocked == 0.0:
        return
    places = _places(room)
    share = MOST_WORMS * (1.0 - math.exp(-stocked / CROWDED_KG_M2))
    count = min(len(places), max(1, round(share * sum(weight for weight, _, _ in places))))
    ranked = sorted(places, key=lambda place: (scatter(place[1], room.floor - place[2], 7) / place[0], place[1:]))
    for _, column, row in ranked[:count]:
        canvas.set(room.left + column, row, WORM_ASCII if canvas.ascii else WORM_GLYPH, WORM)


def _places(room: Room) -> list[tuple[float, int, int]]:
    """Cells that can hold a worm, as (how likely, column, row): off the walls, out of standing water."""
    surface = room.layers.top
    feed_floor = surface - room.layers.feed
    columns = range(1, room.right - room.left) if room.right - room.left >= 3 else range(room.right - room.left + 1)
    found: list[tuple[float, int, int]] = []
    for row in range(room.top, room.floor + 1):
        low = (room.floor - row) * room.steps
        middle = low + room.steps / 2
        if low < room.layers.water or middle > surface:
            continue
        deep_m = (surface - middle) * room.step_m
        if deep_m > WORM_DEPTH_M:
            continue
        near_feed_m = (feed_floor - middle) * room.step_m
        if room.layers.feed and near_feed_m < 0.0:
            weight = 0.5
        elif room.layers.feed and near_feed_m <= 0.05:
            weight = 1.0
        else:
            weight = 0.8 if deep_m <= 0.10 else 0.3
        found.extend((weight, column, row) for column in columns)
    return found
