"""One quantity on one line: where it is, how sure that is, where it should be, and whether it was read."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from wormbin.drawing.axes import Measure
from wormbin.drawing.marks import basis_mark, beside_mark, level_mark, plain, to_ascii, width_of
from wormbin.drawing.picture import Canvas, Picture
from wormbin.drawing.series import in_order
from wormbin.figures import Band, Basis, Level

NAME, BAR, BAND, VALUE, TARGET, BASIS, ENDS = "name", "bar", "band", "value", "target", "basis", "scale"
LEAST_BAR = 10
TIGHT_BAR = 6
"""So short may a bar become before how sure a value is goes unsaid."""


@dataclass(frozen=True, slots=True)
class Gauge:
    """One quantity in its SI unit against its target, told as ``measure`` says.

    ``value`` is what to mark (None: not known). ``band`` is the 10-90 band around it, ``target`` the band to be in
    (either end may be None), ``low`` and ``high`` the ends of the scale. ``beside`` is "below" or "above" for a value
    outside the target, whatever the level says: it never wears the mark of steady. ``reading`` is the last one taken
    and ``age_days`` its age; one of today is told in ``read_words`` ("read 78% today"), where there is room, and
    marked on the bar beside the estimate. ``words`` is the value with its range as text, ``likely`` the likely value
    alone, ``target_words`` the band to be in.
    """

    title: str
    value: float | None
    low: float
    high: float
    target: tuple[float | None, float | None] = (None, None)
    band: Band | None = None
    basis: Basis = Basis.WORKED_OUT
    level: Level = Level.STEADY
    measure: Measure = field(default_factory=Measure)
    beside: str = ""
    code: str = ""
    words: str = ""
    target_words: str = ""
    reading: float | None = None
    age_days: int | None = None
    likely: str = ""
    read_words: str = ""

    @property
    def name(self) -> str:
        """The title; of a figure that is only ever read with the day of the reading."""
        if self.basis is not Basis.READ or self.age_days is None:
            return self.title
        return f"{self.title}, {f'{self.age_days} d ago' if self.age_days else 'today'}"

    @property
    def read(self) -> float | None:
        """The reading that is marked beside the estimate."""
        return self.reading if self.read_words else None

    def say(self, value: float) -> str:
        """A value of it in the keeper's unit."""
        return self.measure.say(value)

    @property
    def known(self) -> bool:
        """Whether there is a value to show."""
        return self.value is not None and math.isfinite(self.value)

    def shape(self, ascii: bool) -> str:
        """The shape of the level; a dot for what is not known, an arrow for what lies beside its target unalarmed."""
        if self.known and self.level is Level.STEADY and self.beside:
            return beside_mark(self.beside, ascii=ascii)
        return level_mark(self.level, ascii=ascii, word=False) if self.known else "." if ascii else "·"

    @property
    def role(self) -> str:
        """The level as a role, ``unknown`` without a value."""
        if not self.known:
            return "unknown"
        return Level.WATCH.value if self.level is Level.STEADY and self.beside else self.level.value

    @property
    def level_word(self) -> str:
        """ "steady", "watch", "act", or "below" and "above" for what lies beside its target with no finding on it."""
        return self.beside if self.level is Level.STEADY and self.beside else self.level.value

    def said(self, spread: bool = True) -> str:
        """The value, with half the width of its band before the unit of both: ``81 ±4 %``, ``570 ±200 g``."""
        if self.value is None or not math.isfinite(self.value):
            return "not known"
        said = self.say(self.value)
        half = _half(self) if spread else ""
        number = NUMBER.match(said)
        if not half or number is None:
            return said
        shown = float(number[0].replace(",", ""))
        if float(half[1:].replace(",", "")) > HARDLY_TIMES * abs(shown) > 0:
            return HARDLY
        return f"{number[0]} {half}{said[number.end() :]}"


HARDLY, HARDLY_TIMES = "hardly known", 5.0
"""What is said of a figure that may be off by more than so many times itself (ours)."""
NUMBER = re.compile(r"-?[\d.,]+")


