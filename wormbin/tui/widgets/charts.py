"""One quantity through time: past, readings and look-ahead, with keys to change the quantity, zoom and pan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.drawing.axes import day_month
from wormbin.drawing.chart import Unit, chart
from wormbin.drawing.curve import Point
from wormbin.drawing.picture import Picture
from wormbin.drawing.series import Reading, Series
from wormbin.farm.views.bin import ChartView, Dated
from wormbin.measures import percent, temperature
from wormbin.measures.units import POUND_KG
from wormbin.tui.showing import Piece, said
from wormbin.tui.widgets.gauges import speech
from wormbin.tui.widgets.picture_view import PictureView

SPANS = (14, 30, 60, 120, 240, 480, 960, 4000)
"""How many days a chart shows, one zoom step to the next."""
GUTTER = 6
"""Cells for the words at the left of every chart (``1.2 kg``), so that all of them stand day under day."""


@dataclass(frozen=True, slots=True)
class Range:
    """Which days are visible: ``days`` in all, of which the share ``back`` lies before today, shifted by ``shift``."""

    days: int = 120
    back: float = 0.5
    shift: int = 0

    def ends(self, today: date) -> tuple[date, date]:
        """First and last visible day."""
        first = today - timedelta(days=round(self.days * self.back)) + timedelta(days=self.shift)
        return first, first + timedelta(days=self.days)

    def zoomed(self, by: int) -> Range:
        """One step closer (-1) or further (1)."""
        nearest = min(range(len(SPANS)), key=lambda i: abs(SPANS[i] - self.days))
        return Range(SPANS[max(0, min(len(SPANS) - 1, nearest + by))], self.back, self.shift)

    def panned(self, by: int) -> Range:
        """A quarter of the span to the left (-1) or the right (1)."""
        return Range(self.days, self.back, self.shift + by * max(self.days // 4, 1))


class ChartPicture(PictureView):
    """Shows one ``ChartView`` over a range of days; ``what_if`` is a second look-ahead drawn over the first."""

    def show_chart(
        self,
        view: ChartView,
        seen: Range,
        *,
        ascii: bool,
        units: str,
        what_if: tuple[Dated, ...] = (),
        dates: bool = True,
    ) -> None:
        """Draw this from now on; without ``dates`` where another chart with them stands below."""
        series = series_of(view, what_if)
        first, last = seen.ends(view.today)
        unit = unit_of(view.unit, units)

        def draw(width: int, height: int) -> Picture:
            return chart(
                series, width, height, first=first, last=last, unit=unit, event_word="fed", least_gutter=GUTTER,
                dates=dates, ascii=ascii,
            )  # fmt: skip

        self.show(draw)


def futures_pieces(other: str = "", *, ascii: bool) -> list[Piece]:
    """Which of two lines is which future, by the sign of each; ``other`` is what the second is called."""
    planned, changed = ("++", "xx") if ascii else ("⠒⠒", "⠂⠂")
    return [
        (f"   {planned} planned", "ahead"),
        (f"   {changed} what if", "what-if"),
        said(f": {other}" if other else "", "what-if"),
    ]


def set_aside_words(view: ChartView, seen: Range, units: str) -> str:
    """What the question marks of a chart are: the newest of the readings in sight that did not fit, and how much it
    counts; empty where there is none."""
    first, last = seen.ends(view.today)
    doubted = [mark for mark in view.marks if mark.questioned and first <= mark.on <= last]
    if not doubted:
        return ""
    mark = max(doubted, key=lambda each: each.on)
    more = f", and {len(doubted) - 1} more" if len(doubted) > 1 else ""
    value = unit_of(view.unit, units).say(mark.value)
    return f"? set aside: {value} on {day_month(mark.on)} (counts {percent(mark.weight)}){more}"


def series_of(view: ChartView, what_if: tuple[Dated, ...] = ()) -> Series:
    """The drawing's input for a farm's view."""
    return Series(
        past=_course(view.past),
        ahead=_course(view.ahead),
        readings=tuple(Reading(mark.on, mark.value, mark.questioned) for mark in view.marks),
        what_if=_course(what_if),
        target=view.target,
        today=view.today,
        events=tuple(event.on for event in view.events),
    )


def _course(dated: tuple[Dated, ...]) -> tuple[Point, ...]:
    return tuple(Point(each.on, each.band) for each in dated)


def unit_of(unit: str, units: str) -> Unit:
    """How the value axis speaks: percent for fractions, the keeper's masses and degrees."""
    us = units == "us"
    if unit == "kg":
        return Unit(speech(unit, units), factor=1 / POUND_KG if us else 1.0)
    if unit in ("degC", "°C", "C"):
        return Unit(lambda c: temperature(c, units), factor=1.8 if us else 1.0, offset=32.0 if us else 0.0)
    if unit in ("", "fraction", "1"):
        return Unit(lambda share: percent(share), factor=100.0, most=1.0)
    return Unit()
