"""One store file: TinyDB's storage that replaces it as a whole, its lines as they must be, and its format.

``TinyDB(path, storage=WholeFile)`` opens any of them: read strictly, written all or nothing. Which format is written
stands here, and the steps that bring older ones up to it.
"""

from __future__ import annotations

import copy
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tinydb.storages import Storage

from wormbin.records.ids import is_id
from wormbin.store.disk import Disk, Stamp
from wormbin.store.errors import DamagedError, DiskError, NewerError, StoreError
from wormbin.store.lines import ORDER, Document
from wormbin.store.place import Place, part_of
from wormbin.store.text import HEADER, REPAIR, Tables, check_seal, line_of_id, parse, render, sealed, unsealed
from wormbin.store.whole import put

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


def format_of(tables: Tables) -> object:
    """The format number that a file states, or None when it states none."""
    for table in (HEADER, "meta"):
        header = tables.get(table, {}).get("1")
        if header is not None:
            return header.get("format")
    return None


def to_current(tables: Tables, path: Path) -> tuple[Tables, int]:
    """The tables in the format of this program, and the format they were in. Raises NewerError, DamagedError."""
    stated = format_of(tables)
    if not isinstance(stated, int) or isinstance(stated, bool) or stated < 1:
        raise DamagedError("the file does not say its format, so it may not be a store file", REPAIR, path=path, line=1)
    if stated > FORMAT:
        raise NewerError(
            f"a newer wormbin wrote this (format {stated}; this one knows formats up to {FORMAT})",
            "Use the newer wormbin. Nothing was changed.",
            path=path,
        )
    now = stated
    while now < FORMAT:
        tables = STEPS[now](tables)
        now += 1
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
        try:
            raw, self.stamp = self.disk.read(self.path)
        except FileNotFoundError:
            self.stamp, self.text = None, ""
            return None
        except OSError as error:
            raise DiskError(error, self.path, "read this file") from error
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
            raise DamagedError("the header has no sequence number", REPAIR, path=path, line=2)
    if place is not None:
        _holds_place(header, path, place)
    documents: dict[str, Document] = {}
    numbers: dict[str, int] = {}
    for number, document in tables.get(LINES, {}).items():
        entry_id = document.get("id")
        if not isinstance(entry_id, str) or not is_id(entry_id):
            raise DamagedError(
                f"line {number} of the log has no usable id", REPAIR, path=path, line=_line_of_number(text, number)
            )
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
        raise DamagedError("two lines have the same number", REPAIR, path=path)
    return Part(header, documents, numbers, path, changes_in(tables))


def _holds_place(header: Mapping[str, Any], path: Path, place: Place) -> None:
    part = part_of(path.name)
    if part and header.get("part", part) != part:
        raise DamagedError(
            f"this is a {header['part']}, and stands in the place of a {part}",
            "Bring the right file back with “wormbin store restore”, or from its “.previous” neighbour.",
            path=path,
            line=3,
        )
    if any(header.get(name) != value for name, value in place.header().items()):
        raise DamagedError(
            f"this is the book of “{header.get('bin', header.get('book'))}”, {header.get('year')}, and stands in the"
            f" place of “{place.name}”, {place.year}",
            "Move it to where it belongs, or mend its header by hand.",
            path=path,
            line=2,
        )


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
