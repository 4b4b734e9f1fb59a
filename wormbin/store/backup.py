"""Backups: rolling, verified copies of the store's files in ``backups/``, and how one is brought back.

Each backup is a folder that looks like the store, with a list of its files and their SHA-256 in ``backup.json``. A
file that has not changed since the backup before is a second name for that backup's copy, never for the live file.
Before one is brought back it is told what would change; what it replaces is kept.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wormbin.records.farms import Farm, OwnMaterial
from wormbin.records.lots import partner_id
from wormbin.store import DamagedError, DiskError, Flaw, StoreError, flaw_of, told
from wormbin.store.beside import FarmFile
from wormbin.store.book import Book
from wormbin.store.disk import Disk, Stamp
from wormbin.store.documents import RESTORED, Change, Document, has_half
from wormbin.store.file import HEADER, parse, render
from wormbin.store.place import FARM, Place, books_on, folder_name, folder_of, places_on, year_in
from wormbin.store.whole import make_folder, put

if TYPE_CHECKING:
    from wormbin.store.writing import Writing


FOLDER = "backups"
LIST = "backup.json"
KEPT_NEWEST = 10
KEPT_MONTHS = 24
_NAME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{6}-[0-9]{2}-[a-z0-9-]+\Z")
_MAKING = ".making"
_MEND = "Make a new backup; this one can no longer be trusted for that file."


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup: its name (which begins with its date and time), its folder, and the files in it."""

    name: str
    folder: Path
    files: tuple[str, ...]


def live_files(disk: Disk, root: Path) -> tuple[str, ...]:
    """The files that make up a store, relative to its folder."""
    found = [FARM] if disk.stamp(root / FARM) is not None else []
    for book in books_on(disk, root):
        inside = disk.names(folder_of(root, book))
        found += [f"{folder_name(book)}/{name}" for name in inside if year_in(name.replace(".slip.", ".")) is not None]
    return tuple(found)


def names(disk: Disk, root: Path) -> tuple[str, ...]:
    """The names of the backups, oldest first."""
    base = root / FOLDER
    found = [name for name in disk.names(base) if _NAME.match(name)]
    return tuple(name for name in found if disk.stamp(base / name / LIST) is not None)


def sweep(disk: Disk, root: Path) -> None:
    """Take away backups that a crash left half made or half removed. Call it with the lock held."""
    base = root / FOLDER
    whole = names(disk, root)
    for name in disk.names(base):
        if (name.startswith(".") and name.endswith(_MAKING)) or (_NAME.match(name) and name not in whole):
            remove(disk, base / name)


def _listed(disk: Disk, folder: Path) -> dict[str, dict[str, Any]]:
    """What ``backup.json`` says of each file: size, sha256 and the stamp of the live file it was copied from."""
    path = folder / LIST
    with told(path, "read the list of this backup"):
        raw, _ = disk.read(path)
    tables, _ = parse(raw, path)
    found = {}
    for document in tables.get("files", {}).values():
        name = document.get("file")
        if not isinstance(name, str) or ".." in name.split("/") or name.startswith("/"):
            raise DamagedError("the list names a file that cannot be in a backup", _MEND, path=path)
        found[name] = document
    return found


def opened(disk: Disk, root: Path, name: str) -> Backup:
    """The backup with this name. Raises StoreError when there is none, or its list cannot be read."""
    folder = root / FOLDER / name
    if not _NAME.match(name) or disk.stamp(folder) is None:
        known = ", ".join(names(disk, root)[-3:]) or "none yet"
        raise StoreError(f"there is no backup “{name[:60]}”", f"The newest are: {known}.", path=root / FOLDER)
    return Backup(name, folder, tuple(_listed(disk, folder)))


def _sha256(raw: bytes) -> str:
    import hashlib

    return hashlib.sha256(raw).hexdigest()


def _origin(stamp: Stamp) -> list[int]:
    return [stamp.inode, stamp.size, stamp.modified_ns]


def _copy(disk: Disk, source: Path, target: Path) -> dict[str, Any]:
    raw, stamp = disk.read(source)
    put(disk, target, raw, doing="back up")
    again, _ = disk.read(target)
    if again != raw:
        raise DamagedError("the copy differs from what was copied", "Look at the disk.", path=target)
    return {"size": len(raw), "sha256": _sha256(raw), "of": _origin(stamp)}


