"""The redo note: a change that touches several books is written down whole before the first of them is touched.

Once the note is on the disk the change is done. Whoever comes next completes what is missing: each part knows the
sequence number that its book has when the part is in it. Until then readers lay the note's lines over the books.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wormbin.records.codec import UnknownKindError, UnreadableError, farm_from_json
from wormbin.records.ids import is_id
from wormbin.store.book import line_from_json
from wormbin.store.change import Change, change_to_json, changes_from_json
from wormbin.store.disk import Disk, Stamp
from wormbin.store.errors import DamagedError, DiskError
from wormbin.store.files import FORMAT, WholeFile, to_current
from wormbin.store.lines import Document
from wormbin.store.place import Place, place_in
from wormbin.store.text import HEADER

NAME = "redo.json"
_DO = (
    "Move it out of the folder and look with “wormbin store check” which lines of it are missing. Nothing was changed."
)


@dataclass(frozen=True, slots=True)
class Part:
    """What goes into one book; ``whole`` when it is all that the book will hold."""

    place: Place
    seq: int
    documents: Mapping[str, Document]
    change: Change | None = None
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Note:
    """A redo note as it stands on the disk; ``farm`` is the new content of ``farm.json`` if that changes, too.

    With ``over_damage`` it brings a backup back, so that a damaged farm file is moved aside for it.
    """

    parts: tuple[Part, ...]
    farm: Mapping[str, Any] | None = None
    farm_seq: int = 0
    over_damage: bool = False
    stamp: Stamp | None = None

    def part(self, place: Place) -> Part | None:
        """The part for one book."""
        return next((part for part in self.parts if part.place == place), None)


def write(disk: Disk, root: Path, note: Note) -> None:
    """Write the note, durably. From here on the change is done."""
    documents: dict[str, dict[str, Any]] = {}
    for number, part in enumerate(note.parts, 1):
        documents[str(number)] = {
            **part.place.header(),
            "seq": part.seq,
            "whole": part.whole,
            "changes": [change_to_json(part.change)] if part.change is not None else [],
            "entries": list(part.documents.values()),
        }
    header: dict[str, Any] = {"format": FORMAT, "seq": 1}
    tables = {HEADER: {"1": header}, "parts": documents}
    if note.farm is not None:
        tables["farm"] = {"1": {"seq": note.farm_seq, "over_damage": note.over_damage, "farm": dict(note.farm)}}
    WholeFile(root / NAME, disk).write(tables)


def read(disk: Disk, root: Path) -> Note | None:
    """The note that waits, or None. Raises DamagedError, NewerError, DiskError."""
    path = root / NAME
    storage = WholeFile(path, disk)
    try:
        tables = storage.read()
    except DamagedError as error:
        what = f"the note of a change that was cut short cannot be read: {error.what}"
        raise DamagedError(what, _DO, path=path, line=error.line) from None
    if tables is None:
        return None
    tables, _ = to_current(tables, path)
    try:
        parts = tuple(_part(document) for document in tables["parts"].values())
        farm = tables.get("farm", {}).get("1")
        if farm is None:
            return Note(parts, stamp=storage.stamp)
        farm_from_json(farm["farm"])
        return Note(parts, dict(farm["farm"]), int(farm["seq"]), farm.get("over_damage") is True, storage.stamp)
    except (KeyError, TypeError, ValueError, OverflowError, AttributeError, UnreadableError) as error:
        raise DamagedError(f"the redo note cannot be read ({error})", _DO, path=path) from None


def _part(document: Mapping[str, Any]) -> Part:
    place = place_in(document)
    documents = {}
    for entry in document["entries"]:
        if not is_id(entry["id"]) or not place.holds(entry):
            raise ValueError(f"{entry['id']!r} is no line of {place.name}")
        with suppress(UnknownKindError):
            line_from_json(place, entry)
        documents[entry["id"]] = dict(entry)
    changes = changes_from_json(document.get("changes"))
    return Part(place, int(document["seq"]), documents, changes[0] if changes else None, document["whole"] is True)


def remove(disk: Disk, root: Path) -> None:
    """Take the note away, once every part is in its book."""
    path = root / NAME
    try:
        disk.unlink(path)
        disk.sync_folder(root)
    except FileNotFoundError:
        return
    except OSError as error:
        raise DiskError(error, path, "take away the finished redo note") from error
