"""Troubles: tick what is seen; the likely causes are ranked by what the log shows, and Enter writes the signs down."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Static

from wormbin.farm import recording
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.pages.findings import causes
from wormbin.pages.page import lines
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind
from wormbin.tui.desk import SAVE
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Hand
from wormbin.tui.showing import line_of, said
from wormbin.tui.signs import SEEN, SMELL
from wormbin.tui.widgets.fields import ChoiceRow
from wormbin.tui.widgets.page_lines import PageLines


class TroublesForm(FilledForm):
    """The causes change with every tick; nothing is written before Enter."""

    HELP = (
        "Tick every sign that you see or smell. Below stand the likely causes, the ones that the log speaks for first, "
        "each with what to do and the source. Enter writes the signs into the log as a check, so that they are "
        "followed up."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "save", "write it down", priority=True),
        Binding("down", "scroll(1)", "down", show=False),
        Binding("up", "scroll(-1)", "up", show=False),
    ]

    def __init__(self, hand: Hand) -> None:
        super().__init__()
        self.hand = hand
        self.draft_name = f"troubles-{hand.key}"

    def compose(self) -> ComposeResult:
        """Signs, causes."""
        with Vertical(classes="sheet"):
            yield Static(line_of([said(f"Troubles: {self.hand.name}", "title")]), classes="sheet-title")
            yield ChoiceRow("seen", SEEN, several=True, id="seen")
            yield ChoiceRow("smell", SMELL, id="smell")
            yield Static(id="trouble", classes="trouble")
            with VerticalScroll(can_focus=False, id="page"):
                yield PageLines([[("Tick what you see: likely causes will stand here.", "dim")]], id="effect")
            yield Static(
                line_of([("Enter write down   Tab seen or smell   arrows scroll   F1 help   Esc leave", "dim")]),
                id="keys",
            )

    async def on_mount(self) -> None:
        """Offer what was ticked before."""
        if await self.offer_draft():
            self._look()

    def fields(self) -> dict[str, str]:
        """What is ticked so far."""
        found = {name: self.query_one(f"#{name}", ChoiceRow).value for name in ("seen", "smell")}
        return {name: words for name, words in found.items() if words}

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was ticked before."""
        for name, words in fields.items():
            self.query_one(f"#{name}", ChoiceRow).value = words

    @on(ChoiceRow.Picked)
    def picked(self) -> None:
        """Rank the causes anew."""
        self.gone_on()
        self._look()

    def _look(self) -> None:
        self.in_background(self._rank, "causes")

    async def _rank(self) -> None:
        signs = self.fields()
        if not signs:
            self.query_one("#effect", PageLines).show([[("Tick what you see.", "dim")]])
            return
        try:
            found = await self.ask(lambda farm: recording.troubles(farm, self.hand.key, signs))
        except RefusedError as refused:
            self.refuse(refused)
            return
        self.query_one("#effect", PageLines).show(lines(causes(found)))

    def action_scroll(self, by: int) -> None:
        """Scroll the causes."""
        self.query_one("#page").scroll_relative(y=by * 2, animate=False)

    async def action_save(self) -> None:
        """Write the signs down as a check."""
        await self.settled()
        signs, heading = self.fields(), Heading(when=self.day_meant(), by=self.wormbin.by)
        if not signs:
            self.say("Nothing is ticked yet.")
            return
        try:
            recorded = await self.ask(lambda farm: write(farm, self.hand.key, Kind.CHECK, signs, heading), SAVE)
        except RefusedError as refused:
            self.refuse(refused)
            return
        await self.saved(recorded)
