"""The days to come of a bin: its charts over the days chosen, its castings, and what the signs on them mean."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from wormbin.drawing.chart import chart_key
from wormbin.drawing.marks import width_of
from wormbin.drawing.series import Series
from wormbin.farm.views.bin import BinView
from wormbin.tui.showing import lines_of, said
from wormbin.tui.widgets.chart_wall import ChartWall
from wormbin.tui.widgets.charts import Range
from wormbin.tui.widgets.page_lines import PageLines

KEYS = "+ - days   arrows pan   m other charts   w what if"
"""What can be done with the charts."""


class AheadPlace(Vertical):
    """Shows the charts of a ``BinView``; takes no keys."""

    def compose(self) -> ComposeResult:
        """Charts, castings, signs."""
        yield ChartWall(id="charts")
        yield PageLines(id="castings")
        yield Static(id="chart-key")

    def show_charts(
        self,
        charts: Sequence[Series],
        view: BinView,
        seen: Range,
        *,
        ascii: bool,
        units: str,
        future: str = "",
    ) -> None:
        """Draw them over the days ``seen``, another ``future`` over them."""
        wall = self.query_one(ChartWall)
        wall.show_charts(charts, seen, ascii=ascii, units=units, future=future)
        self.query_one("#castings", PageLines).show([[(" castings ", "dim"), said(view.harvest.words, "strong")]])
        width = self.app.size.width
        key = chart_key(width - 2, ascii=ascii).rstrip()
        lines = [[(f" {key}", "dim")], [(f" {KEYS}", "dim")]]
        if width_of(key) + len(KEYS) + 5 <= width:
            lines = [[(f" {KEYS}   {key}", "dim")]]
        self.query_one("#chart-key", Static).update(lines_of(lines))

    def turn(self) -> None:
        """Other charts."""
        self.query_one(ChartWall).turn()
