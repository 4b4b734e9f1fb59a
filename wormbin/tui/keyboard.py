"""The keyboard of the program: no key is lost however fast it is typed, and none waits while memory is tidied."""

from __future__ import annotations

import gc
from collections.abc import Callable
from typing import TypeVar

from textual.app import App
from textual.events import Event, Key, Paste

R = TypeVar("R")


class Keyboard(App[R]):
    """An app whose places answer a key before the next one is looked at, and whose forms get all that follows.

    Textual hands a key to what listens and looks at a screen's bindings when nothing there took it, a few queues later.
    Keys typed behind one that opens a form would by then have gone to the place below. A screen says by ``listens``
    whether it hears keys yet, by ``answers_at_once`` that it is a place of this kind.
    """

    def __init__(self) -> None:
        super().__init__()
        self._early: list[Key | Paste] = []
        self.heard = 0
        """How many keys there have been."""

    async def on_event(self, event: Event) -> None:
        """Hold what is typed until the form on top listens; let a place act on its key at once."""
        if not isinstance(event, Key | Paste) or event.is_forwarded:
            await super().on_event(event)
            return
        self.heard += 1
        self._early.append(event)
        await self._hand_out()

    def form_listens(self) -> None:
        """The form on top has been laid out: it gets what was typed meanwhile."""
        if self._early:
            self.call_later(self._hand_out)

    async def _hand_out(self) -> None:
        while self._early and getattr(self.screen, "listens", True):
            event = self._early.pop(0)
            if isinstance(event, Key) and getattr(self.screen, "answers_at_once", False) and not self._types_words():
                event.stop()
                active = self.screen.active_bindings.get(event.key)
                if active is not None and await self.run_action(active.binding.action, active.node):
                    continue
            await super().on_event(event)

    def _types_words(self) -> bool:
        from textual.widgets import Input

        return isinstance(self.focused, Input)


YOUNG, OLDER, OLDEST = 2000, 10, 200
"""How many new objects make Python look through the new ones, how often then through the older, and through all."""
QUIET_LOOKS = 20
"""Looks in a row without a key between them, before memory is looked through."""


class Tidying:
    """Memory is looked through for unused objects while nobody presses a key, since everything stands still meanwhile.

    Left to itself Python does so in the middle of whatever makes many objects, which is just when a form opens or a bin
    is replayed. What has come to stay once is not looked at again. ``heard`` tells how many keys there have been,
    ``alone`` whether only what stays is open; it is asked to look now and then.
    """

    def __init__(self, heard: Callable[[], int], alone: Callable[[], bool]) -> None:
        self._heard = heard
        self._alone = alone
        self._last = -1
        self._quiet = 0
        gc.set_threshold(YOUNG, OLDER, OLDEST)

    def look(self) -> bool:
        """Look through memory when it has been quiet for long enough, once until the next key; whether it did."""
        heard = self._heard()
        self._quiet = self._quiet + 1 if heard == self._last else 0
        self._last = heard
        if self._quiet != QUIET_LOOKS:
            return False
        gc.collect()
        if self._alone():
            gc.freeze()
        return True
