"""The bin cut open: cover, air, feed waiting, bedding, castings and water, to scale, with the worms as a texture."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from wormbin.drawing.filling import Room, fill, worms
from wormbin.drawing.marks import plain, width_of
from wormbin.drawing.picture import Canvas, Dots, Picture
from wormbin.drawing.strata import (
    ASCII_SAMPLES,
    BEDDING,
    CASTINGS,
    FEED,
    WATER,
    WORM,
    WORM_ASCII,
    WORM_GLYPH,
    Section,
    depth,
    dotted,
    glyph,
    strata,
)
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


@dataclass(frozen=True, slots=True)
class Callout:
    """One label: where it wants to stand, what it says at three lengths, and how soon it may be left out."""

    role: str
    says: tuple[str, str, str]
    """In full, in short, and in the fewest cells."""
    rank: int
    """0 is left out last."""
    part: int = 0
    """Index of the compartment that it speaks of."""
    row: int = 0
    swatch: str = ""


SWATCH = 3
"""Cells before the words: two of the layer's own texture and a space."""


def column_width(callouts: list[Callout], room: int, least_inner: int) -> int:
    """Cells to give to the labels out of ``room`` for box and labels; 0 when the box would get too narrow.

    Longer words only where the box stays wide as well: it is the picture that one looks at.
    """
    if not callouts:
        return 0
    for length, inner in enumerate((2 * least_inner, 3 * least_inner // 2, least_inner)):
        wanted = max(width_of(plain(callout.says[length])) for callout in callouts) + SWATCH
        if room - wanted >= inner:
            return wanted
    return 0


def write(canvas: Canvas, callouts: list[Callout], left: int, width: int, top: int, bottom: int) -> None:
    """Write the labels between the rows ``top`` and ``bottom``, in the order of their rows, none over another."""
    rows = bottom - top + 1
    told = sorted(callouts, key=lambda c: c.rank)[:rows]
    kept = sorted((c for c in callouts if c in told), key=lambda c: c.row)  # in one row as they were made: from the top
    at = [min(max(callout.row, top), bottom) for callout in kept]
    for i in range(1, len(at)):
        at[i] = max(at[i], at[i - 1] + 1)
    for i in range(len(at) - 1, -1, -1):
        at[i] = min(at[i], bottom - (len(at) - 1 - i))
    for callout, row in zip(kept, at, strict=True):
        canvas.write(left, row, callout.swatch, callout.role)
        text = next((text for text in callout.says if width_of(plain(text)) + SWATCH <= width), callout.says[-1])
        canvas.write(left + SWATCH, row, plain(text, width - SWATCH, ascii=canvas.ascii), "label")


MARGIN = 4
LEAST_INNER = 10
NAME_AT_MOST = 16


@dataclass(frozen=True, slots=True)
class Cut:
    """What the cutaway draws. Depths in m, worms in kg per m2 of surface.

    ``parts`` are the compartments by number, lowest or leftmost first: one of a plain bin, else trays one above
    another, or halves side by side when ``sideways``. ``box_depth_m`` is the inside depth of one. ``ruler_m`` is a
    depth of contents read from a ruler, drawn apart from the estimate. ``notes`` adds words to a label, by role
    (``feed``, ``bedding``, ``castings``, ``water``, ``worm``).
    """

    parts: tuple[Section, ...]
    box_depth_m: float
    cover: Cover = Cover.LOOSE
    ruler_m: float | None = None
    drainage: bool = True
    sideways: bool = False
    notes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


def cutaway(
    cut: Cut, width: int, height: int, *, ascii: bool = False, scale: Scale = CENTIMETRES, labels: bool = True
) -> Picture:
    """Draw the bin in ``width`` by ``height`` cells; any size is taken, from 1 by 1 up.

    Roles: ``wall``, ``cover``, ``drain``, ``scale``, ``ruler``, ``label``, ``worm``, ``feed``, ``bedding``,
    ``castings``, ``water``. In unicode a row holds four steps of height, in ASCII one. Trays that would get no row of
    their own are drawn as one, and the label says so.
    """
    canvas = Canvas(width, height, ascii=ascii)
    if width < 1 or height < 1:
        return canvas.picture()
    sections = cut.parts
    lid = height >= 6 and cut.cover is not Cover.OPEN
    floor = height >= 4
    deep = height - lid - floor
    stacked = not cut.sideways and len(sections) > 1
    if (stacked and deep < 3 * len(sections) - 1) or (cut.sideways and width < 5 * len(sections)):
        sections, stacked = (_merged(sections),), False
    storeys = len(sections) if stacked else 1
    rows = (deep - (storeys - 1)) // storeys
    top = height - floor - storeys * rows - (storeys - 1)
    walls = width >= 6
    margin = MARGIN if width >= 18 and height >= 6 else 0
    said = _callouts(cut, sections, scale) if labels and width >= 30 and height >= 5 else []
    words = column_width(said, width - margin - 4, LEAST_INNER * (1 if stacked else len(sections)))
    frame = Frame(margin, width - 1 - (words + 1 if words else 0), top, lid, floor, walls)
    rooms = _rooms(cut, sections, frame, rows, stacked, 1 if ascii else 4)
    for room in rooms:
        fill(canvas, room)
        worms(canvas, room)
    draw_box(canvas, frame, rooms, cut.cover, cut.drainage, depth(cut.box_depth_m))
    if margin:
        for room in rooms if stacked else rooms[:1]:
            draw_scale(canvas, frame, room, scale, None if stacked else cut.ruler_m)
    if words:
        placed = [_placed(callout, rooms[callout.part], cut, ascii) for callout in said]
        write(canvas, placed, frame.right + 2, words, top - lid, height - 1)
    return canvas.picture()


def _rooms(cut: Cut, sections: tuple[Section, ...], frame: Frame, rows: int, stacked: bool, steps: int) -> list[Room]:
    """Share the inside of the frame among the compartments; all have the same rows and the same scale."""
    highest = max([depth(cut.box_depth_m), *(section.contents_m for section in sections)])
    step_m = (highest or 1.0) / max(rows * steps, 1)
    edge = 1 if frame.walls else 0
    inner = frame.right - frame.left + 1 - 2 * edge
    rooms = []
    for index, section in enumerate(sections):
        left, right, base = frame.left + edge, frame.right - edge, frame.top + rows - 1
        if stacked:
            base = frame.top + (len(sections) - index) * (rows + 1) - 2
        elif len(sections) > 1:
            left = frame.left + edge + index * (inner + 1) // len(sections)
            right = frame.left + edge + (index + 1) * (inner + 1) // len(sections) - 2
        layers = strata(section, step_m, rows * steps, steps)
        rooms.append(Room(section, left, right, base - rows + 1, base, layers, step_m, steps))
    return rooms


def _merged(sections: tuple[Section, ...]) -> Section:
    """Compartments too small to be drawn apart, as one with the mean of their depths; its name says so."""
    count = len(sections)
    return Section(
        1,
        sum(depth(section.feed_m) for section in sections) / count,
        sum(depth(section.bedding_m) for section in sections) / count,
        sum(depth(section.castings_m) for section in sections) / count,
        sum(depth(section.water_m) for section in sections) / count,
        sum(depth(section.worms_kg_m2) for section in sections) / count,
        f"mean of {count} parts",
        tuple({layer for section in sections for layer in section.named}),
    )


def _callouts(cut: Cut, sections: tuple[Section, ...], scale: Scale) -> list[Callout]:
    """Everything worth a label, before it is known in which row it stands."""
    found = []
    for index, section in enumerate(sections):
        own = plain(section.name)
        name = plain(own, NAME_AT_MOST).rstrip() if width_of(own) > NAME_AT_MOST else own
        name = name or _name(cut, section.number, len(sections))
        beside = cut.sideways and len(sections) > 1
        if name and not beside:
            found.append(Callout("name", (name, name, name), 0, index))
        whose = f"{name}{':' if section.name else ''} " if beside else ""
        layers = (
            (FEED, "uneaten food", "feed", section.feed_m, 1),
            (BEDDING, "bedding", "bedding", section.bedding_m, 4),
            (CASTINGS, "castings", "castings", section.castings_m, 3),
            # Its height in the bed, between what stands in it: deeper than the water would lie alone.
            (WATER, "water up to", "water to", section.water_m, 2),
        )
        for role, words, word, tall, rank in layers:
            if depth(tall) == 0.0 and role in section.named:
                found.append(Callout(role, (f"{whose}{role} seen",) * 3, 0, index))
            elif depth(tall) > 0.0:
                rank = 0 if role in section.named else rank
                amount = scale.say(tall)
                about = amount if amount.startswith("under") else f"about {amount}"
                if role == WATER and about == amount:
                    words = word = "water"
                note = cut.notes.get(role, "") if len(sections) == 1 else ""
                full = f"{whose}{words} {about}" + (f", {note}" if note else "")
                least = f"{whose}{word} {about.replace('about ', '~').replace('under ', '<')}"
                found.append(Callout(role, (full, f"{whose}{word} {about}", least), rank, index))
        if depth(section.worms_kg_m2) > 0.0 and cut.notes.get(WORM) and len(sections) == 1:
            found.append(Callout(WORM, (f"worms {cut.notes[WORM]}", "worms", "worms"), 5, index))
    if cut.ruler_m is not None and depth(cut.ruler_m) > 0.0 and len(sections) == 1:
        read = scale.say(cut.ruler_m)
        found.append(Callout(RULER, (f"ruler read {read}", f"ruler {read}", f"ruler {read}"), 1))
    if not any(depth(section.contents_m) for section in sections):
        found.append(Callout("name", ("empty", "empty", "empty"), 0))
    return found


def _name(cut: Cut, number: int, count: int) -> str:
    if count == 1:
        return ""
    if not cut.sideways:
        return f"tray {number}"
    return ("left", "right")[number - 1] if count == 2 and number in (1, 2) else f"{number}."


def _placed(callout: Callout, room: Room, cut: Cut, ascii: bool) -> Callout:
    """The label at the middle of what it speaks of, with a sample of its texture."""
    layers = room.layers
    middle = {
        FEED: layers.top - layers.feed / 2,
        BEDDING: layers.castings + layers.bedding / 2,
        CASTINGS: (min(layers.water, layers.castings) + layers.castings) / 2,
        WATER: layers.water / 2,
        WORM: layers.top - layers.feed - 2.0 * room.steps,
        RULER: depth(cut.ruler_m or 0.0) / room.step_m - 0.5,
    }.get(callout.role)
    row = room.top if middle is None else room.row_of(max(middle, 0.0) * room.step_m)
    return replace(callout, row=max(row, room.top), swatch=_swatch(callout.role, ascii))


def _swatch(role: str, ascii: bool) -> str:
    """Two cells of a layer's own texture, the sign of the ruler, or a worm."""
    if role in (FEED, BEDDING, CASTINGS, WATER):
        if ascii:
            return ASCII_SAMPLES[role]
        dots = Dots(2, 1)
        for x in range(4):
            for y in range(4):
                dots.dot(x, 3 - y, dotted(role, x, y))
        return "".join(glyph(role, x, 0, 4, dots.glyph(x, 0)) for x in (0, 1))
    if role == WORM:
        return (WORM_ASCII if ascii else WORM_GLYPH) * 2
    return ("-" if ascii else "┈") * 2 if role == RULER else ""
