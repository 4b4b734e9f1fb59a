"""The keys that matter in this place, in one line at the foot; a click on one presses it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.widget import Widget

from wormbin.tui.showing import Piece, line_of

if TYPE_CHECKING:
    from textual.events import MouseDown
    from textual.screen import Screen


class KeyLine(Widget, can_focus=False):
    """Draws the bindings that are to be shown, as many as fit, as one line and not as a widget for each."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "KeyLine { dock: bottom; height: 1; background: $panel; color: $foreground; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._keys: list[tuple[str, str, str]] = []

    def on_mount(self) -> None:
        """Read the keys, and again whenever they change."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def on_unmount(self) -> None:
        """Stop listening."""
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _changed(self, screen: Screen[object]) -> None:
        if self.is_attached and screen is self.screen and screen.app.app_focus:
            keys = self._read()
            if keys != self._keys:
                self._keys = keys
                self.refresh()

    def _read(self) -> list[tuple[str, str, str]]:
        found: dict[str, tuple[str, str, str]] = {}
        for active in self.screen.active_bindings.values():
            binding = active.binding
            if binding.show and active.enabled and binding.action not in found:
                found[binding.action] = (binding.key, self.app.get_key_display(binding), binding.description)
        return list(found.values())

    def _fitting(self) -> list[tuple[str, str, str]]:
        left = self.size.width
        fitting = []
        for key, shown, words in self._keys:
            left -= len(shown) + len(words) + 3
            if left < -1:  # the blank after the last word may be lost
                break
            fitting.append((key, shown, words))
        return fitting

    def render(self) -> Content:
        """The keys, each with what it does."""
        pieces: list[Piece] = []
        for _key, shown, words in self._fitting():
            pieces += [(f" {shown} ", "key"), (f"{words} ", "")]
        return line_of(pieces)

    def on_mouse_down(self, event: MouseDown) -> None:
        """Press the key that was clicked."""
        at = 0
        for key, shown, words in self._fitting():
            at += len(shown) + len(words) + 3
            if event.x < at:
                self.app.simulate_key(key)
                return
