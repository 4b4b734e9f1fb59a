"""Files handed out to a keeper: a report, a calendar, log files, a page to print. One way to write them all.

Written beside under a name that nobody can guess, forced to the disk, and put in place in one step; private as the
store's files are. No link is followed, and a file that is something else is written over only when that is asked for.
"""

from __future__ import annotations

import os
from errno import EINVAL, EISDIR, ELOOP
from pathlib import Path

from wormbin.problems import Problem, RefusedError
from wormbin.store.disk import Disk
from wormbin.store.errors import DiskError, UnsureError
from wormbin.store.whole import put, sweep_dead

_HEAD = 4000
"""Bytes in which a file says what it is."""


def named(words: str, field: str, example: str) -> Path:
    """The file that a keeper names. RefusedError for no name; OSError for a folder, a link, a device."""
    name = words.strip()
    if not name or "\0" in name:
        raise RefusedError(Problem(field, name, "the name of the file to write", example))
    path = Path(name).expanduser()
    if path.is_symlink():
        raise OSError(ELOOP, "it is a link, not the file itself", str(path))
    if name.endswith(("/", os.sep)) or path.is_dir():
        raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
    if path.exists() and not path.is_file():
        raise OSError(EINVAL, "it is a device, not a file", str(path))
    return path.absolute()


def in_the_way(path: Path, mark: bytes, what: str) -> str:
    """Why this file should not be written over without asking; "" when it is not there, or is itself ``what``."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except FileNotFoundError:
        return ""
    return "" if mark in head else f"{path} is there already, and is no {what}"


def hand_out(path: Path, text: str, disk: Disk | None = None) -> None:
    """Write a file whole, in UTF-8. Raises OSError, and then the file that was there stands as before."""
    try:
        put(disk or Disk(), path, text.encode("utf-8"), doing="write it", own=False)
    except UnsureError:
        raise
    except DiskError as error:
        raise OSError(error.cause.errno, error.cause.strerror or str(error.cause), str(path)) from error
    sweep_dead(disk or Disk(), path.parent, f"{path.name}.")
