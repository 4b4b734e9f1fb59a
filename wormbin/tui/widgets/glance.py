"""One bin at a glance: cut open, its gauges, and a chart where it is wide."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Resize

from wormbin.farm.views import BinView
from wormbin.tui.widgets.chart_wall import ChartWall
from wormbin.tui.widgets.charts import Range
from wormbin.tui.widgets.cut import CutPicture
from wormbin.tui.widgets.gauges import Gauges

LEAST_ROWS = 10
FOR_A_CHART = 140


class Glance(Horizontal):
    """Shows a ``BinView``; takes no keys."""

    DEFAULT_CSS = """
    Glance { height: 1fr; }
    Glance CutPicture { width: 2fr; min-width: 24; }
    Glance Gauges { width: 3fr; }
    Glance ChartWall { width: 3fr; }
    """

    def compose(self) -> ComposeResult:
        """Three pictures side by side."""
        yield CutPicture()
        gauges = Gauges()
        gauges.can_focus = False
        yield gauges
        yield ChartWall(at_most=2, id="glance-charts")

    def on_resize(self, _: Resize) -> None:
        """The charts come on where there is room."""
        self.query_one(ChartWall).display = self.size.width >= FOR_A_CHART

    def show_bin(self, view: BinView, *, ascii: bool, units: str) -> None:
        """Draw this bin."""
        self.query_one(CutPicture).show_cut(view.cut, ascii=ascii, us=units == "us")
        self.query_one(Gauges).show_gauges(view.gauges, ascii=ascii, units=units)
        self.query_one(ChartWall).show_charts(view.charts[:2], Range(), ascii=ascii, units=units)
