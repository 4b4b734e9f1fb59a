"""The days to come of a bin: its charts over the days chosen, its castings, and what the signs on them mean."""

from __future__ import annotations

from collections.abc import Mapping

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from wormbin.drawing.chart import chart_key
from wormbin.farm.views import BinView, Dated
from wormbin.tui.showing import line_of, said
from wormbin.tui.widgets.chart_wall import ChartWall
from wormbin.tui.widgets.charts import Range


class AheadPlace(Vertical):
    """Shows the charts of a ``BinView``; takes no keys."""

    def compose(self) -> ComposeResult:
        """Charts, castings, signs."""
        yield ChartWall(id="charts")
        yield Static(id="castings")
        yield Static(id="chart-key")

    def show_charts(
        self, view: BinView, seen: Range, *, ascii: bool, units: str, over: Mapping[str, tuple[Dated, ...]]
    ) -> None:
        """Draw them over the days ``seen``, another future over them."""
        self.query_one(ChartWall).show_charts(view.charts, seen, ascii=ascii, units=units, over=over)
        self.query_one("#castings", Static).update(line_of([(" castings ", "dim"), said(view.harvest.words, "strong")]))
        words = " + - days  arrows pan  m others  w what if   "
        width = max(self.app.size.width - len(words) - 1, 1)
        self.query_one("#chart-key", Static).update(line_of([(words, "dim"), (chart_key(width, ascii=ascii), "dim")]))

    def turn(self) -> None:
        """Other charts."""
        self.query_one(ChartWall).turn()
