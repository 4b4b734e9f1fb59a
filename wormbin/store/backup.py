"""Backups: rolling, verified copies of the store's files in ``backups/``, cheap because unchanged files are shared.

Each backup is a folder that looks like the store, with a list of its files and their SHA-256 in ``backup.json``. A
file that has not changed since the backup before is a second name for that backup's copy, never for the live file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from wormbin.store.disk import Disk, Stamp
from wormbin.store.errors import DamagedError, DiskError, Flaw, StoreError, flaw_of
from wormbin.store.place import FARM, books_on, folder_name, folder_of, year_in
from wormbin.store.text import HEADER, parse, render
from wormbin.store.whole import make_folder, put

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
    try:
        raw, _ = disk.read(path)
    except OSError as error:
        raise DiskError(error, path, "read the list of this backup") from error
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
    except OSError as error:
        with suppress(OSError):
            remove(disk, making)
        raise DiskError(error, making, "back up the store") from error
    except StoreError:
        with suppress(OSError):
            remove(disk, making)
        raise
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
            yield Flaw(
                path,
                error.line,
                f"the file was damaged already when it was copied: {error.what}",
                "Use an older backup.",
            )


def already_on(disk: Disk, root: Path, now: datetime) -> bool:
    """Whether a backup was made on this day."""
    return any(name.startswith(f"{now:%Y-%m-%d}") for name in names(disk, root))
