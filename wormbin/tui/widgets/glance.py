"""One bin at a glance: cut open, its gauges, and where there is room its dates and two charts."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.events import Resize
from textual.widgets import Static

from wormbin.farm.views.bin import BinView
from wormbin.pages.bin import dates
from wormbin.pages.page import lines
from wormbin.tui.showing import lines_of
from wormbin.tui.widgets.charts import ChartWall, Range, Shown
from wormbin.tui.widgets.gauges import Gauges
from wormbin.tui.widgets.pictures import CutPicture

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
