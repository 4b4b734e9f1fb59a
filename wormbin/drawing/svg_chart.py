"""A band chart as an SVG picture to print: legible in black and white, each thing told from the others by its shape."""

from __future__ import annotations

import html
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.drawing.axes import Measure, date_marks, day_month, round_values
from wormbin.drawing.marks import plain
from wormbin.drawing.series import Point, Reading, Series, drawable

WIDTH, HEIGHT = 720, 250
LEFT, RIGHT, TOP, FOOT = 62, 14, 30, 44
LETTER = 8
"""Width that a letter of a date mark takes, in units of the picture."""
LEVELS = 6
AIR = 0.06
"""Room above the highest and below the lowest value, as a share of what they span."""
MOST_STRETCH = 1.0
"""A target limit is drawn when the axis grows by no more than this share for it; else it is told in words."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The box that everything is drawn in: days across, SI values up. Nothing leaves it, whatever it is given."""

    first: date
    last: date
    low: float
    high: float

    def x(self, on: date) -> float:
        """Where a day stands."""
        days = max((self.last - self.first).days, 1)
        share = min(max((on - self.first).days / days, 0.0), 1.0)
        return round(LEFT + share * (WIDTH - LEFT - RIGHT), 1)

    def y(self, value: float) -> float:
        """Where a value stands; one beyond the axis stands on its end."""
        share = min(max((value - self.low) / (self.high - self.low), 0.0), 1.0)
        return round(HEIGHT - FOOT - share * (HEIGHT - FOOT - TOP), 1)

    def holds(self, on: date) -> bool:
        """Whether a day lies in the box."""
        return self.first <= on <= self.last


def svg_chart(
    series: Series,
    measure: Measure,
    *,
    name: str,
    title: str,
    words: str,
    first: date,
    last: date,
    ends: tuple[float, float] | None = None,
) -> str:
    """The chart from ``first`` to ``last`` as one ``svg`` element; ``name`` is unique on its page (letters only).

    ``words`` say the same to whoever cannot see it. What was done is a stroke at the foot, what is planned an open
    mark. Text is escaped here. ``ends`` fix the value axis (SI), so that charts beside each other have the same.
    """
    frame = Frame(first, last, *(ends or _ends(series, measure, first, last)))
    parts = [
        f'<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-labelledby="{name}-t {name}-d">',
        f'<title id="{name}-t">{_said(title)}</title><desc id="{name}-d">{_said(words)}</desc>',
        f'<defs><pattern id="{name}-h" width="7" height="7" patternUnits="userSpaceOnUse">',
        '<path d="M0 7L7 0" class="hatch"/></pattern></defs>',
        *_window(frame, series.harvest, name),
        *_axes(frame, measure),
        *_course(frame, series.past, "past"),
        *_course(frame, series.ahead, "ahead"),
        *_limits(frame, measure, series.target),
        *_today(frame, series.today),
        *_foot(frame, series),
        *(_reading(frame, each) for each in series.readings if frame.holds(each.on) and drawable(each.value)),
        "</svg>",
    ]
    return "".join(parts)


def _said(text: str) -> str:
    return html.escape(plain(text))


def _ends(series: Series, measure: Measure, first: date, last: date) -> tuple[float, float]:
    """The ends of the value axis: everything to be seen, and the target's limits where they are near."""
    values = [value for value in series.values(first, last) if drawable(value)]
    low, high = min(values, default=0.0), max(values, default=0.0)
    for limit in series.target:
        if limit is None or not drawable(limit):
            continue
        wide, span = max(high, limit) - min(low, limit), high - low
        if not values or wide <= span * (1 + MOST_STRETCH) or wide <= 0.25 * max(abs(limit), 1e-9):
            low, high = min(low, limit), max(high, limit)
    room = (high - low) * AIR or max(abs(high) * 0.1, 1e-3)
    low, high = low - room, high + room
    if measure.least is not None:
        low = max(low, measure.least)
    if measure.most is not None:
        high = min(high, measure.most)
    return (low, high) if high > low else (low, low + max(abs(low) * 0.1, 1e-3))


def in_view(limit: float, series: Series, measure: Measure, first: date, last: date) -> bool:
    """Whether a limit has its line in the chart; where it has not it must be told in words."""
    low, high = _ends(series, measure, first, last)
    return low <= limit <= high


