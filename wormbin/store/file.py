"""One store file: strict JSON in TinyDB's layout, one document a line, under a checksum; and TinyDB's storage of it.

The checksum is CRC-32 over the whole text without the ``"sum"`` field itself: a letter that changed by itself is
noticed. A file without one is read as it is: that is how a person who edited it by hand says that this was meant.
``TinyDB(path, storage=WholeFile)`` opens any of them: read strictly, written all or nothing. Which format is written
stands here, and the steps that bring older ones up to it.
"""

from __future__ import annotations

import codecs
import copy
import json
import re
import zlib
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NoReturn

from tinydb.storages import Storage

from wormbin.records.ids import is_id
from wormbin.store import DamagedError, NewerError, StoreError, told
from wormbin.store.disk import Disk, Stamp
from wormbin.store.documents import ORDER, Document
from wormbin.store.place import Place, hold_to_place, name_of
from wormbin.store.whole import put

HEADER = "store"
Tables = dict[str, dict[str, dict[str, Any]]]

DEEPEST = 40
_DIGITS = 18
"""Of the number of a document."""
REPAIR = (
    "Nothing was changed. Bring it back with “wormbin store restore”."
    " Or mend that line by hand, or put its “.previous” neighbour in its place."
)
_HALF_LETTER = re.compile(r"\\ud[89a-f]", re.IGNORECASE)


