"""Everything that a place can do, by key and by name: what the help lists and what the palette finds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from textual.binding import Binding
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widget import Widget

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


def bound(key: str, action: str, words: str, **how: Any) -> Binding:
    """A binding whose key a keeper may change, by the name of what it does."""
    return Binding(key, action, words, id=name_of(action), **how)


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
