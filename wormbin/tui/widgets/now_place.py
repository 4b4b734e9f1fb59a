"""What a bin needs now: the panel that says so stands at once, its pictures come with the view of the bin."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from wormbin.tui.widgets.do_now import DoNow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wormbin.drawing.series import Series
    from wormbin.farm.views.bin import BinView
    from wormbin.farm.views.round import RoundRow
    from wormbin.tui.widgets.charts import ChartWall, Shown

CHARTS = 2
"""Charts that stand below the pictures where there is room."""
CHART_ROWS, CUT_ROWS = 12, 6
"""Rows that the charts ask for, and under which the bin is not drawn."""
SHORT, TALL = 22, 36
"""Heights of the screen from which the dates and the charts come on (styles.tcss)."""


class NowPlace(Vertical):
    """Shows a row of the round first, and a ``BinView`` when it is there."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._furnished = False
        self._gauges = self._dates = 0

    def compose(self) -> ComposeResult:
        """The panel alone: what follows is drawn from what is not known yet."""
        yield DoNow(id="do")

    def say(self, words: str) -> None:
        """Words in the place of what to do."""
        self.query_one(DoNow).clear(words)

    def show_row(self, row: RoundRow, *, ascii: bool) -> None:
        """What to do, from the round."""
        self.query_one(DoNow).show(row, row.do, ascii=ascii)
        self._share_room()

    async def show_view(self, view: BinView, *, ascii: bool, units: str) -> None:
        """What to do, the bin cut open, its gauges and its dates."""
        from wormbin.pages.bin import dates
        from wormbin.pages.page import lines
        from wormbin.tui.widgets.gauges import Gauges
        from wormbin.tui.widgets.page_lines import PageLines
        from wormbin.tui.widgets.pictures import CutPicture

        if not self._furnished:
            self._furnished = True
            await self._furnish()
        self.query_one(DoNow).show(view, view.emergency or view.do_now, ascii=ascii)
        self.query_one(CutPicture).show_cut(view.cut, ascii=ascii, us=units == "us")
        self.query_one(Gauges).show_gauges(view.gauges, ascii=ascii)
        dated = lines(dates(view))
        self.query_one("#dates", PageLines).show(dated)
        self._gauges, self._dates = len(view.gauges), len(dated)
        self._share_room()

    def on_resize(self) -> None:
        """Share the new room out."""
        self._share_room()

    def _share_room(self) -> None:
        """The steps get the room first, then the gauges, why, the dates and the drawing, last the charts."""
        room, high = self.size.height, self.app.size.height
        if not room:
            return
        panel = self.query_one(DoNow)
        dates = self._dates + 1 if high >= TALL else self._dates if high >= SHORT else 0
        below = self._gauges + dates + (CHART_ROWS if high >= TALL else 0)
        apart = panel.styles.margin.height
        must, whole = panel.rows(self.size.width - panel.gutter.width)
        rows = min(room, max(must, min(whole, room - apart - below)))
        panel.styles.max_height = rows
        rest = max(room - rows - apart, 0)
        for lines in self.query("#dates"):  # the last of them to be mounted: a resize may come before it
            pair = self.query_one("#pair")
            half = max(self._gauges + dates, rest // 2)
            pair.styles.height = half if high >= TALL and rest - half >= CHART_ROWS - 2 else "1fr"
            rest = half if high >= TALL else rest
            self.set_class(rest < CUT_ROWS, "-flat")
            lines.display = rest > self._gauges and dates > 0
            lines.styles.max_height = max(rest - self._gauges, 1)

    async def _furnish(self) -> None:
        from wormbin.tui.widgets.charts import ChartWall
        from wormbin.tui.widgets.gauges import Gauges
        from wormbin.tui.widgets.page_lines import PageLines
        from wormbin.tui.widgets.pictures import CutPicture

        side = Vertical(Gauges(id="gauges"), PageLines(id="dates"), id="side")
        await self.mount(Horizontal(CutPicture(id="cut"), side, id="pair"), ChartWall(at_most=CHARTS, id="now-charts"))

    def show_charts(self, charts: Sequence[Series], view: BinView, how: Shown) -> None:
        """The first charts."""
        for wall in self.query("#now-charts"):
            cast("ChartWall", wall).show_charts(charts[:CHARTS], how)

    def listen(self) -> None:
        """The arrows choose a gauge."""
        for gauges in self.query("#gauges"):
            gauges.focus()
