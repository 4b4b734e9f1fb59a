"""One quantity through time: past, readings and look-ahead, with keys to change the quantity, zoom and pan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.drawing.axes import day_month
from wormbin.drawing.chart import chart
from wormbin.drawing.measure import measure_of
from wormbin.drawing.picture import Picture
from wormbin.drawing.series import Series
from wormbin.measures import percent
from wormbin.tui.showing import Piece, said
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
    """Shows one ``Series`` over a range of days."""

    def show_chart(
        self,
        series: Series,
        seen: Range,
        *,
        ascii: bool,
        units: str,
        dates: bool = True,
    ) -> None:
        """Draw this from now on; without ``dates`` where another chart with them stands below."""
        first, last = seen.ends(series.today or date.max)
        measure = measure_of(series.unit, units)

        def draw(width: int, height: int) -> Picture:
            return chart(
                series, width, height, first=first, last=last, measure=measure, event_word="fed", least_gutter=GUTTER,
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


def set_aside_words(view: Series, seen: Range, units: str) -> str:
    """What the question marks of a chart are: the newest of the readings in sight that did not fit, and how much it
    counts; empty where there is none."""
    first, last = seen.ends(view.today or date.max)
    doubted = [mark for mark in view.readings if mark.questioned and first <= mark.on <= last]
    if not doubted:
        return ""
    mark = max(doubted, key=lambda each: each.on)
    more = f", and {len(doubted) - 1} more" if len(doubted) > 1 else ""
    value = measure_of(view.unit, units).say(mark.value)
    return f"? set aside: {value} on {day_month(mark.on)} (counts {percent(mark.weight)}){more}"
