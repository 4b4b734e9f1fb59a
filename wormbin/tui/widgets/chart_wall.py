"""A bin's charts on one wall: as many as there is room for, side by side where it is wide, all over the same days."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Grid, Vertical
from textual.events import Resize
from textual.widgets import Static

from wormbin.drawing.series import Series
from wormbin.tui.showing import Piece, line_of, said
from wormbin.tui.widgets.charts import ChartPicture, Range, futures_pieces, set_aside_words

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
        self._seen = Range()
        self._future = ""
        self._ascii = False
        self._units = "metric"

    def compose(self) -> ComposeResult:
        """A place for each chart."""
        for number in range(self._at_most):
            with Vertical(classes="chart-box", id=f"{self.id}-box-{number}"):
                yield Static(classes="chart-title")
                yield ChartPicture()

    def show_charts(
        self,
        charts: Sequence[Series],
        seen: Range,
        *,
        ascii: bool,
        units: str,
        future: str = "",
    ) -> None:
        """Show these; ``future`` is what the other future drawn over them is called."""
        self._charts, self._seen, self._ascii, self._units = charts, seen, ascii, units
        self._future = future
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
                pieces += futures_pieces(self._future, ascii=self._ascii)
            if words := set_aside_words(chart, self._seen, self._units):
                pieces.append((f"   {words}", "questioned"))
            box.query_one(Static).update(line_of(pieces))
            box.query_one(ChartPicture).show_chart(
                chart, self._seen, ascii=self._ascii, units=self._units,
                dates=number >= count - self.columns,
            )  # fmt: skip
