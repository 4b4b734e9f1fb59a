"""``books.json``: which books there are, and how many lines each held when it was last folded, or its slip begun.

So a missing file is not an empty one. The register is a lower bound: it is written after the books, is never needed
to read them, and may be missing.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from wormbin.store.disk import Disk, Stamp
from wormbin.store.errors import DamagedError
from wormbin.store.formats import FORMAT, to_current
from wormbin.store.place import BOOKS, Place, place_in
from wormbin.store.storage import WholeFile
from wormbin.store.text import HEADER, REPAIR, Tables

_TABLE = "books"


class Register:
    """The register in memory, as last read or saved: ``lines`` by place."""

    def __init__(self, disk: Disk, root: Path) -> None:
        self.storage = WholeFile(root / BOOKS, disk)
        self.lines: dict[Place, int] = {}
        self._header: dict[str, Any] = {}
        self._others: Tables = {}

    @classmethod
    def load(cls, disk: Disk, root: Path) -> Register:
        """Read it. Raises DamagedError, NewerError or DiskError."""
        register = cls(disk, root)
        tables = register.storage.read()
        if tables is None:
            return register
        path = register.storage.path
        tables, _ = to_current(tables, path)
        register._header = dict(tables[HEADER]["1"])
        register._others = {name: table for name, table in tables.items() if name not in (HEADER, _TABLE)}
        for document in tables.get(_TABLE, {}).values():
            lines = document.get("lines")
            try:
                place = place_in(document)
            except ValueError as error:
                raise DamagedError(f"the list of books cannot be read ({error})", REPAIR, path=path) from None
            if not isinstance(lines, int) or isinstance(lines, bool) or lines < 0:
                raise DamagedError(f"the list of books says no number of lines for {place}", REPAIR, path=path)
            register.lines[place] = lines
        return register

    def _seq(self) -> int:
        seq = self._header.get("seq", 0)
        return seq if isinstance(seq, int) else 0

    @property
    def stamp(self) -> Stamp | None:
        """That of the file that was read."""
        return self.storage.stamp

    def say(self, lines: Mapping[Place, int | None]) -> None:
        """Write down how many lines these books hold; None for a book that is no more. Call it with the lock held."""
        wanted = {**self.lines, **lines}
        left = {place: count for place, count in wanted.items() if count is not None}
        if left == self.lines:
            return
        header = {**self._header, "format": FORMAT, "part": "books", "seq": self._seq() + 1}
        rows = {
            str(number): {**place.header(), "lines": left[place]}
            for number, place in enumerate(sorted(left, key=str), 1)
        }
        self.storage.write({HEADER: {"1": header}, _TABLE: rows, **self._others})
        self.lines, self._header = left, header
