"""A question before something large: Enter does it, Escape leaves everything as it is."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Static

from wormbin.tui.place import Form
from wormbin.tui.showing import line_of, said
from wormbin.tui.widgets.page_lines import PageLines


class SureScreen(Form[bool]):
    """Says what would happen; answers whether it shall."""

    HELP = "Read what would happen. Enter does it; Esc leaves everything as it is."
    AUTO_FOCUS = "#page"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "answer(True)", "do it"),
        Binding("escape", "answer(False)", "leave it"),
    ]

    def __init__(self, words: str, does: str) -> None:
        super().__init__()
        self._words = words
        self._does = does

    def compose(self) -> ComposeResult:
        """What, and what the two keys do."""
        with Vertical(classes="sheet middling"):
            yield Static(line_of([("Are you sure?", "title")]), classes="sheet-title")
            with VerticalScroll(id="page"):
                yield PageLines([[said(self._words)]])
            yield Static(line_of([said(f"Enter {self._does}   Esc leaves all as it is", "dim")]), id="keys")

    def action_answer(self, yes: bool) -> None:
        """Say which."""
        self.dismiss(yes)
