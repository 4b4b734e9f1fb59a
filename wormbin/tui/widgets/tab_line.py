"""The places within a bin in one line: the one shown is marked by brackets as well as weight; a click picks.

The framework's own tabs take a line more and the arrow keys, which are the gauges' and the charts'.
"""

from __future__ import annotations

from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widget import Widget

from wormbin.tui.showing import Piece, line_of

Tab = tuple[str, str, str]
"""Code, key, words."""


class TabLine(Widget):
    """Says ``Picked`` when a tab is clicked; the keys belong to the screen."""

    DEFAULT_CSS = "TabLine { height: 1; }"

    class Picked(Message):
        """The tab ``code`` was clicked."""

        def __init__(self, code: str) -> None:
            super().__init__()
            self.code = code

    def __init__(self, tabs: tuple[Tab, ...], on: str, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._tabs = tabs
        self._on = on

    def show(self, on: str) -> None:
        """Mark this tab as the one shown."""
        self._on = on
        self.refresh()

    def _cells(self) -> list[tuple[str, str, str]]:
        cells = []
        for code, key, words in self._tabs:
            here = code == self._on
            cells.append((code, f"[{key} {words}]" if here else f" {key} {words} ", "title" if here else "dim"))
        return cells

    def render(self) -> Content:
        """One line."""
        pieces: list[Piece] = [(" ", "")]
        for _, text, role in self._cells():
            pieces += [(text, role), ("  ", "")]
        return line_of(pieces)

    def on_click(self, event: Click) -> None:
        """Which tab was it?"""
        at = 1
        for code, text, _ in self._cells():
            if at <= event.x < at + len(text):
                self.post_message(self.Picked(code))
                return
            at += len(text) + 2
