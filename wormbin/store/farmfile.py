"""What the farm knows: ``farm.json`` (bins, keepers, materials, settings), and ``books.json``, which books there are.

The register of books says how many lines each held when it was last folded, or its slip begun, so that a missing file
is not taken for an empty one. It is a lower bound: written after the books, never needed to read them.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from wormbin.records.codec import UnreadableError, farm_from_json, farm_to_json
from wormbin.records.farm_rules import farm_problems
from wormbin.records.farms import Farm
from wormbin.records.ids import KEY_RULE, is_key
from wormbin.records.limits import FAR_OFF
from wormbin.store.disk import Disk, Stamp
from wormbin.store.errors import ChangedError, DamagedError, told
from wormbin.store.files import FORMAT, WholeFile, to_current
from wormbin.store.place import BOOKS, FARM, Place, place_in
from wormbin.store.text import HEADER, REPAIR, Tables, line_of

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


class FarmFile:
    """The farm in memory, as last read or saved. No file is an empty farm, with sequence number 0."""

    def __init__(self, disk: Disk, root: Path, name: str = FARM) -> None:
        self.disk = disk
        self.path = root / name
        self.farm = Farm()
        self.seq = 0
        self.stamp: Stamp | None = None
        self.was_format = FORMAT
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
        except UnreadableError as error:
            field = error.problems[0].field.split("/")[-1]
            line = line_of(storage.text, f'"{field}"')
            raise DamagedError(f"in the farm, {error}".rstrip("."), REPAIR, path=file.path, line=line) from None
        for each in farm.bins:
            if not is_key(each.key):
                raise DamagedError(
                    f"“{each.key[:60]}” cannot be the key of a bin (allowed: {KEY_RULE})",
                    REPAIR,
                    path=file.path,
                    line=line_of(storage.text, f'"{each.key}"'),
                )
        keys = [each.key for each in farm.bins]
        if len(set(keys)) != len(keys):
            raise DamagedError("two bins have the same key", REPAIR, path=file.path)
        if storage.by_hand and (problems := farm_problems(farm, FAR_OFF)):
            words = problems[0].sentence().rstrip(".")
            raise DamagedError(f"in the farm, {words}", REPAIR, path=file.path)
        file.farm, file.seq, file.stamp = farm, header["seq"], storage.stamp
        header.pop("more", None)
        file._header = header
        known = {HEADER, *_LISTS, "keepers", "settings"}
        file._others = {name: table for name, table in tables.items() if name not in known}
        return file

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
        self.farm, self.seq, self.stamp, self.was_format = farm, seq, storage.stamp, FORMAT
        self._header = header


_TABLE = "books"
_ANEW = "Move it out of the folder: the list is made anew by itself."


class Register:
    """The register in memory, as last read or saved: ``lines`` by place."""

    def __init__(self, disk: Disk, root: Path) -> None:
        self.storage = WholeFile(root / BOOKS, disk)
        self.lines: dict[Place, int] = {}
        self.readable = True
        self._header: dict[str, Any] = {}
        self._others: Tables = {}

    @classmethod
    def load(cls, disk: Disk, root: Path) -> Register:
        """Read it. Raises DamagedError, NewerError or DiskError."""
        register = cls(disk, root)
        path = register.storage.path
        try:
            tables = register.storage.read()
        except DamagedError as error:
            what = f"the store's list of books cannot be read: {error.what}"
            raise DamagedError(what, _ANEW, path=path, line=error.line) from None
        if tables is None:
            return register
        tables, _ = to_current(tables, path)
        header = register._header = dict(tables[HEADER]["1"])
        if header.get("part") != "books" or _TABLE not in tables or type(header.get("seq")) is not int:
            what = "this is another file, and stands in the place of the store's list of books"
            raise DamagedError(what, _ANEW, path=path, line=3)
        register._others = {name: table for name, table in tables.items() if name not in (HEADER, _TABLE)}
        for document in tables.get(_TABLE, {}).values():
            lines = document.get("lines")
            try:
                place = place_in(document)
            except ValueError as error:
                raise DamagedError(f"the store's list of books cannot be read: {error}", _ANEW, path=path) from None
            if not isinstance(lines, int) or isinstance(lines, bool) or lines < 0:
                raise DamagedError(f"the list of books says no number of lines for {place}", _ANEW, path=path)
            register.lines[place] = lines
        return register

    @property
    def stamp(self) -> Stamp | None:
        """That of the file that was read."""
        return self.storage.stamp

    def say(self, lines: Mapping[Place, int | None]) -> None:
        """Write down how many lines these books hold; None for a book that is no more. Call it with the lock held.

        A list that could not be read stays as it is.
        """
        wanted = {**self.lines, **lines}
        left = {place: count for place, count in wanted.items() if count is not None}
        if left == self.lines or not self.readable:
            return
        header = {**self._header, "format": FORMAT, "part": "books", "seq": self._header.get("seq", 0) + 1}
        rows = {
            str(number): {**place.header(), "lines": left[place]}
            for number, place in enumerate(sorted(left, key=str), 1)
        }
        self.storage.write({HEADER: {"1": header}, _TABLE: rows, **self._others})
        self.lines, self._header = left, header
