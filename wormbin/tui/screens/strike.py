"""Strike a line through: it asks why, and the line stays in the log with the reason beside it."""

from __future__ import annotations

from collections.abc import Mapping

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input, Static

from wormbin.farm import recording
from wormbin.farm.views.bin import LogLine
from wormbin.tui.filled_form import FilledForm
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.word_field import WordField


class StrikeForm(FilledForm):
    """One line: why."""

    HELP = "A paper log is never rubbed out. Say in a word or two why the line is wrong; Enter strikes it through."

    def __init__(self, line: LogLine) -> None:
        super().__init__()
        self.line = line
        self.draft_name = f"strike-{line.entry}"

    def compose(self) -> ComposeResult:
        """The line, and why."""
        with Vertical(classes="sheet small"):
            yield Static(line_of([("Strike through", "title")]), classes="sheet-title")
            yield Static(
                lines_of([[said(f"{self.line.moment}  {self.line.kind.value}", "dim")], [said(self.line.words)]])
            )
            yield WordField("why", "mistyped", id="why")
            yield Static(id="trouble", classes="trouble")
            yield Static(line_of([("Enter strike it through   F1 help   Esc leave", "dim")]), id="keys")

    def on_mount(self) -> None:
        """Listen."""
        self.query_one(WordField).input.focus()

    def fields(self) -> dict[str, str]:
        """Why, so far."""
        why = self.query_one(WordField).value
        return {"why": why} if why else {}

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        self.query_one(WordField).value = fields.get("why", "")

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """Strike."""
        event.stop()
        why, by = event.value.strip(), self.wormbin.by
        if not why:
            self.say("why: nothing was read; allowed is a word or two. Example: mistyped")
            return
        asks, way = self.asks, "Enter again strikes it; Esc leaves."
        await self.save(lambda farm: recording.strike(farm, self.line.entry, why, by, ask=asks), way)
