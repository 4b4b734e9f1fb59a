"""Going away: two dates in, a plan out, with a page for a neighbour to print."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from wormbin.farm import bins
from wormbin.farm.views.proposals import Absence
from wormbin.pages.futures import absence
from wormbin.pages.page import Page
from wormbin.tui.asking import AskForm
from wormbin.tui.showing import said
from wormbin.tui.widgets.fields import WordField


class AwayForm(AskForm):
    """Writes nothing into the log; the days are kept in the settings."""

    HELP = (
        "Say your first and your last day away. The next holiday of your settings stands there already. The plan "
        "says what to do before you leave, and what may go wrong. It says when water or food would run short. ^O "
        "opens a page for a neighbour, to print."
    )
    KEYS = (("Enter", "plan"),)
    heading = "Going away"
    FIELDS = (
        ("first", "first day away", "saturday, or 2026-03-07"),
        ("last", "last day away", "2026-03-19, or 12 days"),
    )
    NEEDED = "last"
    HINT = "The plan will stand here."
    plan: Absence | None = None
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+o", "neighbour", "a neighbour's page, to print"),
    ]

    async def on_mount(self) -> None:
        """The next holiday of the settings stands there already."""
        for name, words in zip(
            ("first", "last"), await self.ask(lambda farm: bins.next_absence(farm, self.hand.key)), strict=True
        ):
            field = self.query_one(f"#{name}", WordField)
            field.value = field.value or words

    async def answer(self) -> Page:
        """The plan for these days."""
        first, last = self.word("first"), self.word("last")
        self.plan = await self.ask(lambda farm: bins.absence(farm, self.hand.key, first, last))
        return absence(self.plan)

    def action_neighbour(self) -> None:
        """The page that a neighbour gets."""
        if self.plan is None:
            self.say("Say both days first, then Enter.")
            return
        lines = [[said(line)] for line in self.plan.neighbour]
        self.open("page", f"While we are away: {self.hand.name}", lines, file="while-away.txt")
