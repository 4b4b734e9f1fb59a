"""Quantities through time: one chart, as many on a wall as there is room for, and the place of the days to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from textual.app import ComposeResult
from textual.containers import Grid, Horizontal, Vertical
from textual.events import Resize
from textual.widgets import Static

from wormbin.drawing.axes import day_month, measure_of
from wormbin.drawing.chart import chart, chart_key
from wormbin.drawing.marks import width_of
from wormbin.drawing.picture import Picture
from wormbin.drawing.series import Series
from wormbin.farm.views.bin import BinView
from wormbin.figures import weight_words
from wormbin.pages.bin import dates
from wormbin.pages.page import lines
from wormbin.tui.themes import Piece, line_of, lines_of, said
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.pictures import CutPicture, Gauges, PictureView

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


@dataclass(frozen=True, slots=True)
class Shown:
    """How charts are shown: which days, with which signs and measures, what the other future over them is called."""

    seen: Range
    ascii: bool
    units: str
    future: str = ""


class ChartPicture(PictureView):
    """Shows one ``Series`` over a range of days."""

    def show_chart(self, series: Series, how: Shown, *, dates: bool = True) -> None:
        """Draw this from now on; without ``dates`` where another chart with them stands below."""
        first, last = how.seen.ends(series.today or date.max)
        measure = measure_of(series.unit, how.units)

        def draw(width: int, height: int) -> Picture:
            return chart(
                series, width, height, first=first, last=last, measure=measure, event_word="fed", least_gutter=GUTTER,
                dates=dates, ascii=how.ascii,
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
    return f"? does not fit: {value} on {day_month(mark.on)} ({weight_words(mark.weight)}){more}"


MOST = 6
LEAST_ROWS = 9
WIDE = 100


class ChartWall(Grid):
    """Shows ``Series``s; ``at_most`` limits how many. ``turn`` brings on the next ones when not all are seen."""

    DEFAULT_CSS = """
    ChartWall { height: 1fr; grid-size: 1; grid-gutter: 0 2; }
    ChartWall .chart-box { height: 1fr; }
    ChartWall .chart-title { height: 1; }
    """

    def __init__(self, *, at_most: int = MOST, id: str | None = None) -> None:
        super().__init__(id=id)
        self._at_most = at_most
        self._charts: Sequence[Series] = ()
        self._first = 0
        self._how = Shown(Range(), False, "metric")

    def compose(self) -> ComposeResult:
        """A place for each chart."""
        for number in range(self._at_most):
            with Vertical(classes="chart-box", id=f"{self.id}-box-{number}"):
                yield Static(classes="chart-title")
                yield ChartPicture()

    def show_charts(self, charts: Sequence[Series], how: Shown) -> None:
        """Show these."""
        self._charts, self._how = charts, how
        self._lay_out()

    def turn(self) -> None:
        """The next charts, when not all are in sight."""
        if self._charts:
            self._first = (self._first + self.shown) % len(self._charts)
            self._lay_out()

    def on_resize(self, _: Resize) -> None:
        """Another number of charts may fit."""
        self._lay_out()

    @property
    def columns(self) -> int:
        """How many charts stand side by side."""
        return 2 if self.size.width >= WIDE and self._at_most > 1 else 1

    @property
    def shown(self) -> int:
        """How many charts fit."""
        rows = max(self.size.height // LEAST_ROWS, 1)
        return max(min(rows * self.columns, self._at_most, len(self._charts)), 1)

    def _lay_out(self) -> None:
        if not self._charts or not self.size.height:
            return
        count = self.shown
        self.styles.grid_size_columns = min(self.columns, count)
        for number, box in enumerate(self.query(".chart-box")):
            box.display = number < count
            if number >= count:
                continue
            chart = self._charts[(self._first + number) % len(self._charts)]
            pieces: list[Piece] = [said(f" {chart.title}", "strong")]
            if chart.what_if:
                pieces += futures_pieces(self._how.future, ascii=self._how.ascii)
            if words := set_aside_words(chart, self._how.seen, self._how.units):
                pieces.append((f"   {words}", "questioned"))
            box.query_one(Static).update(line_of(pieces))
            box.query_one(ChartPicture).show_chart(chart, self._how, dates=number >= count - self.columns)


CHART_KEYS = "+ - days   arrows pan   m other charts   w what if"
"""What can be done with the charts."""


class AheadPlace(Vertical):
    """Shows the charts of a ``BinView``; takes no keys."""

    def compose(self) -> ComposeResult:
        """Charts, castings, signs."""
        yield ChartWall(id="charts")
        yield PageLines(id="castings")
        yield Static(id="chart-key")

    def show_charts(self, charts: Sequence[Series], view: BinView, how: Shown) -> None:
        """Draw them, and say when there are castings."""
        self.query_one(ChartWall).show_charts(charts, how)
        self.query_one("#castings", PageLines).show([[(" castings ", "dim"), said(view.harvest.words, "strong")]])
        width = self.app.size.width
        key = chart_key(width - 2, ascii=how.ascii).rstrip()
        lines = [[(f" {key}", "dim")], [(f" {CHART_KEYS}", "dim")]]
        if width_of(key) + len(CHART_KEYS) + 5 <= width:
            lines = [[(f" {CHART_KEYS}   {key}", "dim")]]
        self.query_one("#chart-key", Static).update(lines_of(lines))

    def turn(self) -> None:
        """Other charts."""
        self.query_one(ChartWall).turn()


FOR_A_CHART = 140
FOR_DATES = 18
DATES_ROWS = 5


class Glance(Horizontal):
    """Shows a ``BinView``; takes no keys."""

    DEFAULT_CSS = """
    Glance { height: 1fr; }
    Glance #glance-left { width: 2fr; min-width: 24; }
    Glance #glance-dates { height: auto; padding: 1 0 0 4; }
    Glance Gauges { width: 3fr; }
    Glance ChartWall { width: 3fr; margin: 0 0 0 2; }
    """

    def compose(self) -> ComposeResult:
        """Three pictures side by side."""
        with Vertical(id="glance-left"):
            yield CutPicture()
            yield Static(id="glance-dates")
        gauges = Gauges()
        gauges.can_focus = False
        yield gauges
        yield ChartWall(at_most=2, id="glance-charts")

    def on_resize(self, _: Resize) -> None:
        """The charts come on where it is wide, the dates where it is high."""
        self._share_height()
        self.query_one(ChartWall).display = self.size.width >= FOR_A_CHART

    def _share_height(self) -> None:
        """The dates stand under the drawing where both find room."""
        cut, dates = self.query_one(CutPicture), self.query_one("#glance-dates")
        dates.display = self.size.height >= FOR_DATES
        rows = cut.most_rows(cut.size.width, self.size.height - DATES_ROWS)
        cut.styles.height = rows if dates.display else "1fr"

    def show_bin(self, view: BinView, *, ascii: bool, units: str) -> None:
        """Draw this bin."""
        self.query_one(CutPicture).show_cut(view.cut, ascii=ascii, us=units == "us", length_m=view.bin.length_m)
        self.query_one("#glance-dates", Static).update(lines_of(lines(dates(view))))
        self._share_height()
        self.query_one(Gauges).show_gauges(view.gauges, ascii=ascii)
        self.query_one(ChartWall).show_charts(view.charts[:2], Shown(Range(), ascii, units))
