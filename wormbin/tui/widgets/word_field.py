"""A labelled line to type a measure or words into, with an example while it is empty and the last value beside it.

An example says that it is one: nobody shall take it for what is filled in.
"""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.suggester import Suggester
from textual.widgets import Input, Label

from wormbin.drawing.marks import plain


class WordField(Horizontal):
    """``value`` is what is typed; ``example`` shows what would be understood."""

    DEFAULT_CSS = """
    WordField { height: 1; width: 1fr; }
    WordField Input { width: 1fr; height: 1; margin: 0 0 0 21; border: none; padding: 0 1; background: $panel; }
    WordField Input:focus { border: none; background: $wb-cursor; background-tint: $foreground 0%; }
    WordField .last { width: auto; max-width: 34; color: $wb-dim; padding: 0 1; }
    """

    def __init__(
        self,
        label: str,
        example: str = "",
        *,
        last: str = "",
        suggester: Suggester | None = None,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id)
        self.label = label
        self._example = example
        self._last = last
        self._suggester = suggester

    def compose(self) -> ComposeResult:
        """The line, what was said last time."""
        yield Input(
            placeholder=f"e.g. {self._example}" if self._example else "",
            suggester=self._suggester,
            select_on_focus=False,
        )
        if self._last:
            yield Label(plain(f"last: {self._last}", 32), classes="last", markup=False)

    def render(self) -> Content:
        """The label, in the room that the line leaves at its left."""
        return Content(f"  {self.label}")

    @property
    def input(self) -> Input:
        """The line itself."""
        return self.query_one(Input)

    @property
    def value(self) -> str:
        """What is typed, without the space around it."""
        return self.input.value.strip()

    @value.setter
    def value(self, words: str) -> None:
        self.input.value = words
        self.input.cursor_position = len(words)