class _TwiceError(ValueError):
    """A name stands twice in one object."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise _TwiceError(name)
            seen.add(name)
    return found


def _no_such_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is not a number that a file may hold")


def _finite(text: str) -> float:
    number = float(text)
    if number - number != 0:
        raise ValueError(f"{text[:40]} is too large a number")
    return number


_DECODER = json.JSONDecoder(object_pairs_hook=_pairs, parse_constant=_no_such_number, parse_float=_finite)


def line_of(text: str, needle: str) -> int | None:
    """The 1-based line on which ``needle`` last stands, or None."""
    place = text.rfind(needle)
    return text.count("\n", 0, place) + 1 if place >= 0 else None


def line_of_id(text: str, entry_id: str) -> int | None:
    """The line on which the document with this id stands."""
    return line_of(text, f'"id": {json.dumps(entry_id, ensure_ascii=False)}') or line_of(text, json.dumps(entry_id))


def _too_deep(value: Any) -> bool:
    level = [value]
    for _ in range(DEEPEST):
        level = [
            inner
            for outer in level
            for inner in (outer.values() if isinstance(outer, dict) else outer)
            if isinstance(inner, dict | list)
        ]
        if not level:
            return False
    return True


def _damage(path: Path, what: str, line: int | None = None) -> DamagedError:
    return DamagedError(what, REPAIR, path=path, line=line)


def _decoded(raw: bytes, path: Path) -> str:
    if not raw.strip():
        raise _damage(path, "the file holds only blanks" if raw else "the file is empty, which a store file never is")
    if not raw.strip(b"\0"):
        raise _damage(path, "the file holds only zero bytes")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _damage(path, "the text is not UTF-8 (was it saved by an editor in another encoding?)", line) from None


def parse(raw: bytes, path: Path) -> tuple[Tables, str]:
    """The tables in a file's bytes, and its text. Raises DamagedError with the line.

    Refused: anything but an object of tables of documents, names that stand twice, NaN and infinities, numbers too
    large, nesting deeper than 40, half letters (lone surrogates), and empty or zeroed files. A byte-order mark, as
    some editors write it, is accepted.
    """
    text = _decoded(raw, path)
    try:
        value = _DECODER.decode(text)
    except json.JSONDecodeError as error:
        cut = error.pos >= len(text.rstrip()) or error.msg.startswith("Unterminated")
        odd = f"the text is not as the store writes it (in the terms of JSON: {error.msg}, column {error.colno})"
        what = "the text stops in the middle" if cut else odd
        raise _damage(path, what, error.lineno) from None
    except _TwiceError as error:
        name = json.dumps(error.name, ensure_ascii=False)
        raise _damage(path, f"the name {name[:60]} stands twice in one object", line_of(text, name)) from None
    except RecursionError:
        raise _damage(path, f"the text is nested deeper than {DEEPEST} levels") from None
    except ValueError as error:
        found = re.match(r"(\S+) is (?:not a number|too large)", str(error))
        what = str(error) if found else "a number has too many digits"
        raise _damage(path, what, line_of(text, found[1]) if found else None) from None
    _check_layout(value, path)
    if _too_deep(value):
        raise _damage(path, f"the text is nested deeper than {DEEPEST} levels")
    if half := _HALF_LETTER.search(text):
        try:
            json.dumps(value, ensure_ascii=False).encode("utf-8")
        except UnicodeEncodeError:
            line = text.count("\n", 0, half.start()) + 1
            raise _damage(path, "a letter is cut in half (a lone surrogate)", line) from None
    return value, text


def _check_layout(value: Any, path: Path) -> None:
    if not isinstance(value, dict):
        raise _damage(path, f"an object of tables was expected, not {type(value).__name__}", 1)
    for table, documents in value.items():
        if not isinstance(documents, dict):
            raise _damage(path, f"the table “{table[:40]}” is not an object of numbered documents")
        for number, document in documents.items():
            if not number.isascii() or not number.isdigit() or len(number) > _DIGITS:
                raise _damage(path, f"“{number[:40]}” in the table “{table[:40]}” is not a document number")
            if not isinstance(document, dict):
                raise _damage(path, f"document {number} of the table “{table[:40]}” is not an object")


def render(tables: Tables) -> bytes:
    """The bytes for tables: UTF-8, one document a line. Raises ValueError for NaN, infinities and half letters."""
    dumps = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode
    parts = []
    for table, documents in tables.items():
        lines = ",\n".join(f"{dumps(str(number))}: {dumps(document)}" for number, document in documents.items())
        parts.append(f"{dumps(table)}: {{\n{lines}\n}}" if lines else f"{dumps(table)}: {{}}")
    return ("{\n" + ",\n".join(parts) + "\n}\n").encode("utf-8")


_SUM_FIELD = "sum"
_HEAD = b'{\n"store": {\n"1": {'
_SUM = re.compile(rb'"sum": "([0-9a-f]{8})"(?:, )?')
_AT = 3
_MEANT = (
    "Nothing was changed. Did you change the file by hand? Say so: wormbin store check --accept {file}."
    " If not, bring it back: wormbin store restore."
)


def sealed(raw: bytes) -> bytes:
    """The text of a file, with its checksum put into the header."""
    if not raw.startswith(_HEAD):
        raise ValueError("a file without a header cannot be sealed")
    rest = raw[len(_HEAD) :]
    return _HEAD + b'"sum": "%08x"' % zlib.crc32(raw) + (rest if rest.startswith(b"}") else b", " + rest)


def unsealed(raw: bytes) -> bytes:
    """The text without its checksum, wherever that stands in it."""
    return _SUM.sub(b"", raw, count=1)


def check_seal(raw: bytes, tables: Tables, path: Path) -> bool:
    """Take the checksum out of the tables and hold the text to it; whether there was one.

    Raises DamagedError when they do not fit.
    """
    header: dict[str, Any] | None = tables.get(HEADER, {}).get("1")
    if header is None or _SUM_FIELD not in header:
        return False
    stated = header.pop(_SUM_FIELD)
    # Line ends and a byte-order mark are what an editor or a copying service may change without changing a word.
    text = raw.removeprefix(codecs.BOM_UTF8).replace(b"\r\n", b"\n")
    found = _SUM.match(text, len(_HEAD)) if text.startswith(_HEAD) else None
    if found is None or found[1].decode() != stated or zlib.crc32(_HEAD + text[found.end() :]) != int(found[1], 16):
        do = _MEANT.format(file=name_of(path))
        raise DamagedError("the text is not what was written (its checksum does not fit)", do, path=path, line=_AT)
    return True


LINES = "entries"
CHANGES = "changes"
FORMAT = 3


def _percent_to_fraction(document: dict[str, Any], old: str, new: str) -> None:
    if isinstance(document.get(old), int | float) and not isinstance(document.get(old), bool):
        document[new] = document.pop(old) / 100.0


def _from_1(tables: Tables) -> Tables:
    """Format 1 had its header in ``meta``, percent in checks, and only the reason of a strike."""
    tables = copy.deepcopy(tables)
    header = {**tables.pop("meta", {}).get("1", {}), "format": 2}
    header.setdefault("seq", 1)
    for document in tables.get("entries", {}).values():
        _percent_to_fraction(document, "moisture_pct", "moisture")
        _percent_to_fraction(document, "left_pct", "left")
        if isinstance(document.get("struck"), str):
            document["struck"] = {"why": document["struck"], "by": document.get("by", ""), "at": document.get("when")}
    return {HEADER: {"1": header}, **tables}


def _from_2(tables: Tables) -> Tables:
    """Format 2 listed the changes in the header, and a slip named the number of its book, not the state."""
    header = dict(tables.get(HEADER, {}).get("1", {}))
    header["format"] = 3
    changes = header.pop("changes", None)
    if "onto" in header:
        header["onto"] = str(header["onto"])
    elif "year" in header:
        header["mark"] = str(header.get("seq"))
    listed = [each for each in changes if isinstance(each, dict)] if isinstance(changes, list) else []
    numbered = {str(each["number"]): each for each in listed if type(each.get("number")) is int and each["number"] >= 0}
    return {**tables, HEADER: {"1": header}, **({"changes": numbered} if numbered else {})}


# From each older format to the next one. A step gets the tables of one file, book or farm, and returns new ones.
STEPS: Mapping[int, Callable[[Tables], Tables]] = {1: _from_1, 2: _from_2}


def to_current(tables: Tables, path: Path) -> tuple[Tables, int]:
    """The tables in the format of this program, and the format they were in. Raises NewerError, DamagedError."""
    headers = (tables.get(name, {}).get("1") for name in (HEADER, "meta"))
    stated = next((header.get("format") for header in headers if header is not None), None)
    if not isinstance(stated, int) or isinstance(stated, bool) or stated < 1:
        raise _damage(path, "the file does not say its format, so it may not be a store file", 1)
    if stated > FORMAT:
        raise NewerError(
            f"a newer wormbin wrote this (format {stated}; this one knows formats up to {FORMAT})",
            "Use the newer wormbin. Nothing was changed.",
            path=path,
        )
    for older in range(stated, FORMAT):
        tables = STEPS[older](tables)
    return tables, stated


class WholeFile(Storage):
    """One store file. ``stamp`` and ``text`` are those of the state last read or written (None before, or no file).

    ``by_hand`` is whether it was read without a checksum: a person may have changed it, past the door for records.
    """

    def __init__(self, path: Path | str, disk: Disk | None = None) -> None:
        super().__init__()
        self.disk = disk or Disk()
        self.path = Path(path)
        self.stamp: Stamp | None = None
        self.text = ""
        self.by_hand = False
        self.sum = ""

    def read(self) -> Tables | None:
        """The tables, or None when there is no file; an empty or damaged file raises DamagedError instead."""
        self.stamp, self.text = None, ""
        with told(self.path, "read this file"), suppress(FileNotFoundError):
            raw, self.stamp = self.disk.read(self.path)
        if self.stamp is None:
            return None
        tables, self.text = parse(raw, self.path)
        self.by_hand = not check_seal(raw, tables, self.path)
        self.sum = sum_of(raw)
        return tables

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Replace the file by these tables, durably."""
        try:
            raw = render(data)
            self.stamp = put(self.disk, self.path, sealed(raw))
            self.sum = sum_of(raw)
        except ValueError as error:
            raise StoreError(
                f"this cannot be written down ({error})", "Take the odd letter or number out of it.", path=self.path
            ) from None


