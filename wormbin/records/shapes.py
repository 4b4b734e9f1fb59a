"""Plain JSON to and from the frozen dataclasses of this floor, by their type hints, with the exact place of a fault.

A ``Shape`` is made once for a class. What it does not know it hands back as loose fields, under a path such as
``portions/0/colour``, so that what a newer program wrote survives in an older one.
"""

from __future__ import annotations

import dataclasses
import math
import types
import typing
from collections.abc import Callable, Mapping
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from wormbin.problems import Problem, RefusedError

Loose = dict[str, Any]
Reader = Callable[[Any, str, Loose], Any]


class UnreadableError(RefusedError):
    """A field of a file or document is not what it must be; ``problems`` holds its path and what was read."""


def short(value: Any) -> str:
    """What was read, in at most 60 characters, for a message."""
    text = repr(value) if not isinstance(value, str) else value
    return text if len(text) <= 60 else text[:57] + "..."


def unreadable(path: str, value: Any, allowed: str, example: str = "") -> UnreadableError:
    """The error for one field: ``path`` as in ``portions/0/kg``."""
    return UnreadableError(Problem(path or "the document", short(value), allowed, example))


def step(path: str, name: str | int) -> str:
    """``path`` one step deeper; slashes in a name are written ``~1`` as in JSON Pointer (RFC 6901)."""
    part = name.replace("~", "~0").replace("/", "~1") if isinstance(name, str) else str(name)
    return f"{path}/{part}" if path else part


def steps(path: str) -> list[str]:
    """The names along a path, with slashes put back."""
    return [part.replace("~1", "/").replace("~0", "~") for part in path.split("/")]


def _text(value: Any, path: str, _loose: Loose) -> str:
    if not isinstance(value, str):
        raise unreadable(path, value, "text", '"damp"')
    return value


def _number(value: Any, path: str, _loose: Loose) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise unreadable(path, value, "a number", "0.35")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise unreadable(path, value, "a finite number", "0.35")
    return number


def _whole(value: Any, path: str, _loose: Loose) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise unreadable(path, value, "a whole number", "2")
    return value


def _yes_no(value: Any, path: str, _loose: Loose) -> bool:
    if not isinstance(value, bool):
        raise unreadable(path, value, "true or false", "true")
    return value


def _moment(value: Any, path: str, _loose: Loose) -> datetime:
    allowed = "a date and time with its offset from UTC"
    example = '"2026-03-02T18:10:00+01:00"'
    try:
        moment = datetime.fromisoformat(value)
    except (TypeError, ValueError):
        raise unreadable(path, value, allowed, example) from None
    if moment.utcoffset() is None:
        raise unreadable(path, value, allowed, example)
    return moment


def _day(value: Any, path: str, _loose: Loose) -> date:
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        raise unreadable(path, value, "a date", '"2026-03-02"') from None


def _choice(kind: type[StrEnum]) -> Reader:
    known = {member.value: member for member in kind}

    def read(value: Any, path: str, _loose: Loose) -> Any:
        if not isinstance(value, str) or value not in known:
            raise unreadable(path, value, "one of " + ", ".join(known))
        return known[value]

    return read


def _one_of(readers: list[Reader]) -> Reader:
    def read(value: Any, path: str, loose: Loose) -> Any:
        for reader in readers[:-1]:
            try:
                return reader(value, path, loose)
            except UnreadableError:
                continue
        return readers[-1](value, path, loose)

    return read


def _maybe(reader: Reader) -> Reader:
    return lambda value, path, loose: None if value is None else reader(value, path, loose)


def _list(reader: Reader) -> Reader:
    def read(value: Any, path: str, loose: Loose) -> Any:
        if not isinstance(value, list):
            raise unreadable(path, value, "a list", "[]")
        return tuple([reader(item, f"{path}/{place}", loose) for place, item in enumerate(value)])

    return read


def _mapping(reader: Reader) -> Reader:
    def read(value: Any, path: str, loose: Loose) -> Any:
        if not isinstance(value, dict):
            raise unreadable(path, value, "an object", "{}")
        return {name: reader(item, step(path, name), loose) for name, item in value.items()}

    return read


_SIMPLE: dict[Any, Reader] = {
    str: _text,
    float: _number,
    int: _whole,
    bool: _yes_no,
    datetime: _moment,
    date: _day,
    Any: lambda value, _path, _loose: value,
}


