"""Records to and from the plain JSON that stands in files: readable by a person, exact in a round trip."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Generic, TypeVar

from wormbin.records.entries import LOG_KINDS, Entry
from wormbin.records.farms import Farm, Settings
from wormbin.records.kinds.fields import Description
from wormbin.records.lots import LOT_KINDS, Line, LotLine
from wormbin.records.shapes import Loose, Reader, Shape, UnreadableError, put_back, shape_of, take, unreadable

__all__ = [
    "UnknownKindError",
    "UnreadableError",
    "entry_from_json",
    "farm_from_json",
    "farm_to_json",
    "line_to_json",
    "lot_line_from_json",
    "settings_from_json",
    "settings_to_json",
]

L = TypeVar("L", Entry, LotLine)


class UnknownKindError(UnreadableError):
    """A line of a kind that this program does not know: a newer one wrote it. It is kept, not read."""


_Plan = tuple[dict[str, Reader], tuple[str, ...], tuple[str, ...]]


class _Lines(Generic[L]):
    """How the lines of one sort of book stand in JSON: a flat dict of envelope, ``kind``, and what was seen or done."""

    def __init__(self, envelope: type[L], kinds: Mapping[type[Any], Description[Any]], first: tuple[str, ...]) -> None:
        self.envelope: Any = envelope
        self.first = first
        self.what_of: dict[str, type[Any]] = {each.kind.value: each.what for each in kinds.values()}
        self.allowed = "one of " + ", ".join(self.what_of)
        self.plans: dict[type[Any], _Plan] = {}

    def write(self, line: L) -> dict[str, Any]:
        envelope = shape_of(self.envelope, "what")
        what = shape_of(type(line.what))
        written = envelope.write(line)
        document: dict[str, Any] = {name: written.pop(name) for name in self.first}
        document["kind"] = line.kind.value
        document.update(what.write(line.what))
        document.update((name, value) for name, value in written.items() if name in envelope.names)
        put_back(document, line.extra, envelope.names | what.names | {"kind"})
        return document

    def read(self, document: Any) -> L:
        if not isinstance(document, dict):
            raise unreadable("", document, f"an object with {', '.join(self.first)} and kind")
        kind = document.get("kind")
        if not isinstance(kind, str):
            raise unreadable("kind", kind if kind is not None else "", self.allowed)
        what_kind = self.what_of.get(kind)
        if what_kind is None:
            raise UnknownKindError(unreadable("kind", kind, self.allowed).problems)
        readers, required, own = self._plan(what_kind)
        loose: Loose = {}
        found = take(readers, required, document, "", loose)
        del found["kind"]
        seen = {name: found.pop(name) for name in own if name in found}
        if loose:
            found["extra"] = loose
        line: L = self.envelope(what=what_kind(**seen), **found)
        return line

    def _plan(self, what_kind: type[Any]) -> _Plan:
        """For a kind of line: the readers of its fields, those that must be there, and those that are its own."""
        known = self.plans.get(what_kind)
        if known is None:
            envelope: Shape = shape_of(self.envelope, "what")
            what: Shape = shape_of(what_kind)
            readers = {**what.readers, **envelope.readers, "kind": lambda value, _path, _loose: value}
            known = readers, (*envelope.required, *what.required), tuple(what.readers)
            self.plans[what_kind] = known
        return known


_ENTRIES = _Lines(Entry, LOG_KINDS, ("id", "bin", "when"))
_LOTS = _Lines(LotLine, LOT_KINDS, ("id", "lot", "when"))


def entry_from_json(document: Any) -> Entry:
    """One line of the log. Raises UnreadableError (path, what was read), UnknownKindError for a newer kind."""
    return _ENTRIES.read(document)


def lot_line_from_json(document: Any) -> LotLine:
    """One line of the castings book. Raises UnreadableError, UnknownKindError for a newer kind."""
    return _LOTS.read(document)


def line_to_json(line: Line) -> dict[str, Any]:
    """One line of either book."""
    return _ENTRIES.write(line) if isinstance(line, Entry) else _LOTS.write(line)


def _read(kind: type, document: Any) -> Any:
    return shape_of(kind).read(document, "", {})


def settings_to_json(settings: Settings) -> dict[str, Any]:
    """Settings as a plain dict, without what stands at its default."""
    return shape_of(Settings).write(settings)


def settings_from_json(document: Mapping[str, Any]) -> Settings:
    """Settings from a plain dict. Raises UnreadableError."""
    found: Settings = _read(Settings, document)
    return found


def farm_to_json(farm: Farm) -> dict[str, Any]:
    """A whole farm as one plain dict."""
    return shape_of(Farm).write(farm)


def farm_from_json(document: Mapping[str, Any]) -> Farm:
    """A whole farm from one plain dict. Raises UnreadableError."""
    found: Farm = _read(Farm, document)
    return found
