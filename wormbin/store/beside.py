"""Beside the year-books: the farm, the list of books, the note of a change that was cut short, and the desk.

``farm.json`` holds bins, keepers, materials and settings. ``books.json`` says how many lines each book held when it was
last folded, or its slip begun, so that a missing file is not taken for an empty one: a lower bound, written after the
books, never needed to read them. A change that touches several books is written down whole in ``redo.json`` before the
first of them is touched: from then on it is done, and whoever comes next completes it; until then readers lay its lines
over the books. On the desk lie half-filled forms and what was worked out before: neither is the log.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wormbin.problems import Problem, RefusedError
from wormbin.records.codec import UnknownKindError, UnreadableError, farm_from_json, farm_to_json
from wormbin.records.farm_rules import farm_problems
from wormbin.records.farms import Farm
from wormbin.records.ids import KEY_RULE, is_id, is_key
from wormbin.records.limits import FAR_OFF
from wormbin.store import ChangedError, DamagedError, MissingError, StoreError, told
from wormbin.store.disk import Disk, Stamp, same_file
from wormbin.store.documents import Change, Document, change_to_json, changes_from_json, line_from_json
from wormbin.store.file import FORMAT, HEADER, REPAIR, Tables, WholeFile, line_of, to_current
from wormbin.store.place import BOOKS, FARM, Place, books_on, place_in
from wormbin.store.whole import previous_of

_LISTS = ("bins", "materials")


def _tables(farm: Mapping[str, Any], header: Mapping[str, Any]) -> Tables:
    rest = {name: value for name, value in farm.items() if name not in {*_LISTS, "keepers", "settings"}}
    tables: Tables = {HEADER: {"1": {**header, **({"more": rest} if rest else {})}}}
    for name in _LISTS:
        tables[name] = {str(number): each for number, each in enumerate(farm.get(name, []), 1)}
    tables["keepers"] = {str(number): {"name": name} for number, name in enumerate(farm.get("keepers", []), 1)}
    tables["settings"] = {"1": farm.get("settings", {})}
    return tables


def _plain(tables: Tables) -> dict[str, Any]:
    farm: dict[str, Any] = {name: list(tables.get(name, {}).values()) for name in _LISTS}
    farm["keepers"] = [each.get("name") for each in tables.get("keepers", {}).values()]
    farm["settings"] = tables.get("settings", {}).get("1", {})
    farm.update(tables[HEADER]["1"].get("more") or {})
    return farm


def _is_a_farm(header: Mapping[str, Any], tables: Tables, path: Path) -> None:
    """Refuse a file of another sort in the place of the farm's, and a header with odd things in it."""
    if header.get("part", "farm") != "farm" or "year" in header or "settings" not in tables:
        what = "this is another file of the store, and stands in the place of the farm's"
        raise DamagedError(what, "Bring the farm's back with “wormbin store restore”.", path=path, line=3)
    if not isinstance(header.get("more", {}), dict):
        raise DamagedError("in the header, “more” is not an object", REPAIR, path=path, line=3)


def hold_to_keys(farm: Farm) -> None:
    """Refuse keys of which no paths can be made, or two bins with one, whoever wrote them."""
    keys = [each.key for each in farm.bins]
    problems = [Problem("bin", key, KEY_RULE, "kitchen") for key in keys if not is_key(key)]
    twice = sorted(key for key in set(keys) if keys.count(key) > 1)
    if problems := problems + [Problem("bin", key, "a name in commands that no other bin has") for key in twice]:
        raise RefusedError(problems)


