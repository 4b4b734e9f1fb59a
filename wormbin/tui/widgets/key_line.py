"""The keys that matter in this place, in one line at the foot; a click on one presses it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widget import Widget

from wormbin.tui.showing import Piece, line_of

if TYPE_CHECKING:
    from textual.events import MouseDown
    from textual.screen import Screen


@dataclass(frozen=True, slots=True)
class ShownKey:
    """A key as Textual knows it, as it is shown, and what it does."""

    key: str
    shown: str
    words: str

    @property
    def width(self) -> int:
        """Its cells, with a blank before the key, between, and after."""
        return len(self.shown) + len(self.words) + 3


class KeyLine(Widget, can_focus=False):
    """Draws the bindings that are to be shown, as many as fit, as one line and not as a widget for each."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "KeyLine { dock: bottom; height: 1; background: $panel; color: $foreground; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.keys: list[ShownKey] = []

    def on_mount(self) -> None:
        """Read the keys, and again whenever they change."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def on_unmount(self) -> None:
        """Stop listening."""
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _changed(self, screen: Screen[object]) -> None:
        if self.is_attached and screen is self.screen and screen.app.app_focus:
            keys = self._read()
            if keys != self.keys:
                self.keys = keys
                self.refresh()

    def _read(self) -> list[ShownKey]:
        found: dict[str, ShownKey] = {}
        for active in self.screen.active_bindings.values():
            binding = active.binding
            if binding.show and active.enabled and binding.action not in found:
                shown = self.app.get_key_display(binding)
                found[binding.action] = ShownKey(binding.key, shown, binding.description)
        return list(found.values())

    @property
    def shown(self) -> list[ShownKey]:
        """The keys that fit."""
        left = self.size.width + 1  # the blank after the last word may be lost
        fitting = []
        for key in self.keys:
            left -= key.width
            if left < 0:
                break
            fitting.append(key)
        return fitting

    def render(self) -> Content:
        """The keys, each with what it does."""
        pieces: list[Piece] = []
        for key in self.shown:
            pieces += [(f" {key.shown} ", "key"), (f"{key.words} ", "")]
        return line_of(pieces)

    def on_mouse_down(self, event: MouseDown) -> None:
        """Press the key that was clicked."""
        at = 0
        for key in self.shown:
            at += key.width
            if event.x < at:
                self.app.simulate_key(key.key)
                return
