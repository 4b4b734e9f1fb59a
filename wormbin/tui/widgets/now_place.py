"""What a bin needs now: the panel that says so stands at once, its pictures come with the view of the bin."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from wormbin.tui.widgets.do_now import DoNow

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from wormbin.farm.round_row import RoundRow
    from wormbin.farm.views import BinView, Dated
    from wormbin.tui.widgets.chart_wall import ChartWall
    from wormbin.tui.widgets.charts import Range

CHARTS = 2
"""Charts that stand below the pictures where there is room."""


class NowPlace(Vertical):
    """Shows a row of the round first, and a ``BinView`` when it is there."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._furnished = False

    def compose(self) -> ComposeResult:
        """The panel alone: what follows is drawn from what is not known yet."""
        yield DoNow(id="do")

    def say(self, words: str) -> None:
        """Words in the place of what to do."""
        self.query_one(DoNow).clear(words)

    def show_row(self, row: RoundRow, *, ascii: bool) -> None:
        """What to do, from the round."""
        self.query_one(DoNow).show(
            title="do now" if row.do else "nothing to do now",
            level=row.level,
            headline=row.headline,
            do=row.do,
            also=row.also,
            mind=row.mind,
            findings=row.findings,
            ascii=ascii,
        )

    async def show_view(self, view: BinView, *, ascii: bool, units: str) -> None:
        """What to do, the bin cut open, its gauges and its dates."""
        from wormbin.tui.bin_lines import dates_line
        from wormbin.tui.widgets.cut import CutPicture
        from wormbin.tui.widgets.gauges import Gauges
        from wormbin.tui.widgets.page_lines import PageLines

        if not self._furnished:
            self._furnished = True
            await self._furnish()
        self.query_one(DoNow).show(
            title="do now" if view.do_now or view.emergency else "nothing to do now",
            level=view.level,
            headline=view.headline,
            do=view.emergency or view.do_now,
            also=view.also,
            mind=view.mind,
            findings=view.findings,
            ascii=ascii,
        )
        self.query_one(CutPicture).show_cut(view.cut, ascii=ascii, us=units == "us")
        self.query_one(Gauges).show_gauges(view.gauges, ascii=ascii, units=units)
        self.query_one("#dates", PageLines).show(dates_line(view))

    async def _furnish(self) -> None:
        from wormbin.tui.widgets.chart_wall import ChartWall
        from wormbin.tui.widgets.cut import CutPicture
        from wormbin.tui.widgets.gauges import Gauges
        from wormbin.tui.widgets.page_lines import PageLines

        side = Vertical(Gauges(id="gauges"), PageLines(id="dates"), id="side")
        await self.mount(Horizontal(CutPicture(id="cut"), side, id="pair"), ChartWall(at_most=CHARTS, id="now-charts"))

    def show_charts(
        self,
        view: BinView,
        seen: Range,
        *,
        ascii: bool,
        units: str,
        over: Mapping[str, Sequence[Dated]],
        future: str = "",
    ) -> None:
        """The first charts, over these days."""
        for wall in self.query("#now-charts"):
            cast("ChartWall", wall).show_charts(
                view.charts[:CHARTS],
                seen,
                ascii=ascii,
                units=units,
                over={code: tuple(each) for code, each in over.items()},
                future=future,
            )

    def listen(self) -> None:
        """The arrows choose a gauge."""
        for gauges in self.query("#gauges"):
            gauges.focus()
