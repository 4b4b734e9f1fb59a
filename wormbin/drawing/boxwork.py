"""The box around the contents: walls, lid or sheet, floor and drain, and the ruler marks down its left side."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.drawing.filling import Room
from wormbin.drawing.picture import Canvas
from wormbin.drawing.strata import depth
from wormbin.measures.units import INCH_M
from wormbin.records.bins import Cover

WALL, LID, DRAIN, RULE, RULER = "wall", "cover", "drain", "scale", "ruler"


@dataclass(frozen=True, slots=True)
class Scale:
    """The keeper's unit of length, for the marks at the left and the labels: how many m it is, and its name."""

    unit_m: float = 0.01
    name: str = "cm"

    def say(self, metres: float) -> str:
        """A depth in words: ``3 cm``, ``under 1 cm``."""
        count = depth(metres) / self.unit_m
        return f"under 1 {self.name}" if count < 0.75 else f"{count:.0f} {self.name}"


CENTIMETRES = Scale()
INCHES = Scale(INCH_M, "in")


@dataclass(frozen=True, slots=True)
class Frame:
    """The outside of the box in cells: left and right wall, first row inside, and what there is room for."""

    left: int
    right: int
    top: int
    lid: bool
    floor: bool
    walls: bool


def draw_box(canvas: Canvas, frame: Frame, rooms: list[Room], cover: Cover, drainage: bool, rim_m: float) -> None:
    """Draw walls up to the rim, a floor under every compartment, the cover on top and the drain in the lowest floor."""
    ascii = canvas.ascii
    left, right = frame.left, frame.right
    side = "|" if ascii else "┃"
    if frame.walls:
        for room in rooms:
            rim = max(room.top, room.row_of(max(rim_m - room.step_m / 2, 0.0)))
            for row in range(rim, room.floor + 1):
                canvas.set(room.left - 1, row, side, WALL)
                canvas.set(room.right + 1, row, side, WALL)
    if frame.floor:
        lowest = max(room.floor for room in rooms)
        for room in rooms:
            base = room.floor == lowest
            for x in range(room.left - 1, room.right + 2):
                holes = (drainage or not base) and (x - room.left) % 5 == 2
                canvas.set(x, room.floor + 1, _floor(ascii, holes, base), DRAIN if holes and base else WALL)
            if not frame.walls:
                continue
            ends = "++" if ascii else "┗┛" if base else "┣┫"
            canvas.set(room.left - 1, room.floor + 1, ends[0], WALL)
            canvas.set(room.right + 1, room.floor + 1, ends[1], WALL)
        for room in rooms[1:]:
            if frame.walls and room.left > left + 1:
                canvas.set(room.left - 1, room.floor + 1, "+" if ascii else "┻", WALL)
    if frame.lid:
        for x in range(left, right + 1):
            canvas.set(x, frame.top - 1, _lid(ascii, cover, x - left), LID)


def _floor(ascii: bool, hole: bool, base: bool) -> str:
    """Spouts in the floor of the bin, a mesh under each tray above it."""
    if ascii:
        return "=" if not hole else "v" if base else "."
    return "━" if not hole else "┳" if base else "╍"


def _lid(ascii: bool, cover: Cover, x: int) -> str:
    """A lid that closes is one thick slab; a loose sheet is thin and full of gaps."""
    if cover is Cover.CLOSED:
        return "=" if ascii else "▄"
    return "-~"[x % 2] if ascii else "╍"


def draw_scale(canvas: Canvas, frame: Frame, room: Room, scale: Scale, ruler_m: float | None) -> None:
    """Mark the height above the floor down the left wall, and where the ruler read the contents to be."""
    ascii = canvas.ascii
    row_units = room.step_m * room.steps / scale.unit_m
    gap = next((step for step in (1, 2, 5, 10, 20, 50, 100, 200, 500) if step >= 2.0 * row_units), None)
    if gap is None:
        return
    count = 0
    while (row := room.row_of(count * scale.unit_m)) >= room.top:
        canvas.set(frame.left, row, "+" if ascii else "┨", WALL)
        canvas.right(frame.left, row, str(count), RULE)
        count += gap
    if ruler_m is not None and depth(ruler_m) > 0.0:
        row = room.row_of(ruler_m - room.step_m / 2)
        if row >= room.top:
            canvas.write(frame.left - 3, row, "   ", RULE)
            canvas.set(frame.left - 1, row, ">" if ascii else "►", RULER)
            canvas.set(frame.right, row, "<" if ascii else "◄", RULER)
            for x in range(room.left, room.right + 1):
                if canvas.get(x, row) == " " and not canvas.role(x, row):
                    canvas.set(x, row, "-" if ascii else "┈", RULER)