def _half(gauge: Gauge) -> str:
    """Half the width of the band, to one digit, or two where the first is a one; nothing where it is not to be seen."""
    band = in_order(gauge.band) if gauge.band else None
    if band is None or gauge.value is None:
        return ""
    half = band.width / 2 * abs(gauge.measure.difference(gauge.value))
    if not math.isfinite(half) or not 0.001 <= half < 1e9:
        return ""
    power = math.floor(math.log10(half))
    digits = 2 if half / 10**power < 1.95 and half >= 9.5 else 1
    half = round(half, digits - 1 - power)
    return f"±{half:,.0f}" if half >= 1.0 else f"±{half:.1g}"


@dataclass(frozen=True, slots=True)
class _Layout:
    """Which parts a line has; bars of one block of gauges stand under each other."""

    ends: bool
    spread: bool
    basis: bool
    word: bool


BARE = _Layout(ends=False, spread=True, basis=False, word=False)
LAYOUTS = (
    _Layout(ends=True, spread=True, basis=True, word=True),
    _Layout(ends=True, spread=True, basis=True, word=False),
    _Layout(ends=True, spread=True, basis=False, word=False),
    BARE,
    _Layout(ends=False, spread=False, basis=False, word=False),
)


def gauge(one: Gauge, width: int, *, two_lines: bool = False, ascii: bool = False) -> Picture:
    """Draw one gauge in one line of ``width`` cells, or in two."""
    return gauges((one,), width, two_lines=two_lines, ascii=ascii)


def gauges(many: Sequence[Gauge], width: int, *, two_lines: bool = False, ascii: bool = False) -> Picture:
    """Draw gauges under each other with their names, bars and values in line.

    A line is: level shape, name, low end, bar, high end, value with its spread, basis, level word. As the width gets
    less, words are left out from the right; an estimate keeps its lozenge and a reading its disc to the last. Roles:
    the level (``steady``, ``watch``, ``act``, ``unknown``), ``name``, ``scale``, ``bar``, ``band``, ``target``,
    ``value``, ``basis``.
    """
    rows = len(many) * (2 if two_lines else 1)
    canvas = Canvas(width, rows, ascii=ascii)
    if width < 1 or not many:
        return canvas.picture()
    names = max(width_of(plain(one.name, ascii=ascii)) for one in many)
    if two_lines:
        for index, one in enumerate(many):
            _two(canvas, index * 2, one)
        return canvas.picture()
    for layout in LAYOUTS:
        widths = _widths(many, layout, ascii)
        bar = width - 2 - names - 1 - sum(widths)
        if bar >= (TIGHT_BAR if layout == BARE else LEAST_BAR):
            break
    else:
        names = max(width - 2 - 1 - sum(widths) - LEAST_BAR, 0)
        bar = LEAST_BAR if names >= 6 else 0
        if not bar:
            names = max(width - 2 - sum(widths), 0)
    for row, one in enumerate(many):
        _one(canvas, row, one, names, bar, layout, widths)
    return canvas.picture()


def _widths(many: Sequence[Gauge], layout: _Layout, ascii: bool) -> tuple[int, int, int, int, int]:
    """Cells for the low end, the high end, the value, the basis and the level word, each with the space before it."""

    def most(texts: list[str]) -> int:
        return max(width_of(plain(text, ascii=ascii)) for text in texts) + 1

    return (
        most([one.say(one.low) for one in many]) if layout.ends else 0,
        most([one.say(one.high) for one in many]) if layout.ends else 0,
        most([one.said(layout.spread) for one in many]) + 2,
        most([one.basis.value if one.known else "" for one in many]) if layout.basis else 0,
        most([one.level_word for one in many]) if layout.word else 0,
    )


