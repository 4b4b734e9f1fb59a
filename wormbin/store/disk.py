"""The one place where the store touches the operating system, its lock too; tests put a failing disk in its stead."""

from __future__ import annotations

import contextlib
import os
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from errno import EAGAIN, EFBIG, EINVAL, EISDIR
from pathlib import Path

from wormbin.store import BusyError, DiskError, StoreError, told

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

MOST_BYTES = 512 * 1024 * 1024
_NO_FOLLOW = getattr(os, "O_NOFOLLOW", 0)
_NO_WAIT = getattr(os, "O_NONBLOCK", 0)
_BINARY = getattr(os, "O_BINARY", 0)
_CLOSE_ON_EXEC = getattr(os, "O_CLOEXEC", 0)


@dataclass(frozen=True, slots=True)
class Stamp:
    """What tells one state of a file from another without reading it. Times in ns."""

    device: int
    inode: int
    size: int
    modified_ns: int
    changed_ns: int
    mode: int

    @property
    def is_file(self) -> bool:
        """Whether it is a plain file (not a folder, link, pipe or device)."""
        return stat.S_ISREG(self.mode)

    @property
    def is_folder(self) -> bool:
        """Whether it is a folder."""
        return stat.S_ISDIR(self.mode)


# Equal to no stamp that a disk gives: "it must be looked at again".
UNKNOWN = Stamp(-1, -1, -1, -1, -1, 0)


def _stamp(found: os.stat_result) -> Stamp:
    return Stamp(found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_mode)


def same_file(one: Stamp | None, other: Stamp | None) -> bool:
    """Whether two names lead to one file, as they do after a crash between the steps of a save."""
    return one is not None and other is not None and one.inode == other.inode


class Disk:
    """Real system calls, one method each. Every method may raise OSError."""

    def read(self, path: Path) -> tuple[bytes, Stamp]:
        """The whole of a plain file and its stamp. A link, folder, pipe or device is an OSError, never a wait."""
        handle = os.open(path, os.O_RDONLY | _NO_FOLLOW | _NO_WAIT | _BINARY | _CLOSE_ON_EXEC)
        try:
            found = os.fstat(handle)
            if stat.S_ISDIR(found.st_mode):
                raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
            if not stat.S_ISREG(found.st_mode):
                raise OSError(EINVAL, "it is a pipe or a device, not a plain file", str(path))
            if found.st_size > MOST_BYTES:
                raise OSError(EFBIG, f"it is larger than {MOST_BYTES // 1024**2} MB", str(path))
            parts = []
            while part := os.read(handle, max(found.st_size + 1, 4096)):
                parts.append(part)
            return b"".join(parts), _stamp(found)
        finally:
            os.close(handle)

    def stamp(self, path: Path) -> Stamp | None:
        """The stamp of what stands at a path (of a link itself, not of what it points to); None when nothing does."""
        try:
            return _stamp(os.lstat(path))
        except FileNotFoundError:
            return None

    def folder_stamp(self, path: Path) -> Stamp | None:
        """The stamp of what a path leads to, links followed; None when that is nothing."""
        try:
            return _stamp(os.stat(path))  # noqa: PTH116 - the same call as the others here
        except FileNotFoundError:
            return None

    def names(self, folder: Path) -> tuple[str, ...]:
        """The names in a folder, sorted; none when there is no such folder."""
        try:
            return tuple(sorted(os.listdir(folder)))  # noqa: PTH208 - names, not paths
        except FileNotFoundError:
            return ()

    def create(self, path: Path, mode: int) -> int:
        """A handle on a new, empty file with exactly this mode."""
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NO_FOLLOW | _BINARY | _CLOSE_ON_EXEC, 0o600)
        if mode != 0o600 and sys.platform != "win32":
            with contextlib.suppress(OSError):
                os.fchmod(handle, mode)
        return handle

    def write(self, handle: int, data: bytes | memoryview) -> int:
        """Write some of ``data``; how many bytes went."""
        return os.write(handle, data)

    def sync(self, handle: int) -> None:
        """Force a file's bytes onto the disk."""
        os.fsync(handle)

    def close(self, handle: int) -> None:
        """Let a handle go."""
        os.close(handle)

    def link(self, old: Path, new: Path) -> None:
        """A second name for a file."""
        os.link(old, new)

    def replace(self, old: Path, new: Path) -> None:
        """Rename, over what is there, in one step."""
        os.replace(old, new)  # noqa: PTH105

    def unlink(self, path: Path) -> None:
        """Take a name away."""
        os.unlink(path)  # noqa: PTH108

    def make_folder(self, path: Path, mode: int) -> None:
        """One new folder with exactly this mode."""
        os.mkdir(path, 0o700)  # noqa: PTH102
        if mode != 0o700:
            with contextlib.suppress(OSError):
                os.chmod(path, mode)  # noqa: PTH101

    def remove_folder(self, path: Path) -> None:
        """Take an empty folder away."""
        os.rmdir(path)  # noqa: PTH106

    def sync_folder(self, path: Path) -> None:
        """Force the names in a folder onto the disk; nothing to do where the system has no such call."""
        if sys.platform == "win32":
            return
        handle = os.open(path, os.O_RDONLY | os.O_DIRECTORY | _CLOSE_ON_EXEC)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

    def try_lock(self, path: Path, *, create: bool) -> int | None:
        """A handle that holds the lock on this file, or None while another holds it. Released when its holder dies."""
        flags = os.O_RDWR | _NO_FOLLOW | _NO_WAIT | _BINARY | _CLOSE_ON_EXEC
        fresh = create and self.stamp(path) is None
        handle = os.open(path, flags | (os.O_CREAT if create else 0), 0o600)
        try:
            if fresh and sys.platform != "win32":
                shared = os.stat(path.parent).st_mode & 0o020  # noqa: PTH116
                os.fchmod(handle, 0o660 if shared else 0o600)
            if sys.platform == "win32":
                os.lseek(handle, MOST_BYTES, os.SEEK_SET)
                msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
            else:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            os.close(handle)
            if isinstance(error, BlockingIOError | PermissionError) or error.errno == EAGAIN:
                return None
            raise
        return handle

    def unlock(self, handle: int) -> None:
        """Let the lock go."""
        os.close(handle)

    def read_note(self, handle: int) -> bytes:
        """What the last holder of the lock wrote into its file."""
        os.lseek(handle, 0, os.SEEK_SET)
        return os.read(handle, 64)

    def write_note(self, handle: int, note: bytes) -> None:
        """Leave up to 64 bytes for the next holder of the lock; not synced, so it is a hint only."""
        os.lseek(handle, 0, os.SEEK_SET)
        os.write(handle, note)