def make(disk: Disk, root: Path, now: datetime, why: str, spare: str = "") -> Backup | None:
    """Copy the store, verify the copy, and thin out old backups but ``spare``. None when there is nothing to copy yet.

    Call it with the lock held. Raises DiskError; a backup that is not whole is never left under its name.
    """
    files = live_files(disk, root)
    if not files:
        return None
    base = root / FOLDER
    stamp = disk.stamp(base)
    if stamp is not None and not stamp.is_folder:
        raise StoreError("this is a link or a file, not a folder", "Move it out of the way.", path=base)
    before = names(disk, root)
    moment = f"{now:%Y-%m-%dT%H%M%S}"
    taken = [int(each[len(moment) + 1 : len(moment) + 3]) for each in before if each.startswith(moment)]
    name = f"{moment}-{max(taken, default=0) + 1:02d}-{why}"
    making = base / f".{name}{_MAKING}"
    try:
        make_folder(disk, base)
        sweep(disk, root)
        last: dict[str, dict[str, Any]] = {}
        if before:
            with suppress(StoreError):
                last = _listed(disk, base / before[-1])
        listed = {}
        for number, file in enumerate(files, 1):
            known = last.get(file)
            stamp = disk.stamp(root / file)
            target = making / file
            make_folder(disk, target.parent)
            shared = False
            if known is not None and stamp is not None and known.get("of") == _origin(stamp):
                with suppress(OSError):
                    disk.link(base / before[-1] / file, target)
                    shared = True
            listed[str(number)] = {"file": file, **(known if shared and known else _copy(disk, root / file, target))}
        header = {"format": 2, "made": now.isoformat(timespec="seconds"), "why": why}
        for folder in sorted({(making / file).parent for file in files}):
            disk.sync_folder(folder)  # names that were only linked must last before the backup gets its own
        put(disk, making / LIST, render({HEADER: {"1": header}, "files": listed}), doing="back up")
        disk.replace(making, base / name)
        disk.sync_folder(base)
    except (OSError, StoreError) as error:
        with suppress(OSError):
            remove(disk, making)
        raise error if isinstance(error, StoreError) else DiskError(error, making, "back up the store") from error
    with suppress(OSError):
        thin(disk, root, spare)
    return Backup(name, base / name, files)


def kept(found: tuple[str, ...]) -> set[str]:
    """Which stay: the newest ten, the newest of each of the last 24 months, and the newest five before a risk."""
    stay = set(found[-KEPT_NEWEST:])
    months = {name[:7]: name for name in found}
    stay.update(months[month] for month in sorted(months)[-KEPT_MONTHS:])
    stay.update([name for name in found if "-before-" in name][-5:])
    return stay


def thin(disk: Disk, root: Path, spare: str = "") -> None:
    """Take away the backups that need not be kept, but never ``spare``: the one that is being brought back."""
    found = names(disk, root)
    stay = {*kept(found), spare}
    for name in found:
        if name not in stay:
            remove(disk, root / FOLDER / name)


def remove(disk: Disk, folder: Path) -> None:
    """Take away a backup's folder; it loses its list first, so that a rest of it never passes for a whole one."""
    with suppress(FileNotFoundError):
        disk.unlink(folder / LIST)
        disk.sync_folder(folder)  # or the power might go, and the list come back without what it lists
    for name in disk.names(folder):
        stamp = disk.stamp(folder / name)
        if stamp is not None and stamp.is_folder:
            remove(disk, folder / name)
        elif stamp is not None:
            disk.unlink(folder / name)
    disk.remove_folder(folder)


def verify(disk: Disk, backup: Backup) -> Iterator[Flaw]:
    """What is wrong with a backup: files gone, changed since, or never readable."""
    try:
        listed = _listed(disk, backup.folder)
    except StoreError as error:
        yield flaw_of(error, backup.folder)
        return
    for file, known in listed.items():
        path = backup.folder / file
        try:
            raw, _ = disk.read(path)
        except OSError as error:
            yield flaw_of(DiskError(error, path, "read this copy"), path)
            continue
        if _sha256(raw) != known.get("sha256"):
            yield Flaw(path, None, "this copy is not what was copied", _MEND)
            continue
        try:
            parse(raw, path)
        except StoreError as error:
            what = f"the file was damaged already when it was copied: {error.what}"
            yield Flaw(path, error.line, what, "Use an older backup.")


def already_on(disk: Disk, root: Path, now: datetime) -> bool:
    """Whether a backup was made on this day."""
    return any(name.startswith(f"{now:%Y-%m-%d}") for name in names(disk, root))


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
    for root in (store.folder, store.folder / FOLDER / name):
        for book in books_on(store.disk, root):
            if bins is None or book in bins:
                found |= set(places_on(store.disk, root, book))
    return sorted(found, key=str)


def _compare(store: Writing, name: str, place: Place) -> tuple[BookChange | None, dict[str, Document]]:
    then = Book.load(store.disk, store.folder / FOLDER / name, place).documents
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
    then = FarmFile.load(store.disk, store.folder / FOLDER / name).farm
    try:
        return store.farm() != then, then
    except DamagedError:
        return True, then


def plan(store: Writing, name: str, bins: Collection[str] | None = None) -> Restoring:
    """What ``restore`` would do, without doing it. With ``bins`` only these bins: their logs and their own records.

    Raises StoreError when the backup is not there or is itself damaged.
    """
    known = opened(store.disk, store.folder, name)
    for flaw in verify(store.disk, known):
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
    then = FarmFile.load(store.disk, store.folder / FOLDER / name).farm
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
            make(store.disk, store.folder, store.clock(), "before-restore", name)
            marker = Change(number, RESTORED, "", store.clock())
            store.replace_books(wanted, marker, farm if planned.farm else None)
        done.append(planned)

    store.spared = name
    try:
        store.again(act)
    finally:
        store.spared = ""
    return done[-1]
