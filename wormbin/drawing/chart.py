"""A band chart: readings and the estimate so far, the look-ahead with its band, targets, today, and feedings below."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.drawing.axes import Measure, date_marks, even_days, round_values, spread
from wormbin.drawing.marks import plain, width_of
from wormbin.drawing.picture import Canvas, Dots, Picture
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


KEY = (("●", "read"), ("━━", "worked out"), ("⠒⠒", "ahead"), ("⢌⢌", "8 in 10 within"), ("╌╌", "target"))
KEY_ASCII = (("@", "read"), ("**", "worked out"), ("++", "ahead"), ("::", "8 in 10 within"), ("--", "target"))


ROOM_BEYOND = 1.2
"""Rows that are left above a limit which a reading passed, so that the reading stands above its line."""


def chart(
    series: Series,
    width: int,
    height: int,
    *,
    first: date | None = None,
    last: date | None = None,
    low: float | None = None,
    high: float | None = None,
    measure: Measure | None = None,
    event_word: str = "",
    least_gutter: int = 0,
    dates: bool = True,
    ascii: bool = False,
) -> Picture:
    """Draw ``series`` in ``width`` by ``height`` cells; ``first`` and ``last`` are the visible days (zoom and pan).

    ``low`` and ``high`` fix the ends of the value axis (SI). Charts with the same ``least_gutter`` for the words at the
    left stand under each other day for day; where another with ``dates`` stands below, one without them leaves its
    last rows to the curve. A few days more than asked for are seen where that makes the steps of the days even.
    Roles: ``past``, ``ahead``, ``band``, ``what-if``, ``reading``, ``questioned``, ``target``, ``today``, ``event``,
    ``planned``, ``axis``.
    """
    canvas = Canvas(width, height, ascii=ascii)
    if width < 1 or height < 1:
        return canvas.picture()
    span = series.span()
    start = _day(first) or (span[0] if span else None)
    end = _day(last) or (span[1] if span else None)
    measure = measure or Measure()
    if start is None or end is None:
        canvas.write(max((width - 12) // 2, 0), (height - 1) // 2, "nothing yet", AXIS)
        return canvas.picture()
    start, end = min(start, end), max(start, end)
    below = 0 if height < 3 else 1 if height == 3 or not dates else 3 if height >= 8 and series.events else 2
    rows = height - below
    bottom, top = _range(series, start, end, low, high, rows)
    wanted = _marks(series.target, bottom, top, rows, measure) if width >= 16 and height >= 3 else []
    gutter = max([width_of(text) for _, text in wanted] + [width_of(plain(event_word)) if below == 3 else 0])
    gutter = max(gutter, min(least_gutter, width // 6))
    if not wanted or gutter + 2 > width // 3:
        wanted, gutter = [], -1
    fine = (1, 1) if ascii else (2, 4)
    seen = even_days((end - start).days, width - gutter - 1, fine[0])
    end = min(start + timedelta(days=min(int(seen), (date.max - start).days)), date.max)
    plot = Plot(gutter + 1, width - gutter - 1, rows, start, end, bottom, top, fine, seen)
    draw_levels(canvas, plot, series)
    draw_courses(canvas, plot, series)
    draw_readings(canvas, plot, series)
    _values_axis(canvas, plot, wanted)
    if below:
        _days_axis(canvas, plot, series, below, event_word, dates=dates)
    return canvas.picture()


def _day(when: date | None) -> date | None:
    """The day of a date or datetime."""
    return None if when is None else date.fromordinal(when.toordinal())


def _within(day: date, first: date, last: date) -> bool:
    return first.toordinal() <= day.toordinal() <= last.toordinal()


def _range(
    series: Series, first: date, last: date, low: float | None, high: float | None, rows: int
) -> tuple[float, float]:
    """The values at the foot and the top: all that is seen, targets too, with a little air; never below 0 for air's
    sake alone. Beyond an edge of the target that is passed there is room for a reading."""
    edges = [edge for edge in series.target if edge is not None and drawable(edge)]
    values = [*series.values(first, last), *edges]
    bottom, top = min(values, default=0.0), max(values, default=1.0)
    air = (top - bottom) * 0.06 or abs(top) * 0.1 or 1.0
    foot = bottom - air if bottom < 0.0 or bottom - air >= 0.0 else 0.0
    roof = top + air
    read = [
        each.value
        for each in series.readings
        if _within(each.on, first, last) and drawable(each.value) and not each.questioned
    ]
    lower, upper = (edge if edge is not None and drawable(edge) else None for edge in series.target)
    share = min(ROOM_BEYOND / max(rows, 1), 0.3)
    for _ in range(4):  # room above takes from the room below, and the other way round
        if upper is not None and any(value > upper for value in read):
            roof = max(roof, (upper - share * foot) / (1.0 - share))
        if lower is not None and any(value < lower for value in read):
            below = (lower - share * roof) / (1.0 - share)
            foot = min(foot, below if bottom < 0.0 else max(below, 0.0))
    foot = low if low is not None and drawable(low) else foot
    roof = high if high is not None and drawable(high) else roof
    return (foot, roof) if roof > foot else (roof - 1.0, foot + 1.0)


def _marks(
    target: tuple[float | None, float | None], low: float, high: float, rows: int, measure: Measure
) -> list[tuple[float, str]]:
    """Values to mark at the left with their words: the edges of the target, then round ones not too near to them."""
    kept: list[tuple[float, str]] = []
    edges = [edge for edge in target if edge is not None and low <= edge <= high]
    sign = 1.0 if measure.factor >= 0.0 else -1.0
    foot, roof = sorted((low * measure.factor + measure.offset, high * measure.factor + measure.offset))
    rounds = [
        (shown - measure.offset) / (measure.factor or sign) for shown in round_values(foot, roof, max(rows // 3, 2))
    ]
    near = 1.5 * (high - low) / max(rows, 1)
    for value in edges:
        if all(abs(value - other) >= near / 1.5 for other, _ in kept):
            kept.append((value, plain(measure.say(value))))
    for value in rounds:
        text = plain(measure.say(value))
        if value <= (math.inf if measure.most is None else measure.most) * (1.0 + 1e-9) and all(
            abs(value - other) >= near and text != said for other, said in kept
        ):
            kept.append((value, text))
    return kept


def _values_axis(canvas: Canvas, plot: Plot, wanted: list[tuple[float, str]]) -> None:
    if plot.left == 0:
        return
    for row in range(plot.rows):
        canvas.set(plot.left - 1, row, "|" if canvas.ascii else "│", AXIS)
    for value, text in wanted:
        row = plot.row(value)
        if 0 <= row < plot.rows:
            canvas.set(plot.left - 1, row, "+" if canvas.ascii else "┤", AXIS)
            canvas.right(plot.left - 1, row, text, AXIS)


def _days_axis(canvas: Canvas, plot: Plot, series: Series, below: int, event_word: str, *, dates: bool) -> None:
    """The line under the plot with its marks, the feedings, and the dates; with one row only, the dates, or the line
    alone where the dates stand below another chart."""
    ascii, axis = canvas.ascii, plot.rows
    marks = [(plot.cell(day), text) for day, text in date_marks(plot.first, plot.last, plot.columns)]
    today = series.today
    named = marks
    if today is not None and plot.first <= today <= plot.last and plot.columns >= 12:
        named = [(plot.cell(today), "today"), *marks]
    if below > 1 or not dates:
        if plot.left:
            canvas.set(plot.left - 1, axis, "+" if ascii else "└", AXIS)
        for column in range(plot.columns):
            canvas.set(plot.left + column, axis, "-" if ascii else "─", AXIS)
        for column, _ in marks:
            canvas.set(plot.left + column, axis, "+" if ascii else "┬", AXIS)
        for event in series.events if below > 1 else ():
            if plot.sees(event.on):
                planned = series.is_planned(event)
                sign = ("," if planned else "'") if ascii else ("╵" if planned else "╹")
                canvas.set(plot.left + plot.cell(event.on), axis + (below == 3), sign, PLANNED if planned else EVENT)
        if below == 3 and plot.left:
            canvas.right(plot.left - 1, axis + 1, event_word, EVENT)
    for start, text in spread(named, plot.columns, len(named) - len(marks)) if dates else ():
        canvas.write(plot.left + start, axis + below - 1, text, TODAY if text == "today" else AXIS)


def chart_key(width: int, *, ascii: bool = False, event_word: str = "fed") -> str:
    """One line of ``width`` cells that says what the signs of a chart mean; what does not fit is left out."""
    signs = KEY_ASCII if ascii else KEY
    line = ""
    for sign, words in [*signs, ("'" if ascii else "╹", event_word)]:
        more = f"{'  ' if line else ''}{sign} {words}"
        if width_of(line + more) > width:
            break
        line += more
    return plain(line, width)


BARS = "▁▂▃▄▅▆▇█"
BARS_ASCII = "_.-=*#"


def spark(
    values: Sequence[float | None],
    width: int,
    *,
    low: float | None = None,
    high: float | None = None,
    ascii: bool = False,
) -> str:
    """``values`` in order as bars in exactly ``width`` cells, the last at the right.

    More values than cells are drawn as the mean of each cell's share; fewer stand at the right. A value that is missing
    or not a number leaves a blank. ``low`` and ``high`` are the ends of the scale; without them, those of the values.
    """
    if width < 1:
        return ""
    bars = BARS_ASCII if ascii else BARS
    cells = [_mean(part) for part in _shares(values, width)]
    known = [value for value in cells if value is not None]
    floor = low if low is not None and math.isfinite(low) else min(known, default=0.0)
    roof = high if high is not None and math.isfinite(high) else max(known, default=1.0)
    line = ""
    for value in cells:
        if value is None:
            line += " "
        elif roof / 2 - floor / 2 <= 0.0:
            line += bars[len(bars) // 2 - 1]
        else:
            # The halves keep the difference of very large numbers finite.
            share = (value / 2 - floor / 2) / (roof / 2 - floor / 2)
            line += bars[min(max(int(share * len(bars)), 0), len(bars) - 1)]
    return line.rjust(width)


def _shares(values: Sequence[float | None], width: int) -> list[Sequence[float | None]]:
    count = len(values)
    if count <= width:
        return [values[i : i + 1] for i in range(count)]
    return [values[i * count // width : (i + 1) * count // width] for i in range(width)]


def _mean(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None and math.isfinite(value)]
    return sum(value / len(known) for value in known) if known else None