class FarmFile:
    """The farm in memory, as last read or saved. No file is an empty farm, with sequence number 0."""

    def __init__(self, disk: Disk, root: Path, name: str = FARM) -> None:
        self.disk = disk
        self.path = root / name
        self.farm = Farm()
        self.seq = 0
        self.stamp: Stamp | None = None
        self.was_format = FORMAT
        self.behind = False
        """Whether it is not newer than the state that its own last save kept beside it."""
        self._header: dict[str, Any] = {"format": FORMAT}
        self._others: Tables = {}

    @classmethod
    def load(cls, disk: Disk, root: Path, name: str = FARM) -> FarmFile:
        """Read it, or a copy of it by its name. Raises DamagedError, NewerError or DiskError."""
        file = cls(disk, root, name)
        storage = WholeFile(file.path, disk)
        tables = storage.read()
        if tables is None:
            return file
        tables, file.was_format = to_current(tables, file.path)
        header = dict(tables[HEADER]["1"])
        if not isinstance(header.get("seq"), int) or isinstance(header["seq"], bool):
            raise DamagedError("the header has no sequence number", REPAIR, path=file.path, line=2)
        _is_a_farm(header, tables, file.path)
        try:
            farm = farm_from_json(_plain(tables))
            hold_to_keys(farm)
            if storage.by_hand and (problems := farm_problems(farm, FAR_OFF)):
                raise RefusedError(problems[:1])
        except RefusedError as error:
            first = error.problems[0]
            lines = (line_of(storage.text, f'"{each}"') for each in (first.read, first.field.split("/")[-1]))
            words = first.sentence().rstrip(".")
            line = next(filter(None, lines), None)
            raise DamagedError(f"in the farm, {words}", REPAIR, path=file.path, line=line) from None
        file.farm, file.seq, file.stamp = farm, header["seq"], storage.stamp
        file.behind = not storage.by_hand and file._is_behind()
        header.pop("more", None)
        file._header = header
        known = {HEADER, *_LISTS, "keepers", "settings"}
        file._others = {name: table for name, table in tables.items() if name not in known}
        return file

    def _is_behind(self) -> bool:
        before = WholeFile(previous_of(self.path), self.disk)
        with suppress(StoreError, LookupError, TypeError):
            kept: Any = (before.read() or {})[HEADER]["1"]["seq"]
            return bool(kept >= self.seq) and not same_file(before.stamp, self.stamp)
        return False

    def is_fresh(self) -> bool:
        """Whether the file is still the one that was read."""
        with told(self.path, "look at the farm"):
            return self.disk.stamp(self.path) == self.stamp

    def save(self, farm: Farm, seq: int | None = None) -> None:
        """Replace the farm, durably; tables that this program does not know stay. Call it with the lock held."""
        if not self.is_fresh():
            raise ChangedError("another program changed the farm meanwhile", "Do it again.", path=self.path)
        seq = self.seq + 1 if seq is None else seq
        header = {**self._header, "format": FORMAT, "part": "farm", "seq": seq}
        storage = WholeFile(self.path, self.disk)
        storage.write({**_tables(farm_to_json(farm), header), **self._others})
        self.farm, self.seq, self.stamp, self.was_format, self.behind = farm, seq, storage.stamp, FORMAT, False
        self._header = header


_TABLE = "books"
_ANEW = (
    "Look whether every bin and year is there. Is one gone? wormbin store restore."
    f" Then make the list anew: wormbin store check --accept {BOOKS}."
)


class Register:
    """The register in memory, as last read or saved: ``lines`` by place."""

    def __init__(self, disk: Disk, root: Path, *, readable: bool = True) -> None:
        self.storage = WholeFile(root / BOOKS, disk)
        self.lines: dict[Place, int] = {}
        self.farm = 0
        """The sequence number that the farm's file had come to; 0 when it is not said."""
        self.readable = readable
        self._header: dict[str, Any] = {}
        self._others: Tables = {}

    @classmethod
    def load(cls, disk: Disk, root: Path) -> Register:
        """Read it. Raises DamagedError, NewerError, DiskError, or MissingError: a farm is written after its list."""
        register = cls(disk, root)
        path = register.storage.path
        try:
            tables = register.storage.read()
        except DamagedError as error:
            what = f"the list of all logs cannot be read: {error.what}"
            raise DamagedError(what, _ANEW, path=path, line=error.line) from None
        if tables is None:
            farm = FarmFile.load(disk, root)
            if farm.stamp is None or farm.was_format < FORMAT:
                return register
            empty = [each.key for each in farm.farm.bins if each.key not in books_on(disk, root)]
            of = f"; nothing is here of {', '.join(empty)}" if empty else ""
            raise MissingError(f"the list of all logs is missing, so a log may be gone, too{of}", _ANEW, path=path)
        tables, _ = to_current(tables, path)
        header = register._header = dict(tables[HEADER]["1"])
        numbers = (header.get("seq"), header.get("farm", 0))
        if header.get("part") != "books" or _TABLE not in tables or any(type(each) is not int for each in numbers):
            what = "this is another file, and stands in the place of the list of all logs"
            raise DamagedError(what, _ANEW, path=path, line=3)
        register.farm = header.get("farm", 0)
        register._others = {name: table for name, table in tables.items() if name not in (HEADER, _TABLE)}
        for document in tables.get(_TABLE, {}).values():
            try:
                place, lines = place_in(document), document.get("lines")
                if type(lines) is not int or lines < 0:
                    raise ValueError(f"it says no number of lines for {place}")
            except ValueError as error:
                raise DamagedError(f"the list of all logs cannot be read: {error}", _ANEW, path=path) from None
            register.lines[place] = lines
        return register

    @property
    def stamp(self) -> Stamp | None:
        """That of the file that was read."""
        return self.storage.stamp

    def say(self, lines: Mapping[Place, int | None], farm: int | None = None) -> None:
        """Write down how many lines these books hold (None for a book that is no more), and how far the farm has come.

        Call it with the lock held. A list that could not be read stays as it is.
        """
        farm = self.farm if farm is None else farm
        wanted = {**self.lines, **lines}
        left = {place: count for place, count in wanted.items() if count is not None}
        if not self.readable or (self.stamp is not None and (left, farm) == (self.lines, self.farm)):
            return
        header = {**self._header, "format": FORMAT, "part": "books", "seq": self._header.get("seq", 0) + 1}
        header["farm"] = farm
        rows = {
            str(number): {**place.header(), "lines": left[place]}
            for number, place in enumerate(sorted(left, key=str), 1)
        }
        self.storage.write({HEADER: {"1": header}, _TABLE: rows, **self._others})
        self.lines, self.farm, self._header = left, farm, header


