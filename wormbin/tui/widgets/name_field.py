"""Who writes a line: the first row of a form where several do; first letters are enough."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.events import Key
from textual.suggester import SuggestFromList
from textual.widgets import Input

from wormbin.tui.widgets.fields import WordField


class NameInput(Input):
    """No name begins with a figure: one that is typed here is meant for the next row, and goes there."""

    def on_key(self, event: Key) -> None:
        """Hand a figure on, and whatever was typed faster than that."""
        screen = self.screen
        if screen.focused is self and not (event.character or "").isdigit():
            return
        if screen.focused is self:
            screen.focus_next()
        if screen.focused is not None and screen.focused is not self:
            event.stop()
            event.prevent_default()
            screen.focused.post_message(Key(event.key, event.character))


class NameField(WordField):
    """A name out of a list. Whose turn it is stands there already, to be seen, and what is typed takes its place."""

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__("who", id="who")
        self._names = tuple(names)
        self.offered = ""

    def compose(self) -> ComposeResult:
        """The line, which finishes first letters."""
        yield NameInput(
            placeholder="first letters of a name",
            suggester=SuggestFromList(self._names, case_sensitive=False),
            select_on_focus=True,
        )

    def offer(self, names: Sequence[str]) -> None:
        """Write the one whose turn it is; of several nobody is taken, but they are named."""
        if len(names) > 1:
            self.input.placeholder = f"{' or '.join(names)}: first letters"
        elif names and not self.value:
            self.value = self.offered = names[0]
            self.input.action_select_all()
