"""Files replaced as a whole, or moved aside: whoever looks, at any moment and after any crash, sees old or new.

Those handed out to a keeper (a report, a calendar, log files, a page to print) are written the same way: private, no
link followed, and over something else only when that is asked for.
"""

from __future__ import annotations

import errno
import os
import re
import sys
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from errno import EINVAL, EISDIR, ELOOP
from pathlib import Path

from wormbin.problems import Problem, RefusedError
from wormbin.store import DiskError, UnsureError, told
from wormbin.store.disk import UNKNOWN, Disk, Stamp

PREVIOUS = ".previous"
_PART = re.compile(r"\..+\.(\d+)-[0-9a-f]+\.part\Z")
_NO_LINKS = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK, errno.EXDEV})


def previous_of(path: Path) -> Path:
    """Where the state before the last save is kept."""
    return path.with_name(path.name + PREVIOUS)


def is_part(name: str) -> bool:
    """Whether a file name is that of a half-written temporary file of ours."""
    return _PART.match(name) is not None


def _mode(disk: Disk, path: Path, old: Stamp | None) -> int:
    # Private, unless the keepers opened the folder to their group: then all of them must be able to write.
    if old is not None and old.is_file:
        return old.mode & 0o777
    folder = disk.stamp(path.parent)
    return 0o660 if folder is not None and folder.mode & 0o020 else 0o600


def make_folder(disk: Disk, folder: Path) -> None:
    """Make a folder and those above it, each lasting. A folder that is there already is left alone."""
    if disk.folder_stamp(folder) is not None:
        return
    make_folder(disk, folder.parent)
    above = disk.folder_stamp(folder.parent)
    with suppress(FileExistsError):
        disk.make_folder(folder, 0o2770 if above is not None and above.mode & 0o020 else 0o700)
    disk.sync_folder(folder.parent)


def _write(disk: Disk, part: Path, data: bytes, mode: int) -> None:
    handle = disk.create(part, mode)
    try:
        left = memoryview(data)
        while left:
            left = left[disk.write(handle, left) :]
        disk.sync(handle)
    finally:
        disk.close(handle)


def _keep_previous(disk: Disk, path: Path, old: Stamp | None) -> bool:
    if old is None:
        return False
    previous = previous_of(path)
    with suppress(FileNotFoundError):
        disk.unlink(previous)
    try:
        disk.link(path, previous)
    except OSError as error:
        if error.errno in _NO_LINKS:  # some drives know no second names; the save itself does not need one
            return False
        raise
    return True


def _part_of(path: Path) -> Path:
    return path.with_name(f".{path.name[:80]}.{os.getpid()}-{os.urandom(8).hex()}.part")


def put(disk: Disk, path: Path, data: bytes, *, doing: str = "save") -> Stamp:
    """Write ``data`` to ``path``, durably, in one step; the state before is kept under ``previous_of(path)``.

    Temporary file in the same folder, fsync, second name for the old file, rename, fsync of the folder. On any error
    the old file stands as before and DiskError is raised. Returns the stamp of the new file.
    """
    part = _part_of(path)
    try:
        make_folder(disk, path.parent)
        old = disk.stamp(path)
        try:
            _write(disk, part, data, _mode(disk, path, old))
            kept = _keep_previous(disk, path, old)
            disk.replace(part, path)
        except BaseException:
            with suppress(OSError):
                disk.unlink(part)
            raise
        try:
            disk.sync_folder(path.parent)
        except BaseException as error:
            _take_back(disk, path, old is not None, kept)
            if isinstance(error, OSError):
                raise UnsureError(error, path, doing) from error
            raise
    except OSError as error:
        raise DiskError(error, path, doing) from error
    # Saved; that it cannot be looked at is no reason to say otherwise.
    with suppress(OSError):
        return disk.stamp(path) or UNKNOWN
    return UNKNOWN