def _axes(frame: Frame, measure: Measure) -> Iterator[str]:
    floor, end = HEIGHT - FOOT, WIDTH - RIGHT
    low, high = sorted((measure.shown(frame.low), measure.shown(frame.high)))
    yield f'<text x="{LEFT - 6}" y="{TOP - 14}" class="mark" text-anchor="end">{_said(measure.unit)}</text>'
    for mark in round_values(low, high, LEVELS):
        y = frame.y((mark - measure.offset) / measure.factor)
        yield f'<path d="M{LEFT} {y}H{end}" class="grid"/>'
        yield f'<text x="{LEFT - 6}" y="{y + 4:.1f}" class="mark" text-anchor="end">{mark:.6g}</text>'
    yield f'<path d="M{LEFT} {TOP}V{floor}H{end}" class="axis"/>'
    for on, label in date_marks(frame.first, frame.last, (WIDTH - LEFT - RIGHT) // LETTER):
        x = frame.x(on)
        anchor = "end" if x > end - 20 else "middle"
        yield f'<path d="M{x} {floor}v5" class="axis"/>'
        yield f'<text x="{x}" y="{floor + 30}" class="mark" text-anchor="{anchor}">{label}</text>'


def _course(frame: Frame, points: Sequence[Point], kind: str) -> Iterator[str]:
    """A band with its likely line: a plain edge for what is past, a dotted one for what lies ahead."""
    seen = [
        each
        for each in points
        if frame.holds(each.on) and all(drawable(v) for v in (each.band.p10, each.band.p50, each.band.p90))
    ]
    if not seen:
        return
    upper = [f"{frame.x(each.on)},{frame.y(each.band.p90)}" for each in seen]
    lower = [f"{frame.x(each.on)},{frame.y(each.band.p10)}" for each in reversed(seen)]
    likely = [f"{frame.x(each.on)},{frame.y(each.band.p50)}" for each in seen]
    yield f'<polygon points="{" ".join((*upper, *lower))}" class="band {kind}"/>'
    yield f'<polyline points="{" ".join(likely)}" class="likely {kind}"/>'


def _limits(frame: Frame, measure: Measure, target: tuple[float | None, float | None]) -> Iterator[str]:
    for limit, words, under in zip(target, ("from", "up to"), (-4, 12), strict=True):
        if limit is not None and drawable(limit) and frame.low <= limit <= frame.high:
            y = frame.y(limit)
            # The words keep to the inner side of the box where the limit lies at its very end.
            beside = y + (12 if y - TOP < 12 else -4 if HEIGHT - FOOT - y < 14 else under)
            yield f'<path d="M{LEFT} {y}H{WIDTH - RIGHT}" class="limit"/>'
            told = _said(f"target {words} {measure.say(limit)}")
            yield f'<text x="{LEFT + 5}" y="{beside:.1f}" class="mark halo">{told}</text>'


def _today(frame: Frame, today: date | None) -> Iterator[str]:
    if today is not None and frame.holds(today):
        x = frame.x(today)
        anchor, beside = ("end", x - 4) if x > WIDTH / 2 else ("start", x + 4)
        yield f'<path d="M{x} {TOP - 8}V{HEIGHT - FOOT}" class="today"/>'
        yield f'<text x="{beside:.1f}" y="{TOP - 4}" class="mark" text-anchor="{anchor}">{day_month(today)}</text>'


def _window(frame: Frame, harvest: tuple[date | None, date | None, date | None], name: str) -> Iterator[str]:
    """The harvest window as a hatched field, open to the right when its end lies beyond the look-ahead."""
    earliest, likely, latest = harvest
    begins = earliest or likely
    if begins is None or begins > frame.last or (latest is not None and latest < frame.first):
        return
    x, end = frame.x(begins), frame.x(latest or frame.last)
    if end > x:  # what is due has one day and no width
        yield (
            f'<rect x="{x}" y="{TOP}" width="{end - x:.1f}" height="{HEIGHT - FOOT - TOP}" class="window" '
            f'fill="url(#{name}-h)"/>'
        )
    if likely is not None and frame.holds(likely):
        at = frame.x(likely)
        yield f'<path d="M{at} {TOP}V{HEIGHT - FOOT}" class="harvest"/>'
    called = "harvest window" if end > x else "harvest"
    middle = min(max((x + end) / 2, LEFT + 60), WIDTH - RIGHT - 60)
    yield f'<text x="{middle:.1f}" y="{TOP - 16}" class="mark" text-anchor="middle">{called}</text>'


def _foot(frame: Frame, series: Series) -> Iterator[str]:
    floor = HEIGHT - FOOT + 7
    seen = {(series.is_planned(event), event.on): None for event in series.events if frame.holds(event.on)}
    for planned, on in seen:
        if planned:
            yield f'<circle cx="{frame.x(on)}" cy="{floor + 4.5}" r="2.6" class="planned"/>'
        else:
            yield f'<path d="M{frame.x(on)} {floor}v9" class="done"/>'


def _reading(frame: Frame, each: Reading) -> str:
    """A filled disc for a reading; one that does not fit is a question mark in a square."""
    x, y = frame.x(each.on), frame.y(each.value)
    if each.questioned:
        return (
            f'<rect x="{x - 6:.1f}" y="{y - 6:.1f}" width="12" height="12" class="doubted"/>'
            f'<text x="{x}" y="{y + 4:.1f}" class="mark" text-anchor="middle">?</text>'
        )
    return f'<circle cx="{x}" cy="{y}" r="4" class="read"/>'
