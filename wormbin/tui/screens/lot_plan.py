"""A plan for castings: so much by a day, and whether stock, lots on their way and bins can bring it."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.farm.lots import castings
from wormbin.pages.lots import plan
from wormbin.pages.page import lines
from wormbin.problems import RefusedError
from wormbin.tui.place import Form
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.word_field import WordField


class LotPlanForm(Form[None]):
    """Nothing here is written into a log."""

    HELP = (
        "Say how much finished castings are wanted and by which day. What is in stock, what is on its way and what the "
        "bins can bring by then is added up; the odds are worked out, and nothing is written down."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def compose(self) -> ComposeResult:
        """An amount, a day, the plan."""
        with Vertical(classes="sheet"):
            yield Static(line_of([("Plan castings", "title")]), classes="sheet-title")
            yield WordField("castings wanted", "40 kg", id="amount")
            yield WordField("by when", "2026-11-30, or in 90 days", id="by")
            yield Static(id="trouble", classes="trouble")
            with VerticalScroll(id="page", can_focus=True):
                yield PageLines([[("The plan will stand here.", "dim")]], id="effect")
            yield Static(line_of([("Enter plan   Tab next   F1 help   Esc leave", "dim")]), id="keys")

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """The day, then the plan; what is refused stays filled in."""
        event.stop()
        amount, by = (self.query_one(f"#{name}", WordField).value for name in ("amount", "by"))
        if amount and not by:
            self.query_one("#by", WordField).input.focus()
            return
        trouble = self.query_one("#trouble", Static)
        try:
            view = await self.ask(lambda farm: castings(farm).plan(amount, by))
        except RefusedError as refused:
            trouble.update(lines_of([said(problem.sentence(), "watch")] for problem in refused.problems))
            return
        trouble.update("")
        self.query_one("#effect", PageLines).show(lines(plan(view, self.wormbin.units)))
        self.query_one("#page").focus()

    def action_leave(self) -> None:
        """Back to the lots."""
        self.dismiss(None)