def sum_of(raw: bytes) -> str:
    """The checksum of a file's text."""
    return f"{zlib.crc32(unsealed(raw)):08x}"


@dataclass(slots=True)
class Part:
    """One of the two files of a year-book as read, in the current format, and checked line by line."""

    header: dict[str, Any]
    documents: dict[str, Document]
    numbers: dict[str, int]
    path: Path
    changes: dict[int, Document] = field(default_factory=dict)
    stamp: Stamp | None = None
    was_format: int = FORMAT
    by_hand: bool = False
    sum: str = ""

    @property
    def seq(self) -> int:
        """The file's sequence number."""
        return int(self.header["seq"])


def read_part(disk: Disk, path: Path, place: Place | None) -> Part | None:
    """A file of the book at ``place`` (None: of any), or None if there is no file. Raises StoreError."""
    storage = WholeFile(path, disk)
    tables = storage.read()
    if tables is None:
        return None
    tables, was_format = to_current(tables, path)
    part = checked(tables, path, place, storage.text)
    part.stamp, part.was_format, part.by_hand, part.sum = storage.stamp, was_format, storage.by_hand, storage.sum
    return part


def checked(tables: Tables, path: Path, place: Place | None, text: str = "") -> Part:
    """The tables of a file in the current format as a part, every line of them looked at. Raises DamagedError."""
    header = dict(tables.get(HEADER, {}).get("1") or (place.header() | {"seq": 1, "format": FORMAT} if place else {}))
    for name in ("seq", "forgot"):
        value = header.get(name, 0 if name == "forgot" else None)
        if not isinstance(value, int) or isinstance(value, bool) or value < (name == "seq"):
            raise _damage(path, "the header has no sequence number", 2)
    if place is not None:
        hold_to_place(header, path, place)
    documents: dict[str, Document] = {}
    numbers: dict[str, int] = {}
    for number, document in tables.get(LINES, {}).items():
        entry_id = document.get("id")
        if not isinstance(entry_id, str) or not is_id(entry_id):
            raise _damage(path, f"line {number} of the log has no usable id", _line_of_number(text, number))
        if entry_id in documents:
            raise DamagedError(
                f"two lines have the id {entry_id}", "Take one of them out.", path=path, line=line_of_id(text, entry_id)
            )
        if place is not None and not place.holds(document):
            raise DamagedError(
                f"the line {entry_id} is of the bin “{document.get('bin')}”, and stands in the book of “{place.name}”",
                "Move it to the other book, or mend it by hand.",
                path=path,
                line=line_of_id(text, entry_id),
            )
        if ORDER not in document:  # written by a program that did not count them, or by hand: the file's own count
            document[ORDER] = int(number)
        documents[entry_id] = document
        numbers[entry_id] = int(number)
    if len(set(numbers.values())) != len(numbers):
        raise _damage(path, "two lines have the same number")
    return Part(header, documents, numbers, path, changes_in(tables))


def changes_in(tables: Mapping[str, Any]) -> dict[int, Document]:
    """The changes that a file lists, by their numbers."""
    listed = tables.get(CHANGES)
    return {int(number): each for number, each in listed.items()} if isinstance(listed, dict) else {}


def _line_of_number(text: str, number: str) -> int | None:
    """The line on which the document with this number stands."""
    for place, line in enumerate(text.splitlines(), 1):
        if line.lstrip().startswith(f'"{number}": {{') and place > 3:
            return place
    return None