REDO = "redo.json"
_DO = "Nothing was changed. Move it out of the folder. Then see which lines are missing: wormbin store check."


@dataclass(frozen=True, slots=True)
class NotePart:
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

    parts: tuple[NotePart, ...]
    farm: Mapping[str, Any] | None = None
    farm_seq: int = 0
    over_damage: bool = False
    stamp: Stamp | None = None

    def part(self, place: Place) -> NotePart | None:
        """The part for one book."""
        return next((part for part in self.parts if part.place == place), None)


def write_redo(disk: Disk, root: Path, note: Note) -> None:
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
    WholeFile(root / REDO, disk).write(tables)


def read_redo(disk: Disk, root: Path) -> Note | None:
    """The note that waits, or None. Raises DamagedError, NewerError, DiskError."""
    path = root / REDO
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


def _part(document: Mapping[str, Any]) -> NotePart:
    place = place_in(document)
    documents = {}
    for entry in document["entries"]:
        if not is_id(entry["id"]) or not place.holds(entry):
            raise ValueError(f"{entry['id']!r} is no line of {place.name}")
        with suppress(UnknownKindError):
            line_from_json(place, entry)
        documents[entry["id"]] = dict(entry)
    changes = changes_from_json(document.get("changes"))
    return NotePart(place, int(document["seq"]), documents, changes[0] if changes else None, document["whole"] is True)


def remove_redo(disk: Disk, root: Path) -> None:
    """Take the note away, once every part is in its book."""
    with told(root / REDO, "take away the finished redo note"), suppress(FileNotFoundError):
        disk.unlink(root / REDO)
        disk.sync_folder(root)


FORMS = "drafts"
WORKED_OUT = "cache"


class Desk:
    """The two side folders of one store. Names are like the keys of bins."""

    def __init__(self, disk: Disk, root: Path) -> None:
        self.disk = disk
        self.root = root

    def _path(self, folder: str, name: str) -> Path:
        if not is_key(name):
            raise ValueError(f"{name!r} cannot be the name of a file on the desk")
        return self.root / folder / f"{name}.json"

    def _read(self, path: Path) -> Any:
        with suppress(StoreError, LookupError):
            tables = WholeFile(path, self.disk).read()
            return None if tables is None else tables["held"]["1"]["value"]
        return None

    def _write(self, path: Path, value: Any) -> None:
        tables = {HEADER: {"1": {"format": FORMAT, "seq": 1}}, "held": {"1": {"value": value}}}
        WholeFile(path, self.disk).write(tables)

    def keep_form(self, name: str, fields: Mapping[str, str]) -> None:
        """Keep a half-filled form, durably. Raises StoreError."""
        self._write(self._path(FORMS, name), dict(fields))

    def form(self, name: str) -> dict[str, str] | None:
        """A form that was left half filled, or None."""
        held = self._read(self._path(FORMS, name))
        if not isinstance(held, dict) or not all(isinstance(each, str) for each in held.values()):
            return None
        return held

    def forms(self) -> tuple[str, ...]:
        """The names of the forms that were left half filled."""
        with suppress(OSError):
            names = self.disk.names(self.root / FORMS)
            return tuple(name[:-5] for name in names if name.endswith(".json") and is_key(name[:-5]))
        return ()

    def drop_form(self, name: str) -> None:
        """Forget a form, once it is saved or given up. Raises StoreError."""
        path = self._path(FORMS, name)
        for each in (path, path.with_name(path.name + ".previous")):
            with told(each, "forget this form"), suppress(FileNotFoundError):
                self.disk.unlink(each)

    def keep_worked_out(self, name: str, rests_on: str, value: Any) -> bool:
        """Keep what was worked out from the log at one revision (``rests_on``); whether that could be done.

        ``value`` is plain JSON. Nothing is kept where there is no store yet, or it may not be written to.
        """
        with suppress(StoreError, OSError):
            if self.disk.folder_stamp(self.root) is not None:
                self._write(self._path(WORKED_OUT, name), {"rests_on": rests_on, "value": value})
                return True
        return False

    def worked_out(self, name: str, rests_on: str) -> Any:
        """What was worked out from the log at this very revision, or None."""
        held = self._read(self._path(WORKED_OUT, name))
        return held.get("value") if isinstance(held, dict) and held.get("rests_on") == rests_on else None
