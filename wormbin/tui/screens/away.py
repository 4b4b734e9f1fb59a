"""Going away: two dates in, a plan out, with a page for a neighbour to print."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input

from wormbin.farm import bins
from wormbin.farm.views.proposals import Absence
from wormbin.pages.futures import absences, for_neighbour
from wormbin.pages.page import lines
from wormbin.problems import RefusedError
from wormbin.tui.place import Form, Hand
from wormbin.tui.showing import said
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.page_lines import PageLines


class AwayForm(Form[None]):
    """Writes nothing into the log; the days are kept in the settings."""

    HELP = (
        "Say your first and your last day away. The next holiday of your settings stands there already. The plan "
        "says what to do before you leave, and what may go wrong. It says when water or food would run short. ^O "
        "opens a page for a neighbour, to print."
    )
    KEYS = (("Enter", "plan"),)
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave"),
        Binding("ctrl+o", "neighbour", "a neighbour's page, to print"),
    ]

    def __init__(self, *hands: Hand) -> None:
        super().__init__()
        self.keys = tuple(hand.key for hand in hands)
        self.plans: list[Absence] = []
        self._names = ", ".join(hand.name for hand in hands)
        self.heading = f"Going away: {self._names}"

    def parts(self) -> ComposeResult:
        """Two dates and the plan."""
        yield WordField("first day away", "saturday, or 2026-03-07", id="first")
        yield WordField("last day away", "2026-03-19, or 12 days", id="last")
        with VerticalScroll(id="page", can_focus=True):
            yield PageLines([[("The plan will stand here.", "dim")]], id="effect")

    async def on_mount(self) -> None:
        """Listen to the first date; the next holiday of the settings stands there already."""
        self.query_one("#first", WordField).input.focus()
        for name, words in zip(
            ("first", "last"), await self.ask(lambda farm: bins.next_absence(farm, self.keys[0])), strict=True
        ):
            field = self.query_one(f"#{name}", WordField)
            field.value = field.value or words

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """The second date, then the plan."""
        event.stop()
        first, last = (self.query_one(f"#{name}", WordField).value for name in ("first", "last"))
        if not last:
            self.query_one("#last", WordField).input.focus()
            return
        try:
            self.plans = await self.ask(lambda farm: bins.absences(farm, self.keys, first, last))
        except RefusedError as refused:
            self.refuse(refused)
            return
        self.say("")
        self.query_one("#effect", PageLines).show(lines(absences(self.plans)))
        self.query_one("#page").focus()

    def action_neighbour(self) -> None:
        """The page that a neighbour gets."""
        if not self.plans:
            self.say("Say both days first, then Enter.")
            return
        lines = [[said(line)] for line in for_neighbour(self.plans)]
        self.open("page", f"While we are away: {self._names}", lines, file="while-away.txt")
