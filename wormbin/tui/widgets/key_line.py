"""The keys that matter in this place, at the foot; a click on one presses it.

One widget that draws whole keys only, as many as find room, a form's in two lines where it has many. The framework's
own footer mounts a widget for each key and cuts the last in two: a start would be slower, a narrow screen unclear.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content
from textual.events import Click
from textual.geometry import Size
from textual.message import Message
from textual.widget import Widget

from wormbin.drawing.marks import width_of
from wormbin.tui.themes import Piece, line_of, lines_of

if TYPE_CHECKING:
    from textual.events import MouseDown
    from textual.screen import Screen


LAST = ("app.help", "help", "leave")
"""What stands behind all others, and is never left out: the way to all keys, and the way back."""


@dataclass(frozen=True, slots=True)
class ShownKey:
    """A key as Textual knows it, as it is shown, and what it does."""

    key: str
    shown: str
    words: str
    last: bool = False

    @property
    def width(self) -> int:
        """Its cells, with a blank before the key, between, and after."""
        return width_of(self.shown) + width_of(self.words) + 3


class KeyLine(Widget, can_focus=False):
    """Draws the bindings that are to be shown; ``beside`` are keys that a widget answers, and what they do here."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "KeyLine { dock: bottom; height: auto; background: $panel; color: $foreground; }"

    def __init__(self, beside: Sequence[tuple[str, str]] = (), *, rows: int = 1, id: str | None = None) -> None:
        super().__init__(id=id)
        self._beside = self._keys_of(beside)
        self._rows = rows
        self.keys: list[ShownKey] = []

    @staticmethod
    def _keys_of(beside: Sequence[tuple[str, str]]) -> list[ShownKey]:
        return [ShownKey(key.lower(), key, words) for key, words in beside]

    def tell(self, beside: Sequence[tuple[str, str]]) -> None:
        """Show other keys beside the bindings from now on."""
        self._beside = self._keys_of(beside)
        self._changed(self.screen)

    def on_mount(self) -> None:
        """Read the keys, and again whenever they change."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)
        self._changed(self.screen)

    def on_unmount(self) -> None:
        """Stop listening."""
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _changed(self, screen: Screen[object]) -> None:
        if self.is_attached and screen is self.screen and screen.app.app_focus:
            keys = self._read()
            if keys != self.keys:
                self.keys = keys
                self.refresh(layout=self._rows > 1)

    def _read(self) -> list[ShownKey]:
        found: dict[str, ShownKey] = {}
        for active in self.screen.active_bindings.values():
            binding = active.binding
            if binding.show and active.enabled and binding.action not in found:
                shown, last = self.app.get_key_display(binding), binding.action in LAST
                found[binding.action] = ShownKey(binding.key, shown, binding.description, last)
        keys = sorted((*self._beside, *found.values()), key=lambda each: each.key != "enter")
        return sorted(keys, key=lambda each: (each.last, each.key == "escape"))

    @property
    def shown(self) -> list[ShownKey]:
        """The keys that fit."""
        return [key for row in self.laid(self.size.width) for key in row]

    def laid(self, width: int) -> list[list[ShownKey]]:
        """The keys that fit, row by row; where there are too many, those before the last are left out."""
        keys = list(self.keys)
        while len(rows := _rows(keys, width)) > self._rows:
            keep = [at for at, key in enumerate(keys) if not key.last]
            del keys[keep[-1] if keep else -1]
        return rows

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many rows as it takes."""
        return max(len(self.laid(width)), 1)

    def render(self) -> Content:
        """The keys, each with what it does."""
        return lines_of(
            [piece for key in row for piece in ((f" {key.shown} ", "key"), (f"{key.words} ", ""))]
            for row in self.laid(self.size.width)
        )

    def on_mouse_down(self, event: MouseDown) -> None:
        """Press the key that was clicked."""
        rows, at = self.laid(self.size.width), 0
        for key in rows[event.y] if event.y < len(rows) else ():
            at += key.width
            if event.x < at:
                self.app.simulate_key(key.key)
                return


def _rows(keys: Sequence[ShownKey], width: int) -> list[list[ShownKey]]:
    rows: list[list[ShownKey]] = []
    left = 0
    for key in keys:
        if not rows or key.width > left + 1:  # the blank after the last word may be lost
            rows.append([])
            left = width
        rows[-1].append(key)
        left -= key.width
    return rows


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
