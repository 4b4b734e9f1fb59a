"""Log files brought into a farm that has bins already."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from wormbin.farm.views.bin import Recorded
from wormbin.tui.place import Form
from wormbin.tui.showing import line_of
from wormbin.tui.widgets.bring_in import BringIn


class BringInForm(Form[Recorded]):
    """One line: the folder."""

    HELP = (
        "Name a folder with log files: bins.csv and log.csv, as an export writes them. Every line is checked before "
        "the first is saved; what is wrong is listed with its place. Esc stops it while it reads."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def compose(self) -> ComposeResult:
        """The folder, how it goes, the keys."""
        with Vertical(classes="sheet middling snug"):
            yield Static(line_of([("Import log files", "title")]), classes="sheet-title")
            yield BringIn()
            yield Static(line_of([("Enter read them   F1 help   Esc leave", "dim")]), id="keys")

    def on_bring_in_brought(self, event: BringIn.Brought) -> None:
        """They are in the log."""
        self.dismiss(event.recorded)

    def action_leave(self) -> None:
        """Stop what is being read; else leave."""
        bringing = self.query_one(BringIn)
        if bringing.reading:
            bringing.stop()
        else:
            self.dismiss(None)
