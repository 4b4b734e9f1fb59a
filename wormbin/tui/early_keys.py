"""Keys that are typed faster than a form opens wait for it, so that none is lost and none goes to the place below."""

from __future__ import annotations

from typing import TypeVar

from textual.app import App
from textual.events import Event, Key, Paste

from wormbin.tui.place import Form, Place

R = TypeVar("R")


class EarlyKeys(App[R]):
    """An app whose places answer a key before the next one is looked at, and whose forms get all that follows.

    Textual hands a key to what listens and looks at a screen's bindings when nothing there took it, a few queues later.
    Keys typed behind one that opens a form would by then have gone to the place below.
    """

    _early: list[Key | Paste]
    heard = 0
    """How many keys there have been."""

    async def on_event(self, event: Event) -> None:
        """Hold what is typed until the form on top listens; let a place act on its key at once."""
        if not isinstance(event, Key | Paste) or event.is_forwarded:
            await super().on_event(event)
            return
        self.heard += 1
        early = self._waiting()
        early.append(event)
        await self._hand_out()

    def form_listens(self) -> None:
        """The form on top has been laid out: it gets what was typed meanwhile."""
        if self._waiting():
            self.call_later(self._hand_out)

    def _waiting(self) -> list[Key | Paste]:
        if not hasattr(self, "_early"):
            self._early = []
        return self._early

    async def _hand_out(self) -> None:
        early = self._waiting()
        while early and not (isinstance(self.screen, Form) and not self.screen.listens):
            event = early.pop(0)
            if isinstance(event, Key) and isinstance(self.screen, Place) and not self._types_words():
                event.stop()
                if await self._check_bindings(event.key, priority=True) or await self._check_bindings(event.key):
                    continue
            await super().on_event(event)

    def _types_words(self) -> bool:
        from textual.widgets import Input

        return isinstance(self.focused, Input)
