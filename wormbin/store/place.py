"""Where a year-book stands: its bin and year, its two files, and the copies that sync services leave beside them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wormbin.records.ids import is_key
from wormbin.store import DamagedError, Flaw, StoreError
from wormbin.store.disk import Disk

_YEAR = re.compile(r"([0-9]{4})\.json\Z")
_OWN = re.compile(r"[0-9]{4}(?:\.slip)?\.json(?:\.previous)?\Z")
_COPY = re.compile(r"([0-9]{4})[^0-9].*\.json\Z|([0-9]{4})\.json[ ._~-].+\Z")


FARM = "farm.json"
BOOKS = "books.json"
CASTINGS = ""
"""Stands for the castings book where a bin's key stands for its log; no key of a bin is empty."""
_CASTINGS_FOLDER = "castings"


@dataclass(frozen=True, slots=True)
class Place:
    """Which book: the bin and the year, or with ``bin`` ``CASTINGS`` the castings book of the year."""

    bin: str
    year: int

    @property
    def name(self) -> str:
        """What the book is called in a message."""
        return self.bin or "castings"

    def folder(self, root: Path) -> Path:
        """The folder of its bin, or of the castings books."""
        return folder_of(root, self.bin)

    def path(self, root: Path) -> Path:
        """The year's file."""
        return self.folder(root) / f"{self.year:04d}.json"

    def slip(self, root: Path) -> Path:
        """The slip beside it."""
        return self.folder(root) / f"{self.year:04d}.slip.json"

    def header(self) -> dict[str, Any]:
        """What its files say of themselves."""
        return ({"bin": self.bin} if self.bin else {"book": _CASTINGS_FOLDER}) | {"year": self.year}

    def holds(self, document: Mapping[str, Any]) -> bool:
        """Whether a line belongs into a book like this: of the bin, or of a lot."""
        return document.get("bin") == self.bin if self.bin else isinstance(document.get("lot"), str)

    @property
    def slip_name(self) -> str:
        """The path of its slip within the store."""
        return f"{folder_name(self.bin)}/{self.year:04d}.slip.json"

    def __str__(self) -> str:
        return f"{folder_name(self.bin)}/{self.year:04d}.json"


def folder_name(book: str) -> str:
    """The folder of a bin's books, or of the castings books, as a path within the store."""
    return f"bins/{book}" if book else _CASTINGS_FOLDER


def folder_of(root: Path, book: str) -> Path:
    """The folder of a bin's books, or of the castings books."""
    return root / "bins" / book if book else root / _CASTINGS_FOLDER


def name_of(path: Path) -> str:
    """What a file of the store is called within it."""
    above = path.parts[-3:]
    return "/".join(above if above[0] == "bins" else above[-2:] if path.parent.name == _CASTINGS_FOLDER else above[-1:])


def place_in(header: Mapping[str, Any]) -> Place:
    """The place that a header or a part of a redo note names. Raises ValueError."""
    key, year = header.get("bin"), header.get("year")
    if header.get("book") == _CASTINGS_FOLDER and "bin" not in header:
        key = CASTINGS
    elif not isinstance(key, str) or not is_key(key):
        raise ValueError(f"{key!r} is no book")
    if not isinstance(year, int) or isinstance(year, bool) or not 0 < year < 10000:
        raise ValueError(f"{year!r} is no year of a book")
    return Place(key, year)


def place_at(path: Path) -> tuple[Path, Place]:
    """The folder of the store, and the book, to which the path of a year-book belongs. Raises StoreError."""
    year, folder = year_in(path.name), path.parent
    if year is not None and folder.name == _CASTINGS_FOLDER and folder.parent.name != "bins":
        return folder.parent, Place(CASTINGS, year)
    if year is None or folder.parent.name != "bins" or not is_key(folder.name):
        raise StoreError("this is not the path of a year-book", "Give one like bins/kitchen/2026.json.", path=path)
    return folder.parent.parent, Place(folder.name, year)