def _one(
    canvas: Canvas, row: int, one: Gauge, names: int, bar: int, layout: _Layout, widths: tuple[int, int, int, int, int]
) -> None:
    ascii = canvas.ascii
    low, high, value, basis, _ = widths
    canvas.write(0, row, one.shape(ascii), one.role)
    canvas.write(2, row, plain(one.name, names, ascii=ascii), NAME)
    x = 2 + names + (1 if bar else 0)
    if layout.ends and bar:
        canvas.right(x + low - 1, row, one.say(one.low), ENDS)
        x += low
    if bar:
        draw_bar(canvas, x, row, bar, one)
        x += bar
    if layout.ends and bar:
        canvas.write(x + 1, row, one.say(one.high), ENDS)
        x += high
    if one.known:
        canvas.write(x + 1, row, basis_mark(one.basis, ascii=ascii), BASIS)
    room = max(min(value - 3, canvas.width - x - 3), 0)
    canvas.write(x + 3, row, plain(one.said(layout.spread), room, ascii=ascii), VALUE)
    x += value
    if layout.basis:
        canvas.write(x + 1, row, one.basis.value if one.known else "", BASIS)
        x += basis
    if layout.word:
        canvas.write(x + 1, row, one.level_word if one.known else "", one.role)


def _two(canvas: Canvas, row: int, one: Gauge) -> None:
    """Name and value over a bar as wide as there is room for."""
    ascii, width = canvas.ascii, canvas.width
    name = to_ascii(one.name) if ascii else one.name
    value = f"{basis_mark(one.basis, ascii=ascii)} {one.said()}" if one.known else one.said()
    noted = f"; {one.read_words}" if one.read_words else ""
    full = f" {one.basis.value}, {one.level_word}"
    for more in (noted + full, full, f" {one.basis.value}", ""):
        text = plain(value + (more if one.known else ""), ascii=ascii)
        if width_of(text) + 3 + min(width_of(plain(name)), 12) <= width:
            break
    canvas.write(0, row, one.shape(ascii), one.role)
    room = max(width - 3 - width_of(text), 0)
    canvas.write(2, row, plain(name, room), NAME)
    canvas.write(3 + room if room else 2, row, text, VALUE)
    low, high = plain(one.say(one.low), ascii=ascii), plain(one.say(one.high), ascii=ascii)
    bar = width - 4 - width_of(low) - width_of(high)
    if bar < LEAST_BAR:
        draw_bar(canvas, 0, row + 1, width, one)
        return
    x = canvas.write(2, row + 1, low, ENDS) + 1
    draw_bar(canvas, x, row + 1, bar, one)
    canvas.write(x + bar + 1, row + 1, high, ENDS)


def draw_bar(canvas: Canvas, x: int, row: int, cells: int, one: Gauge) -> None:
    """The scale with the target in brackets, the band shaded, and the value marked, an arrow off the scale."""
    ascii = canvas.ascii
    low_edge, high_edge = one.target
    target = (
        cell_of(low_edge, one, cells) if low_edge is not None else 0,
        cell_of(high_edge, one, cells) if high_edge is not None else cells - 1,
    )
    aimed = low_edge is not None or high_edge is not None
    band = in_order(one.band) if one.band and one.known else None
    for cell in range(cells):
        glyph, role = ("-" if ascii else "─"), BAR
        if aimed and target[0] <= cell <= target[1]:
            glyph, role = ("=" if ascii else "═"), TARGET
        if band is not None and cell_of(band.p10, one, cells) <= cell <= cell_of(band.p90, one, cells):
            glyph, role = (":" if ascii else "▒"), BAND
        if low_edge is not None and cell == target[0]:
            glyph, role = "[", TARGET
        if high_edge is not None and cell == target[1]:
            glyph, role = "]", TARGET
        canvas.set(x + cell, row, glyph, role)
    if one.value is None or not one.known or cells < 1:
        return
    if one.read is not None:
        at = min(max(cell_of(one.read, one, cells), 0), cells - 1)
        canvas.set(x + at, row, basis_mark(Basis.READ, ascii=ascii), BASIS)
    at = cell_of(one.value, one, cells)
    mark = basis_mark(one.basis, ascii=ascii)
    if at < 0 or at >= cells:
        mark = ("<" if ascii else "◄") if at < 0 else (">" if ascii else "►")
    canvas.set(x + min(max(at, 0), cells - 1), row, mark, VALUE)


def cell_of(value: float, one: Gauge, cells: int) -> int:
    """The cell of a value on the bar: -1 below the scale, ``cells`` above it."""
    span = one.high - one.low
    if not (math.isfinite(span) and span > 0.0) or math.isnan(value):
        return 0
    if value < one.low:
        return -1
    if value > one.high:
        return cells
    return round((value - one.low) / span * (cells - 1))
