"""A page to read: lines that scroll, over whatever was there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Static

from wormbin.tui.place import Form
from wormbin.tui.showing import Piece, line_of, lines_of, said


class ReadingScreen(Form[None]):
    """Shows a title and lines; any of the usual keys leaves."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,enter,d", "leave", "back")]

    def __init__(self, title: str, lines: Sequence[Sequence[Piece]]) -> None:
        super().__init__()
        self._heading = title
        self._lines = lines

    def compose(self) -> ComposeResult:
        """Title, lines, how to leave."""
        with Vertical(classes="sheet"):
            yield Static(line_of([said(self._heading, "title")]))
            with VerticalScroll(can_focus=True):
                yield Static(lines_of(self._lines))
            yield Static(line_of([("Esc back   arrows scroll", "dim")]))

    def on_mount(self) -> None:
        """Arrow keys scroll at once."""
        self.query_one(VerticalScroll).focus()

    def action_leave(self) -> None:
        """Back to what was there."""
        self.dismiss(None)