def part_of(name: str) -> str:
    """Whether a name is that of a book or of a slip; "" for that of a copy."""
    return "" if not _OWN.match(name) else "slip" if ".slip." in name else "book"


def hold_to_place(header: Mapping[str, Any], path: Path, place: Place) -> None:
    """Refuse a file whose header says that it is another one than stands here."""
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


def year_in(name: str) -> int | None:
    """The year that a file name stands for when it is that of a year-book, else None."""
    found = _YEAR.match(name)
    return int(found[1]) if found and int(found[1]) > 0 else None


def copied_year(name: str) -> int | None:
    """The year when a name is that of a copy of a year-book, as made by sync services and by hand, else None."""
    found = None if _OWN.match(name) else _COPY.match(name)
    return int(found[1] or found[2]) if found else None


def in_place_of(disk: Disk, root: Path, book: str) -> Path | None:
    """The link or file that stands in the place of a book's folder, or above it; None when none does.

    What a link leads to is not the store's: nothing of it is read, copied or swept away.
    """
    for folder in dict.fromkeys((root / folder_name(book).partition("/")[0], folder_of(root, book))):
        stamp = disk.stamp(folder)
        if stamp is not None and not stamp.is_folder:
            return folder
    return None


def hold_to_folder(disk: Disk, root: Path, book: str) -> None:
    """Refuse a link in the place of a book's folder."""
    if (link := in_place_of(disk, root, book)) is not None:
        what = "this is a link or a file, and the store keeps plain folders only"
        raise DamagedError(what, "Put the folder itself in its place.", path=link)


def books_on(disk: Disk, root: Path) -> tuple[str, ...]:
    """The keys of the bins that have a folder, and ``CASTINGS`` when there are castings books."""
    keys = [name for name in disk.names(root / "bins") if is_key(name)]
    keys += [CASTINGS] if _CASTINGS_FOLDER in disk.names(root) else []
    return tuple(book for book in keys if in_place_of(disk, root, book) is None)


def places_on(disk: Disk, root: Path, book: str) -> tuple[Place, ...]:
    """The year-books of a bin, or of the castings, oldest first."""
    years = {year_in(name.replace(".slip.", ".")) for name in disk.names(folder_of(root, book))}
    return tuple(Place(book, year) for year in sorted(each for each in years if each is not None))


TAKE_OVER = "Take over what it has with “wormbin store merge”; it is then moved to set-aside."


def copies(disk: Disk, root: Path) -> tuple[Path, ...]:
    """The copies there are."""
    found = list(farm_copies(disk, root))
    for book in books_on(disk, root):
        folder = folder_of(root, book)
        found += [folder / name for name in disk.names(folder) if copied_year(name) is not None]
    return tuple(found)


def farm_copies(disk: Disk, root: Path) -> tuple[Path, ...]:
    """Those of the farm's file and of the list of books."""
    return tuple(root / name for name in disk.names(root) if _is_farm_copy(name))


def place_of_copy(root: Path, path: Path) -> Place:
    """The book that a copy is one of."""
    return Place(path.parent.name if path.parent.parent != root else CASTINGS, copied_year(path.name) or 0)


def _is_farm_copy(name: str) -> bool:
    begins = name.startswith(("farm", "books")) and name.removesuffix(".previous") not in (FARM, BOOKS)
    return begins and ".json" in name and not name.endswith(".part")


def flaw_of_copy(path: Path) -> Flaw:
    """One copy as a finding."""
    return Flaw(
        path, None, "this is a copy of a store file, made when two machines wrote at once or by hand", TAKE_OVER
    )


def notice_of(found: tuple[Path, ...]) -> Flaw | None:
    """All of them as one notice; None when there are none."""
    if not found:
        return None
    more = f"; there are {len(found) - 1} more such copies" if len(found) > 1 else ""
    what = f"this is a copy of a store file, made when two machines wrote at once; its lines are not shown{more}"
    do = "First see what it has: wormbin store merge --try. Then take it over: wormbin store merge."
    return Flaw(found[0], None, what, do)
