"""A question before something large: Enter does it, Escape leaves everything as it is."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from wormbin.tui.place import Form
from wormbin.tui.showing import line_of, said


class SureScreen(Form[bool]):
    """Says what would happen; answers whether it shall."""

    HELP = "Read what would happen. Enter does it; Esc leaves everything as it is."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "answer(True)", "do it"),
        Binding("escape", "answer(False)", "leave it"),
    ]

    def __init__(self, words: str, does: str) -> None:
        super().__init__()
        self.words = words
        self._does = does

    def compose(self) -> ComposeResult:
        """What, and what the two keys do."""
        with Vertical(classes="sheet small"):
            yield Static(line_of([("Are you sure?", "title")]), classes="sheet-title")
            yield Static(line_of([said(self.words)]))
            yield Static(line_of([said(f"Enter {self._does}   Esc leaves all", "dim")]), id="keys")

    def action_answer(self, yes: bool) -> None:
        """Say which."""
        self.dismiss(yes)
