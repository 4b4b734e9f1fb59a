"""What if: something changed, both futures drawn over each other, and the difference in words."""

from __future__ import annotations

from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.farm import bins
from wormbin.farm.views.proposals import WhatIfView
from wormbin.pages.futures import future_series, what_if
from wormbin.tui.place import Form, acting
from wormbin.tui.showing import line_of, said
from wormbin.tui.widgets.charts import ChartPicture, Range, Shown, futures_pieces
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField
from wormbin.tui.widgets.page_lines import PageLines

CHANGES = (
    Choice("1", "skip", "leave out a feeding"), Choice("2", "skip two", "leave out two"),
    Choice("3", "double", "double the next"), Choice("4", "harvest", "harvest today"),
)  # fmt: skip
FIELDS = (
    ("bedding", "add bedding", "200 g shredded cardboard"), ("spell", "warm or cold spell", "30C:5d"),
    ("split", "take worms out", "50%"),
)  # fmt: skip


class WhatIfForm(Form[WhatIfView]):
    """Answers the what-if that is to stay drawn over the bin's charts, or None."""

    HELP = (
        "Pick a change, or type one or several. You can add bedding, have days of heat or cold (30C:5d), or take out "
        "a share of the worms. Both futures are drawn over each other. Enter leaves the other future on the bin's "
        "charts."
    )
    KEYS = (("Tab", "next"),)
    SIDE = "#asked"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "keep", "draw it over the charts", priority=True),
    ]

    heading = "What if"
    view: WhatIfView | None = None
    _refused = False

    def parts(self) -> ComposeResult:
        """The changes, what would come of it, two charts."""
        yield ChoiceRow("feeding", CHANGES, id="change")
        for name, label, example in FIELDS:
            yield WordField(label, example, id=name)
        with Horizontal(id="pair"):
            with VerticalScroll(id="asked", can_focus=False):
                yield PageLines([[("Pick a change: both futures will stand here.", "dim")]], id="effect")
            with Vertical(id="after"):
                yield Static(id="chart-title-1", classes="chart-title")
                yield ChartPicture(id="chart-1")
                yield Static(id="chart-title-2", classes="chart-title")
                yield ChartPicture(id="chart-2")

    def on_mount(self) -> None:
        """One key is enough."""
        self.query_one("#change", ChoiceRow).focus()

    @on(ChoiceRow.Picked)
    def picked(self) -> None:
        """What is picked and what is typed count together."""
        self._look()

    @on(Input.Changed)
    def typed(self) -> None:
        """The same."""
        self._look()

    def _look(self) -> None:
        self.in_background(self._work_out, "what-if")

    async def _work_out(self) -> None:
        change = self.word("change")
        words: dict[str, Any] = {name: self.word(name) for name, _, _ in FIELDS}
        self.view, self._refused = None, False
        if not change and not any(words.values()):
            self.say("")
            return
        skip, double, harvest = {"skip": 1, "skip two": 2}.get(change, 0), int(change == "double"), change == "harvest"
        key = self.hand.key
        self.view = await self.understood(
            lambda farm: bins.what_if(farm, key, skip=skip, double=double, harvest=harvest, **words)
        )
        self._refused = self.view is None
        if self.view is not None:
            self.say("")
            self._show(self.view)

    def _show(self, view: WhatIfView) -> None:
        how = Shown(Range(60, 0.0), self.wormbin.ascii, self.wormbin.units)
        self.show_page(what_if(view))
        for number, chart in enumerate(future_series(view)[:2], 1):
            words = [said(f" {chart.title}", "strong"), *futures_pieces(ascii=how.ascii)]
            self.query_one(f"#chart-title-{number}", Static).update(line_of(words))
            self.query_one(f"#chart-{number}", ChartPicture).show_chart(chart, how, dates=number == 2)

    @acting
    async def action_keep(self) -> None:
        """Leave it drawn over the bin's charts; what could not be understood stays, with what is wrong."""
        await self._work_out()
        if not self._refused:
            self.dismiss(self.view)
