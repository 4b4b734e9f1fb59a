"""Records to and from the plain JSON that stands in files: readable by a person, exact in a round trip."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wormbin.records.bins import Bin
from wormbin.records.entries import KIND_OF, Entry, Kind, What
from wormbin.records.farms import Farm, OwnMaterial, Settings
from wormbin.records.shapes import Loose, Reader, Shape, UnreadableError, put_back, shape_of, take, unreadable

__all__ = [
    "UnknownKindError",
    "UnreadableError",
    "bin_from_json",
    "bin_to_json",
    "entry_from_json",
    "entry_to_json",
    "farm_from_json",
    "farm_to_json",
    "material_from_json",
    "material_to_json",
    "settings_from_json",
    "settings_to_json",
]

_WHAT_OF = {kind.value: what for what, kind in KIND_OF.items()}


class UnknownKindError(UnreadableError):
    """An entry of a kind that this program does not know: a newer one wrote it. It is kept, not read."""


def _envelope() -> Shape:
    return shape_of(Entry, "what")


def entry_to_json(entry: Entry) -> dict[str, Any]:
    """One line of the log as a flat dict: the envelope, ``kind``, then what was seen or done."""
    envelope = _envelope()
    what = shape_of(type(entry.what))
    written = envelope.write(entry)
    document: dict[str, Any] = {name: written.pop(name) for name in ("id", "bin", "when")}
    document["kind"] = entry.kind.value
    document.update(what.write(entry.what))
    document.update((name, value) for name, value in written.items() if name in envelope.names)
    put_back(document, entry.extra, envelope.names | what.names | {"kind"})
    return document


def entry_from_json(document: Any) -> Entry:
    """One line of the log. Raises UnreadableError (path, what was read), UnknownKindError for a newer kind."""
    if not isinstance(document, dict):
        raise unreadable("", document, "an object with id, bin, when and kind")
    kind = document.get("kind")
    if not isinstance(kind, str):
        raise unreadable("kind", kind if kind is not None else "", "one of " + ", ".join(Kind))
    what_kind = _WHAT_OF.get(kind)
    if what_kind is None:
        raise UnknownKindError(unreadable("kind", kind, "one of " + ", ".join(Kind)).problems)
    readers, required, own = _plan(what_kind)
    loose: Loose = {}
    found = take(readers, required, document, "", loose)
    del found["kind"]
    seen = {name: found.pop(name) for name in own if name in found}
    if loose:
        found["extra"] = loose
    return Entry(what=what_kind(**seen), **found)


_Plan = tuple[dict[str, Reader], tuple[str, ...], tuple[str, ...]]
_PLANS: dict[type[What], _Plan] = {}


def _plan(what_kind: type[What]) -> _Plan:
    """For a kind of line: the readers of all its fields, those that must be there, and those that are its own."""
    known = _PLANS.get(what_kind)
    if known is None:
        envelope, what = _envelope(), shape_of(what_kind)
        readers = {**what.readers, **envelope.readers, "kind": lambda value, _path, _loose: value}
        known = readers, (*envelope.required, *what.required), tuple(what.readers)
        _PLANS[what_kind] = known
    return known


def _read(kind: type, document: Any) -> Any:
    return shape_of(kind).read(document, "", {})


def bin_to_json(one: Bin) -> dict[str, Any]:
    """A bin as a plain dict."""
    return shape_of(Bin).write(one)


def bin_from_json(document: Mapping[str, Any]) -> Bin:
    """A bin from a plain dict. Raises UnreadableError."""
    found: Bin = _read(Bin, document)
    return found


def material_to_json(material: OwnMaterial) -> dict[str, Any]:
    """An own material as a plain dict."""
    return shape_of(OwnMaterial).write(material)


def material_from_json(document: Mapping[str, Any]) -> OwnMaterial:
    """An own material from a plain dict. Raises UnreadableError."""
    found: OwnMaterial = _read(OwnMaterial, document)
    return found


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
