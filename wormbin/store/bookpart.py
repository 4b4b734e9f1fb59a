"""One file of a year-book, book or slip: read, brought to the current format, and checked line by line."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wormbin.records.ids import is_id
from wormbin.store.disk import Disk, Stamp
from wormbin.store.errors import DamagedError
from wormbin.store.formats import to_current
from wormbin.store.lines import ORDER, Document
from wormbin.store.place import Place
from wormbin.store.storage import WholeFile
from wormbin.store.text import HEADER, REPAIR, line_of_id


@dataclass(slots=True)
class Part:
    """One of the two files of a year-book as read, in the current format."""

    header: dict[str, Any]
    documents: dict[str, Document]
    numbers: dict[str, int]
    stamp: Stamp | None
    path: Path
    was_format: int
    by_hand: bool = False

    @property
    def seq(self) -> int:
        """The file's sequence number."""
        return int(self.header["seq"])


def read_part(disk: Disk, path: Path, place: Place | None) -> Part | None:
    """A file of the book at ``place`` (None: of any), or None if there is no file. Raises StoreError."""
    storage = WholeFile(disk, path)
    tables = storage.read()
    if tables is None:
        return None
    text = storage.text
    tables, was_format = to_current(tables, path)
    header = dict(tables[HEADER]["1"])
    if not isinstance(header.get("seq"), int) or isinstance(header["seq"], bool) or header["seq"] < 1:
        raise DamagedError("the header has no sequence number", REPAIR, path=path, line=2)
    changes = header.get("changes")
    header["changes"] = [each for each in changes if _is_change(each)] if isinstance(changes, list) else []
    if place is not None and any(header.get(name) != value for name, value in place.header().items()):
        raise DamagedError(
            f"this is the book of “{header.get('bin', header.get('book'))}”, {header.get('year')}, and stands in the"
            f" place of “{place.name}”, {place.year}",
            "Move it to where it belongs, or mend its header by hand.",
            path=path,
            line=2,
        )
    documents: dict[str, Document] = {}
    numbers: dict[str, int] = {}
    for number, document in tables.get("entries", {}).items():
        entry_id = document.get("id")
        if not isinstance(entry_id, str) or not is_id(entry_id):
            raise DamagedError(
                f"line {number} of the log has no usable id", REPAIR, path=path, line=line_of_number(text, number)
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
    return Part(header, documents, numbers, storage.stamp, path, was_format, storage.by_hand)


def _is_change(document: Any) -> bool:
    number = document.get("number") if isinstance(document, dict) else None
    return isinstance(number, int) and not isinstance(number, bool)


def line_of_number(text: str, number: str) -> int | None:
    """The line on which the document with this number stands."""
    for place, line in enumerate(text.splitlines(), 1):
        if line.lstrip().startswith(f'"{number}": {{') and place > 3:
            return place
    return None


def read_copy(disk: Disk, path: Path, place: Place) -> tuple[Document, ...]:
    """The lines in a copy of a book or slip that stands under another name. Raises StoreError."""
    part = read_part(disk, path, place)
    return tuple(part.documents.values()) if part is not None else ()
