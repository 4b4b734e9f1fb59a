"""Troubles: tick what is seen; the likely causes are ranked by what the log shows, and Enter writes the signs down."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll

from wormbin.farm import recording
from wormbin.farm.recording.lines import write
from wormbin.pages.findings import causes
from wormbin.pages.page import Sentence
from wormbin.records.entries import Kind
from wormbin.tui.form import FilledForm
from wormbin.tui.signs import SEEN, SMELL
from wormbin.tui.widgets.fields import ChoiceRow
from wormbin.tui.widgets.page_lines import PageLines


class TroublesForm(FilledForm):
    """The causes change with every tick; nothing is written before Enter."""

    HELP = (
        "Tick every sign that you see or smell. Below stand the likely causes, each with what to do and the source. "
        "Those that fit your log come first. Enter writes the signs into the log as a check."
    )
    KEYS = (("Tab", "seen or smell"), ("arrows", "scroll"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "save", "write it down", priority=True),
        Binding("down", "scroll(1)", "down", show=False),
        Binding("up", "scroll(-1)", "up", show=False),
    ]

    heading = "Troubles"
    draft_name = "troubles"

    def parts(self) -> ComposeResult:
        """Signs, causes."""
        yield ChoiceRow("seen", SEEN, several=True, id="seen")
        yield ChoiceRow("smell", SMELL, id="smell")
        with VerticalScroll(can_focus=False, id="page"):
            yield PageLines([[("Tick what you see: likely causes will stand here.", "dim")]], id="effect")

    async def on_mount(self) -> None:
        """Offer what was ticked before."""
        if await self.offer_draft():
            self._look()

    @on(ChoiceRow.Picked)
    def picked(self) -> None:
        """Rank the causes anew."""
        self._look()

    def _look(self) -> None:
        self.in_background(self._rank, "causes")

    async def _rank(self) -> None:
        signs = self.fields()
        if not signs:
            self.show_page([Sentence("Tick what you see.", "dim")])
        elif (found := await self.understood(lambda farm: recording.troubles(farm, self.hand.key, signs))) is not None:
            self.show_page(causes(found))

    def action_scroll(self, by: int) -> None:
        """Scroll the causes."""
        self.query_one("#page").scroll_relative(y=by * 2, animate=False)

    async def action_save(self) -> None:
        """Write the signs down as a check."""
        await self.settled()
        signs, heading = self.fields(), self.entry_heading()
        if not signs:
            self.say("Nothing is ticked yet.")
            return
        await self.save(lambda farm: write(farm, self.hand.key, Kind.CHECK, signs, heading))
