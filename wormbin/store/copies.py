"""Copies of store files beside them, as sync services leave when two machines wrote at once: found by their names."""

from __future__ import annotations

from pathlib import Path

from wormbin.store import farmfile
from wormbin.store.disk import Disk
from wormbin.store.flaws import Flaw
from wormbin.store.place import CASTINGS, Place, books_on, copied_year, folder_of

TAKE_OVER = "Take over what it has with “wormbin store merge”; it is then moved to set-aside."


def copies(disk: Disk, root: Path) -> tuple[Path, ...]:
    """The copies there are."""
    found = [root / name for name in disk.names(root) if _is_farm_copy(name)]
    for book in books_on(disk, root):
        folder = folder_of(root, book)
        found += [folder / name for name in disk.names(folder) if copied_year(name) is not None]
    return tuple(found)


def place_of_copy(root: Path, path: Path) -> Place:
    """The book that a copy is one of."""
    return Place(path.parent.name if path.parent.parent != root else CASTINGS, copied_year(path.name) or 0)


def _is_farm_copy(name: str) -> bool:
    begins = name.startswith("farm") and name not in (farmfile.NAME, farmfile.NAME + ".previous")
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
    do = "See what it has with “wormbin store merge --try”, take it over with “wormbin store merge”."
    return Flaw(found[0], None, what, do)