PATIENCE_S = 15.0
_FIRST_WAIT_S = 0.001
_LONGEST_WAIT_S = 0.05


@contextmanager
def held(disk: Disk, path: Path, patience_s: float = PATIENCE_S) -> Iterator[int]:
    """The lock file's handle, once no other program or thread holds it. Raises BusyError after ``patience_s`` seconds.

    The lock is the kernel's (flock), so it goes when its holder dies. It does not hold between machines on a network
    drive, nor in folders that a service copies between machines: what two machines write there meets as a copy to
    merge, not as a wait.
    """
    until = time.monotonic() + patience_s
    wait_s = _FIRST_WAIT_S
    try:
        handle = disk.try_lock(path, create=True)
        while handle is None:
            if time.monotonic() >= until:
                raise BusyError(
                    f"another program has been writing here for more than {patience_s:g} seconds",
                    "Close it, or wait until it is done, then do it again.",
                    path=path.parent,
                )
            time.sleep(wait_s)
            wait_s = min(wait_s * 2, _LONGEST_WAIT_S)
            handle = disk.try_lock(path, create=True)
    except OSError as error:
        raise DiskError(error, path, "lock the store") from error
    try:
        yield handle
    finally:
        disk.unlock(handle)


@contextmanager
def held_if_free(disk: Disk, path: Path) -> Iterator[int | None]:
    """The lock file's handle if it exists and nobody holds it, else None; creates nothing and never waits."""
    try:
        handle = disk.try_lock(path, create=False)
    except OSError:
        handle = None
    try:
        yield handle
    finally:
        if handle is not None:
            disk.unlock(handle)


def stamp_of(disk: Disk, folder: Path, doing: str) -> Stamp | None:
    """The stamp of a store's folder; None when there is none. Raises StoreError."""
    if "\0" in str(folder):
        raise StoreError("no folder has a NUL character in its name", "Choose a folder with --store.", path=folder)
    with told(folder, doing):
        return disk.folder_stamp(folder)
