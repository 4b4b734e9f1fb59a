"""Bringing a backup back: first what would change, then the change, all or nothing; what it replaces is kept."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from wormbin.records.farms import Farm, OwnMaterial
from wormbin.records.lots import partner_id
from wormbin.store import backup
from wormbin.store.book import Book
from wormbin.store.change import RESTORED, Change
from wormbin.store.errors import DamagedError, StoreError
from wormbin.store.farmfile import FarmFile
from wormbin.store.lines import Document, has_half
from wormbin.store.place import Place, books_on, places_on
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
    """What restoring a backup would do; ``farm`` is whether bins, keepers, materials or settings change.

    When only some bins are brought back, ``particulars`` are those whose own record changes (name, size, place, ended),
    ``materials`` the own materials that come back with their lines, and ``halves`` the lines that come or go alone:
    their other halves (of a move, of a harvest into a lot) stand in books that stay as they are.
    """

    backup: str
    books: tuple[BookChange, ...]
    farm: bool
    particulars: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    halves: tuple[str, ...] = ()

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
    """What ``restore`` would do, without doing it. With ``bins`` only these bins: their logs and their own records.

    Raises StoreError when the backup is not there or is itself damaged.
    """
    known = backup.opened(store.disk, store.folder, name)
    for flaw in backup.verify(store.disk, known):
        raise StoreError(f"this backup is damaged: {flaw.what}", "Choose another one.", path=flaw.path, line=flaw.line)
    changes = [_compare(store, name, place)[0] for place in _places(store, name, bins)]
    books = tuple(change for change in changes if change is not None)
    if bins is None:
        return Restoring(name, books, _farm(store, name)[0])
    now, wanted = _farm_with(store, name, bins, books)
    particulars = tuple(key for key in bins if now.bin(key) != wanted.bin(key))
    materials = tuple(each.key for each in wanted.materials[len(now.materials) :])
    return Restoring(name, books, wanted != now, particulars, materials, _halves(store, name, books))


def _farm_with(store: Writing, name: str, bins: Collection[str], books: Collection[BookChange]) -> tuple[Farm, Farm]:
    """The farm now, and as it is when only these bins are brought back."""
    now = store.farm()
    then = FarmFile.load(store.disk, store.folder / backup.FOLDER / name).farm
    old = {one.key: one for one in then.bins if one.key in bins}
    kept = tuple(old.pop(one.key, one) for one in now.bins)
    materials = (*now.materials, *_materials(store, name, now, then, books))
    wanted = replace(now, bins=(*kept, *old.values()), materials=materials)
    return now, wanted


def _materials(
    store: Writing, name: str, now: Farm, then: Farm, books: Collection[BookChange]
) -> tuple[OwnMaterial, ...]:
    """Own materials that are gone by now, and that the lines which come back are made of."""
    there = {each.key for each in now.materials}
    gone = [each for each in then.materials if each.key not in there]
    if not gone:
        return ()
    used = {
        portion.get("material")
        for change in books
        for document in _compare(store, name, change.place)[1].values()
        for portion in document.get("portions", ())
        if isinstance(portion, dict)
    }
    return tuple(each for each in gone if each.key in used)


def _halves(store: Writing, name: str, books: Collection[BookChange]) -> tuple[str, ...]:
    """The lines that come, go or change while their other half, in a book that stays, does not."""
    touched: dict[str, Document] = {}
    for change in books:
        lines = {} if change.damaged else dict(Book.load(store.disk, store.folder, change.place).documents)
        lines |= _compare(store, name, change.place)[1]
        touched |= {key: lines[key] for key in (*change.back, *change.gone, *change.changed)}
    return tuple(key for key, line in touched.items() if has_half(line) and partner_id(key) not in touched)


def restore(store: Writing, name: str, bins: Collection[str] | None = None) -> Restoring:
    """Make the store what it was in a backup, after a backup of what is there now; what was done."""
    done: list[Restoring] = []

    def act(number: int) -> None:
        planned = plan(store, name, bins)
        if planned.changes_anything:
            # Read whole before anything is written: a book that is not in the backup is one that was empty then.
            wanted = {change.place: _compare(store, name, change.place)[1] for change in planned.books}
            farm = _farm(store, name)[1] if bins is None else _farm_with(store, name, bins, planned.books)[1]
            backup.make(store.disk, store.folder, store.clock(), "before-restore", name)
            marker = Change(number, RESTORED, "", store.clock())
            store.replace_books(wanted, marker, farm if planned.farm else None)
        done.append(planned)

    store.spared = name
    try:
        store.again(act)
    finally:
        store.spared = ""
    return done[-1]
