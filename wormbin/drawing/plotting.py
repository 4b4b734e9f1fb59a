"""Puts courses, readings, targets and today on the plot of a chart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from wormbin.drawing.picture import Canvas, Dots
from wormbin.drawing.series import Column, Series, columns, day_number, drawable

PAST, AHEAD, BAND, WHAT_IF = "past", "ahead", "band", "what-if"
READING, QUESTIONED, TARGET, TODAY = "reading", "questioned", "target", "today"
EVENT, PLANNED, AXIS = "event", "planned", "axis"


@dataclass(frozen=True, slots=True)
class Plot:
    """The part of a chart with the curves: its place in cells, its days, and the values at its foot and top."""

    left: int
    columns: int
    rows: int
    first: date
    last: date
    low: float
    high: float
    fine: tuple[int, int]
    """Steps across and down in each cell."""
    days: float = 0.0
    """Days from the first to the last step across; 0 for those from ``first`` to ``last``."""

    @property
    def length(self) -> float:
        """The days that are seen."""
        return self.days or float((self.last - self.first).days or 1)

    def sees(self, day: date) -> bool:
        """Whether a day is in the visible range."""
        return self.first.toordinal() <= day.toordinal() <= self.last.toordinal()

    def across(self, day: date) -> int:
        """The fine column of a day, within the plot."""
        steps = self.columns * self.fine[0] - 1
        share = (day_number(day) - self.first.toordinal()) / self.length
        return round(min(max(share, 0.0), 1.0) * steps)

    def cell(self, day: date) -> int:
        """The column of a day, counted from the plot's left."""
        return self.across(day) // self.fine[0]

    def down(self, value: float) -> int:
        """The fine row of a value, 0 at the top; just outside for a value beyond the axis."""
        steps = self.rows * self.fine[1]
        where = (self.high - value) / ((self.high - self.low) or 1.0) * (steps - 1)
        return round(min(max(where, -2.0), steps + 1.0))

    def row(self, value: float) -> int:
        """The row of a value, -1 or ``rows`` when it lies outside."""
        return self.down(value) // self.fine[1]


def draw_levels(canvas: Canvas, plot: Plot, series: Series) -> None:
    """The edges of the target as broken level lines, and today as an upright one."""
    ascii = canvas.ascii
    for edge in series.target:
        if edge is not None and drawable(edge) and 0 <= plot.row(edge) < plot.rows:
            for column in range(plot.columns):
                canvas.set(plot.left + column, plot.row(edge), "- "[column % 2] if ascii else "╌", TARGET)
    if series.today is not None and plot.sees(series.today):
        for row in range(plot.rows):
            canvas.set(plot.left + plot.cell(series.today), row, "|" if ascii else "┊", TODAY)


def draw_courses(canvas: Canvas, plot: Plot, series: Series) -> None:
    """The estimate so far (a solid line in a faint band), the look-ahead (a broken line in a shaded one), the what-if.

    A line stands over bands, a band over blank cells only: targets and today stay to be seen through it.
    """
    join = series.past[-1:] if series.ahead and series.past and series.past[-1].on < series.ahead[0].on else ()
    start = float(plot.first.toordinal())
    end = start + plot.length
    count = plot.columns * plot.fine[0]
    past = columns(series.past, start, end, count)
    ahead = columns((*join, *series.ahead), start, end, count)
    what_if = columns(series.what_if, start, end, count)
    if canvas.ascii:
        for course, band in ((past, "."), (ahead, ":")):
            _letters(canvas, plot, course, band, BAND, lambda column: (column.low, column.high))
        for course, line, role in ((past, "*", PAST), (ahead, "+", AHEAD), (what_if, "x", WHAT_IF)):
            _letters(canvas, plot, course, line, role, lambda column: (column.line_low, column.line_high))
        return
    dots = Dots(plot.columns, plot.rows)
    kinds: dict[tuple[int, int], str] = {}
    _shade(plot, dots, kinds, past, lambda x, y: x % 4 == 0 and (x // 4 + y) % 3 == 0)
    _shade(plot, dots, kinds, ahead, lambda x, y: x % 2 == 0 and (x // 2 + y) % 2 == 0)
    for course, role, gap in ((past, PAST, 0), (ahead, AHEAD, 6), (what_if, WHAT_IF, 2)):
        _line(plot, dots, kinds, course, role, gap)
    for (column, row), role in kinds.items():
        if role != BAND or canvas.get(plot.left + column, row) == " ":
            canvas.set(plot.left + column, row, dots.glyph(column, row), role)


def _letters(
    canvas: Canvas,
    plot: Plot,
    course: dict[int, Column],
    sign: str,
    role: str,
    run: Callable[[Column], tuple[float, float]],
) -> None:
    for x, column in course.items():
        low, high = run(column)
        for y in range(max(plot.down(high), 0), min(plot.down(low), plot.rows - 1) + 1):
            if role != BAND or canvas.get(plot.left + x, y) == " ":
                canvas.set(plot.left + x, y, sign, role)


def _shade(
    plot: Plot,
    dots: Dots,
    kinds: dict[tuple[int, int], str],
    course: dict[int, Column],
    pattern: Callable[[int, int], bool],
) -> None:
    """Fill the band with a pattern of dots, leaving some air around the line so that it stands out."""
    for x, column in course.items():
        top, foot = max(plot.down(column.high), 0), min(plot.down(column.low), plot.rows * 4 - 1)
        line_top, line_foot = plot.down(column.line_high) - 2, plot.down(column.line_low) + 2
        for y in range(top, foot + 1):
            kinds[x // 2, y // 4] = BAND
            if pattern(x, y) and not line_top <= y <= line_foot:
                dots.dot(x, y)


def _line(
    plot: Plot, dots: Dots, kinds: dict[tuple[int, int], str], course: dict[int, Column], role: str, gap: int
) -> None:
    """Draw the likely line; with ``gap`` every gap-th column of dots is left out, but where the line is steep."""
    for x, column in course.items():
        top, foot = max(plot.down(column.line_high), 0), min(plot.down(column.line_low), plot.rows * 4 - 1)
        if gap and x % gap == gap - 1 and foot - top < 2:
            continue
        for y in range(top, foot + 1):
            dots.dot(x, y)
            kinds[x // 2, y // 4] = role


def draw_readings(canvas: Canvas, plot: Plot, series: Series) -> None:
    """Readings as discs over everything else, those off the axis as arrows; questioned ones as question marks, at the
    edge where they lie off the axis."""
    ascii = canvas.ascii
    for reading in sorted(series.readings, key=lambda reading: not reading.questioned):
        if not plot.sees(reading.on) or not drawable(reading.value):
            continue
        row = beyond_its_limit(plot, series, reading.value)
        sign = "?" if reading.questioned else "@" if ascii else "●"
        if (row < 0 or row >= plot.rows) and not reading.questioned:
            sign = ("^" if ascii else "↑") if row < 0 else ("v" if ascii else "↓")
        role = QUESTIONED if reading.questioned else READING
        canvas.set(plot.left + plot.cell(reading.on), min(max(row, 0), plot.rows - 1), sign, role)


def beyond_its_limit(plot: Plot, series: Series, value: float) -> int:
    """The row of a reading: its value's, or where a limit that it passes is drawn in that row, the next one out."""
    row = plot.row(value)
    for edge, out in zip(series.target, (1, -1), strict=True):
        if edge is not None and drawable(edge) and (edge - value) * out > 0 and plot.row(edge) == row:
            return row + out if 0 <= row + out < plot.rows else row
    return row
