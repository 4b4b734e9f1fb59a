"""Bringing a backup back: first what would change, then the change, all or nothing; what it replaces is kept."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from wormbin.records.farms import Farm
from wormbin.store import backup
from wormbin.store.book import Book
from wormbin.store.change import RESTORED, Change
from wormbin.store.errors import DamagedError, StoreError
from wormbin.store.farmfile import FarmFile
from wormbin.store.place import Place, books_on, places_on
from wormbin.store.strikes import Document
from wormbin.store.writing import Writing


@dataclass(frozen=True, slots=True)
class BookChange:
    """What restoring does to one book: ids of lines that come back, that go, and that change (struck or lifted)."""

    place: Place
    back: tuple[str, ...]
    gone: tuple[str, ...]
    changed: tuple[str, ...]
    damaged: bool = False


@dataclass(frozen=True, slots=True)
class Restoring:
    """What restoring a backup would do; ``farm`` is whether bins, keepers, materials or settings change."""

    backup: str
    books: tuple[BookChange, ...]
    farm: bool

    @property
    def changes_anything(self) -> bool:
        """Whether the store differs from the backup at all."""
        return bool(self.books) or self.farm


def _places(store: Writing, name: str, bins: Collection[str] | None) -> list[Place]:
    found = set()
    for root in (store.folder, store.folder / backup.FOLDER / name):
        for book in books_on(store.disk, root):
            if bins is None or book in bins:
                found |= set(places_on(store.disk, root, book))
    return sorted(found, key=str)


def _compare(store: Writing, name: str, place: Place) -> tuple[BookChange | None, dict[str, Document]]:
    then = Book.load(store.disk, store.folder / backup.FOLDER / name, place).documents
    try:
        now = Book.load(store.disk, store.folder, place).documents
    except DamagedError:
        return BookChange(place, tuple(then), (), (), damaged=True), then
    change = BookChange(
        place,
        tuple(key for key in then if key not in now),
        tuple(key for key in now if key not in then),
        tuple(key for key in then if key in now and then[key] != now[key]),
    )
    return (change if change.back or change.gone or change.changed else None), then


def _farm(store: Writing, name: str) -> tuple[bool, Farm]:
    then = FarmFile.load(store.disk, store.folder / backup.FOLDER / name).farm
    try:
        return store.farm() != then, then
    except DamagedError:
        return True, then


def plan(store: Writing, name: str, bins: Collection[str] | None = None) -> Restoring:
    """What ``restore`` would do, without doing it. With ``bins`` only these bins' logs, and not the farm.

    Raises StoreError when the backup is not there or is itself damaged.
    """
    known = backup.opened(store.disk, store.folder, name)
    for flaw in backup.verify(store.disk, known):
        raise StoreError(f"this backup is damaged: {flaw.what}", "Choose another one.", path=flaw.path, line=flaw.line)
    changes = [_compare(store, name, place)[0] for place in _places(store, name, bins)]
    books = tuple(change for change in changes if change is not None)
    return Restoring(name, books, bins is None and _farm(store, name)[0])


def restore(store: Writing, name: str, bins: Collection[str] | None = None) -> Restoring:
    """Make the store what it was in a backup, after a backup of what is there now; what was done."""
    done: list[Restoring] = []

    def act(number: int) -> None:
        planned = plan(store, name, bins)
        if planned.changes_anything:
            backup.make(store.disk, store.folder, store.clock(), "before-restore")
            wanted = {change.place: _compare(store, name, change.place)[1] for change in planned.books}
            marker = Change(number, RESTORED, "", store.clock())
            store.replace_books(wanted, marker, _farm(store, name)[1] if planned.farm else None)
        done.append(planned)

    store.again(act)
    return done[-1]
