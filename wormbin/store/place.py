"""Where a year-book stands: its bin and year, its two files, and which file names belong to it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from wormbin.records.ids import is_key
from wormbin.store.disk import Disk

_YEAR = re.compile(r"([0-9]{4})\.json\Z")
_OWN = re.compile(r"[0-9]{4}(?:\.slip)?\.json(?:\.previous)?\Z")
_COPY = re.compile(r"([0-9]{4})[^0-9].*\.json\Z|([0-9]{4})\.json[ ._~-].+\Z")


@dataclass(frozen=True, slots=True)
class Place:
    """Which book: the bin and the year."""

    bin: str
    year: int

    def folder(self, root: Path) -> Path:
        """The bin's folder."""
        return root / "bins" / self.bin

    def path(self, root: Path) -> Path:
        """The year's file."""
        return self.folder(root) / f"{self.year:04d}.json"

    def slip(self, root: Path) -> Path:
        """The slip beside it."""
        return self.folder(root) / f"{self.year:04d}.slip.json"

    def __str__(self) -> str:
        return f"bins/{self.bin}/{self.year:04d}.json"


def year_in(name: str) -> int | None:
    """The year that a file name stands for when it is that of a year-book, else None."""
    found = _YEAR.match(name)
    return int(found[1]) if found and int(found[1]) > 0 else None


def copied_year(name: str) -> int | None:
    """The year when a name is that of a copy of a year-book, as made by sync services and by hand, else None."""
    found = None if _OWN.match(name) else _COPY.match(name)
    return int(found[1] or found[2]) if found else None


def bins_on(disk: Disk, root: Path) -> tuple[str, ...]:
    """The keys of the bins that have a folder."""
    return tuple(name for name in disk.names(root / "bins") if is_key(name))
