"""One writer at a time: the store's lock, held around read-change-write and never while a person thinks."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from wormbin.store.disk import Disk
from wormbin.store.errors import BusyError, DiskError

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
