"""The keyboard of the program: no key is lost however fast it is typed, and none waits while memory is tidied."""

from __future__ import annotations

import asyncio
import contextlib
import gc
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from textual.app import App
from textual.binding import Binding
from textual.dom import DOMNode
from textual.events import Event, Key, Paste
from textual.message_pump import MessagePump
from textual.screen import Screen
from textual.widget import Widget

from wormbin.records.farms import KEYS

KEY_WORDS = {
    "question_mark": "?", "exclamation_mark": "!", "slash": "/", "plus": "+", "equals_sign": "=", "minus": "-",
    "comma": ",", "full_stop": ".", "escape": "Esc", "enter": "Enter", "pageup": "PgUp", "pagedown": "PgDn",
    "delete": "Del", "home": "Home", "end": "End", "tab": "Tab",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class NamedAction:
    """One thing to do: its keys as a person says them, what it does, and Textual's name for it."""

    keys: str
    words: str
    action: str


def bound(action: str, words: str, **how: Any) -> Binding:
    """A binding whose key a keeper may change, by the name of what it does."""
    name = name_of(action)
    key = next((key for key, sign in KEY_WORDS.items() if sign == KEYS[name]), KEYS[name])
    return Binding(key, action, words, id=name, **how)


def name_of(action: str) -> str:
    """What an action does, without where it is done: ``check`` for ``go('check')``, ``quit`` for ``app.quit``."""
    bare = action.removeprefix("app.").removeprefix("together('").removeprefix("go('").removeprefix("page('")
    return bare.removesuffix("')") if "tab" not in action else action


def places_of(screen: Screen[object]) -> tuple[DOMNode, ...]:
    """The screen and those parts of it in sight that have keys of their own."""
    parts = [
        part
        for part in screen.walk_children(Widget)
        if type(part).__module__.startswith("wormbin") and "BINDINGS" in vars(type(part)) and _in_sight(part)
    ]
    kinds = {type(part): part for part in reversed(parts)}
    return (screen, *kinds.values())


def _in_sight(part: Widget) -> bool:
    seen = all(each.display for each in part.ancestors_with_self if isinstance(each, Widget))
    return seen and (part.can_focus or bool(part.children))  # a drawing that no key can come to has none


def named_actions(place: DOMNode) -> tuple[NamedAction, ...]:
    """Every binding that a screen, widget or program of ours declares and has a use for, shown at the foot or not."""
    found: dict[str, NamedAction] = {}
    taken: set[str] = set()
    for kind in type(place).__mro__:
        if not kind.__module__.startswith("wormbin"):
            continue
        own = [each for each in vars(kind).get("BINDINGS", ()) if isinstance(each, Binding) and each.description]
        for binding in own:
            keys = [key for key in binding.key.split(",") if key not in taken]
            if not keys or binding.description in found:
                continue
            if place.check_action(binding.action.partition("(")[0], ()) is not False:
                changed = getattr(place.app, "keys", {}).get(binding.id)
                words = changed or " or ".join(key_word(key) for key in keys)
                found[binding.description] = NamedAction(words, binding.description, binding.action)
        taken.update(key for binding in own for key in binding.key.split(","))
    return tuple(found.values())


def key_word(key: str) -> str:
    """A key as it stands on the keyboard: ``?``, ``Esc``, ``^L``, ``F1``."""
    if key.startswith("ctrl+"):
        return "^" + key_word(key[5:]).upper()
    if key.startswith("f") and key[1:].isdigit():
        return key.upper()
    return KEY_WORDS.get(key, key)


R = TypeVar("R")


class Keyboard(App[R]):
    """An app whose places answer a key before the next one is looked at, and whose forms get all that follows.

    Textual hands a key to what listens and looks at a screen's bindings when nothing there took it, a few queues later.
    Keys typed behind one that opens a form would by then have gone to the place below, and those typed behind an Enter
    into a row that is about to be left. A screen says by ``listens`` whether it hears keys now, by ``answers_at_once``
    that it is a place of this kind, by ``in_turn`` that a key waits until the one before it has been dealt with.
    """

    def __init__(self) -> None:
        super().__init__()
        self._early: list[Key | Paste] = []
        self._dealing: asyncio.Task[None] | None = None
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
        """The form on top has been laid out, or has done what it was asked: it gets what was typed meanwhile."""
        if self._early:
            self.call_later(self._hand_out)

    def drop_repeats(self) -> None:
        """A form is about to be left by Enter: those that were pressed because nothing seemed to happen are void."""
        while self._early and isinstance(event := self._early[0], Key) and event.key in ("enter", "escape"):
            del self._early[0]

    async def _hand_out(self) -> None:
        while self._early and self._dealing is None and getattr(self.screen, "listens", True):
            event, form, part = self._early.pop(0), self.screen, self.focused or self.screen
            if isinstance(event, Key) and getattr(self.screen, "answers_at_once", False) and not self._types_words():
                event.stop()
                active = self.screen.active_bindings.get(event.key)
                if active is not None and await self.run_action(active.binding.action, active.node):
                    continue
            await super().on_event(event)
            if getattr(form, "in_turn", False):
                wholly = isinstance(event, Key) and not event.is_printable
                self._dealing = asyncio.create_task(self._dealt_with(part, wholly=wholly))

    async def _dealt_with(self, part: Widget, *, wholly: bool) -> None:
        """Wait until ``part`` has looked at its key; ``wholly`` until all that lies around it has heard of it."""
        await _passed(part)
        for around in (part, *part.ancestors) if wholly else ():
            if isinstance(around, Widget):
                await _passed(around)
        self._dealing = None
        self.form_listens()

    def _types_words(self) -> bool:
        from textual.widgets import Input

        return isinstance(self.focused, Input)


PATIENCE_S = 0.1
"""How often it is looked whether what is waited for has gone meanwhile."""


async def _passed(pump: MessagePump) -> None:
    """Wait until all has been heard that lies in a queue now."""
    heard = asyncio.Event()
    if pump.call_later(heard.set):
        while pump.is_running and not heard.is_set():
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(heard.wait(), PATIENCE_S)


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