def _reader(hint: Any) -> Reader:
    if hint in _SIMPLE:
        return _SIMPLE[hint]
    origin, inside = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        readers = [_reader(each) for each in inside if each is not type(None)]
        read = readers[0] if len(readers) == 1 else _one_of(readers)
        return _maybe(read) if type(None) in inside else read
    if origin is tuple:
        return _list(_reader(inside[0]))
    if origin is not None and issubclass(origin, Mapping):
        return _mapping(_reader(inside[1]))
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return _choice(hint)
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return shape_of(hint).read
    raise TypeError(f"no shape for {hint!r}")


def plain(value: Any) -> Any:
    """A value of a record as plain JSON; fields that say only their default are left out."""
    if value is None or isinstance(value, bool | int | float):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(name): plain(item) for name, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    return shape_of(type(value)).write(value)


def take(
    readers: Mapping[str, Reader], required: tuple[str, ...], document: Mapping[str, Any], path: str, loose: Loose
) -> dict[str, Any]:
    """The arguments that ``document`` holds; what no reader knows goes into ``loose``. Raises UnreadableError."""
    found: dict[str, Any] = {}
    before = f"{path}/" if path else ""
    for name, value in document.items():
        read = readers.get(name)
        if read is not None:
            found[name] = read(value, before + name, loose)
        else:
            loose[step(path, name)] = value
    for name in required:
        if name not in found:
            raise unreadable(before + name, "", "a value; it is missing")
    return found


class Shape:
    """How one dataclass stands in JSON. A field named ``extra`` is where its loose fields are kept."""

    def __init__(self, kind: type, leave_out: tuple[str, ...] = ()) -> None:
        hints = typing.get_type_hints(kind)
        self.kind = kind
        self.fields: list[tuple[str, Reader, Any]] = []
        self.keeps_loose = False
        for each in dataclasses.fields(kind):
            if each.name == "extra":
                self.keeps_loose = True
            elif each.name not in leave_out:
                self.fields.append((each.name, _reader(hints[each.name]), each.default))
        self.names = frozenset(name for name, _, _ in self.fields)
        self.readers = {name: read for name, read, _ in self.fields}
        self.required = tuple(name for name, _, default in self.fields if default is dataclasses.MISSING)

    def read(self, document: Any, path: str, loose: Loose) -> Any:
        """One object of the class, from a plain dict."""
        if not isinstance(document, dict):
            raise unreadable(path, document, "an object", "{}")
        if not self.keeps_loose:
            return self.kind(**take(self.readers, self.required, document, path, loose))
        own: Loose = {}
        found = self._take_own(document, path, own)
        if own:
            found["extra"] = own
        return self.kind(**found)

    def _take_own(self, document: Mapping[str, Any], path: str, own: Loose) -> dict[str, Any]:
        try:
            return take(self.readers, self.required, document, "", own)
        except UnreadableError as error:
            raise UnreadableError(
                [
                    dataclasses.replace(each, field=f"{path}/{each.field}" if path else each.field)
                    for each in error.problems
                ]
            ) from None

    def write(self, value: Any) -> dict[str, Any]:
        """A plain dict of the object, loose fields put back in their places."""
        document = {}
        for name, _, default in self.fields:
            held = getattr(value, name)
            if default is dataclasses.MISSING or held != default:
                document[name] = plain(held)
        if self.keeps_loose:
            put_back(document, value.extra, self.names)
        return document


def put_back(document: dict[str, Any], loose: Mapping[str, Any], known: frozenset[str]) -> None:
    """Put loose fields back where they were read; one whose place is gone, or is taken by now, is left out."""
    for path, value in loose.items():
        *along, last = steps(path)
        place: Any = document
        for name in along:
            if isinstance(place, list):
                place = place[int(name)] if name.isdecimal() and int(name) < len(place) else None
            else:
                place = place.get(name) if isinstance(place, dict) else None
        if isinstance(place, dict) and last not in place and (along or last not in known):
            place[last] = plain(value)


_SHAPES: dict[tuple[type, tuple[str, ...]], Shape] = {}


def shape_of(kind: type, *leave_out: str) -> Shape:
    """The shape of a dataclass, made once."""
    known = _SHAPES.get((kind, leave_out))
    if known is None:
        known = _SHAPES[kind, leave_out] = Shape(kind, leave_out)
    return known