def _take_back(disk: Disk, path: Path, was_there: bool, kept: bool) -> None:
    # The new name may not last, so the save is not acknowledged; put the old state back as well as can be done.
    with suppress(OSError):
        if kept:
            disk.replace(previous_of(path), path)
        elif not was_there:
            disk.unlink(path)


def sweep(disk: Disk, folder: Path, of: str = "", *, dead: bool = False) -> None:
    """Take away temporary files that a crash left in one folder, with ``of`` those of one file. The lock must be held.

    With ``dead`` it need not be: what a killed program left goes, and one that runs may be writing at this moment.
    """
    with suppress(OSError):
        for name in disk.names(folder):
            found = _PART.match(name)
            if found and name.startswith(f".{of[:80]}") and not (dead and _runs(int(found[1]))):
                with suppress(OSError):
                    disk.unlink(folder / name)


def _runs(process: int) -> bool:
    if sys.platform == "win32":
        return True  # there the same call would end it
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


SET_ASIDE = "set-aside"


def set_aside(disk: Disk, root: Path, path: Path, now: datetime) -> Path | None:
    """Move a file below ``set-aside``, in a folder named by the moment; where it went, or None if not there."""
    target = root / SET_ASIDE / f"{now:%Y-%m-%dT%H%M%S}" / path.relative_to(root)
    name, number = target.name, 2
    with told(path, "move this file aside"):
        if disk.stamp(path) is None:
            return None
        while disk.stamp(target) is not None:
            target, number = target.with_name(f"{number}-{name}"), number + 1
        make_folder(disk, target.parent)
        disk.replace(path, target)
        disk.sync_folder(target.parent)
        disk.sync_folder(path.parent)
    return target


_FIRST = 4000
"""Bytes in which a file says what it is."""


def named(words: str, field: str, example: str) -> Path:
    """The file that a keeper names. RefusedError for no name; OSError for a folder, a link, a device."""
    name = words.strip()
    if not name or "\0" in name:
        raise RefusedError(Problem(field, name, "the name of the file to write", example))
    path = Path(name).expanduser()
    if name.endswith(("/", os.sep)):
        raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
    _hold_to_plain(path)
    return path.absolute()


def _hold_to_plain(path: Path) -> None:
    """Raise OSError when something else than a file stands here: a folder, a link, a pipe or a device."""
    if path.is_symlink():
        raise OSError(ELOOP, "it is a link, not the file itself", str(path))
    if path.is_dir():
        raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
    if path.exists() and not path.is_file():
        raise OSError(EINVAL, "it is a pipe or a device, not a file", str(path))


def in_the_way(path: Path, mark: bytes, what: str) -> str:
    """Why this file should not be written over without asking; "" when it is not there, or is itself ``what``."""
    try:
        with path.open("rb") as file:
            head = file.read(_FIRST)
    except FileNotFoundError:
        return ""
    return "" if mark in head else f"{path} is there already, and is no {what}"


def hand_out(files: Mapping[Path, str | bytes], disk: Disk | None = None) -> None:
    """Write files whole, text in UTF-8. Raises OSError, and then each file that was there stands as before.

    Several are all written beside their places before the first takes its own, so a full disk leaves all the old ones.
    """
    for at in files:
        _hold_to_plain(at)
    disk = disk or Disk()
    parts = {path: _part_of(path) for path in files}
    try:
        try:
            for at, said in files.items():
                data = said.encode("utf-8") if isinstance(said, str) else said
                _write(disk, parts[at], data, _mode(disk, at, disk.stamp(at)))
            for at, part in parts.items():
                disk.replace(part, at)
        except BaseException:
            for part in parts.values():
                with suppress(OSError):
                    disk.unlink(part)
            raise
    except OSError as error:
        raise OSError(error.errno, error.strerror or str(error), str(at)) from error
    for folder in {path.parent for path in files}:
        try:
            disk.sync_folder(folder)
        except OSError as error:
            raise UnsureError(error, folder, "write it") from error
    for path in files:
        sweep(disk, path.parent, f"{path.name}.", dead=True)
