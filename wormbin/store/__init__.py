"""Floor 2: TinyDB year-books on disk that cannot be torn. The one doorway; the store's promises: ``promises.md``.

Here stand what can go wrong with a store, and how it is seen from outside before it is opened: its files' stamps, and
what was worked out from it. The first painted screen needs no more, so the rest is loaded when it is first asked for.
"""

from __future__ import annotations

import errno
import json
import os
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wormbin.store.backup import Restoring
    from wormbin.store.beside import Desk
    from wormbin.store.disk import Disk
    from wormbin.store.merging import Merging
    from wormbin.store.store import Store
    from wormbin.store.whole import SET_ASIDE, hand_out, in_the_way, named

_HOMES = {
    "backup": ("Restoring",),
    "beside": ("Desk",),
    "disk": ("Disk",),
    "merging": ("Merging",),
    "store": ("Store",),
    "whole": ("SET_ASIDE", "hand_out", "in_the_way", "named"),
}

# What lives elsewhere; what can go wrong, and how a store is seen from outside, stands here.
__all__ = ["SET_ASIDE", "Desk", "Disk", "Merging", "Restoring", "Store", "hand_out", "in_the_way", "named"]


def __getattr__(name: str) -> object:
    """Load the module that a name lives in, once."""
    home = next((home for home, names in _HOMES.items() if name in names), None)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    found: object = getattr(import_module(f"{__name__}.{home}"), name)
    globals()[name] = found
    return found


_ROOM = "Free some space, then do it again."
_LOOK = "Look at the folder, then do it again."
_OR_ELSEWHERE = ", or choose another folder with --store."
_FORBIDDEN = ("this is not allowed by its permissions", f"Give yourself the right to read and write it{_OR_ELSEWHERE}")
_IN_WORDS = {
    errno.ENOSPC: ("the disk is full", _ROOM),
    errno.EDQUOT: ("the disk quota is used up", _ROOM),
    errno.EFBIG: ("the file may not grow any further (a size limit is set)", "Lift the limit, then do it again."),
    errno.EROFS: ("the disk is read-only", "Choose a folder that can be written to with --store."),
    errno.EACCES: _FORBIDDEN,
    errno.EPERM: _FORBIDDEN,
    errno.EIO: ("the disk reported a fault", "Look at the disk, and keep a copy of the folder before you go on."),
    errno.ELOOP: (
        "it is a link, and the store keeps plain files only",
        "Put the file itself in the place of the link.",
    ),
    errno.ENOTDIR: ("a part of the path is a file, not a folder", f"Move that file out of the way{_OR_ELSEWHERE}"),
    errno.EISDIR: ("it is a folder, not a file", "Move that folder out of the way."),
    errno.ENOENT: ("it is not there any more", "See that the folder is there (is the drive plugged in?)."),
    errno.ENAMETOOLONG: ("the name is too long", _LOOK),
    errno.ESTALE: ("the network drive lost it", _LOOK),
}


def ways_back(file: str, also: str = "") -> str:
    """What to do about a file of the store that is gone, or older than it was; ``also`` after bringing it back."""
    return (
        f"Wait if a synced folder may still bring it. If not: wormbin store restore{also}."
        f" Is it meant? Then wormbin store check --accept {file}."
    )


class StoreError(Exception):
    """The store cannot be used as asked. Nothing has been changed.

    ``path`` is the file or folder, ``line`` a line of it (1-based) or None, ``what`` one clause of what is the matter,
    ``do`` one sentence of how to put it right.
    """

    def __init__(self, what: str, do: str = "", *, path: Path | None = None, line: int | None = None) -> None:
        self.what = what
        self.do = do
        self.path = path
        self.line = line
        place = str(path) if path is not None else ""
        if line is not None:
            place += f", line {line}"
        super().__init__(f"{place}: {what}. {do}".strip() if place else f"{what}. {do}".strip())


class DamagedError(StoreError):
    """A file cannot be read as what it should be. It is left as it is, and is never taken for empty."""


class MissingError(DamagedError):
    """A file that must be there is not, or is older than what was there: its lines are gone, not empty."""


class NewerError(StoreError):
    """A file is of a format that only a newer program knows. It is left as it is."""


class BusyError(StoreError):
    """Another program has held the store for too long."""


class ChangedError(StoreError):
    """Someone else changed what was about to be replaced."""


class DiskError(StoreError):
    """The operating system refused to read or write; ``cause`` is its own error."""

    def __init__(self, cause: OSError, path: Path, doing: str) -> None:
        self.cause = cause
        words, do = _IN_WORDS.get(cause.errno or 0, (cause.strerror or "the system refused", _LOOK))
        super().__init__(f"cannot {doing}: {words}", do, path=path)


class UnsureError(DiskError):
    """The last step of a save failed: it may be saved all the same."""

    def __init__(self, cause: OSError, path: Path, doing: str) -> None:
        super().__init__(cause, path, doing)
        words = self.what.partition(": ")[2]
        what = f"the disk did not confirm the save ({words}), so it may be saved or not"
        do = "Look whether it is there before you do it again."
        StoreError.__init__(self, what, do, path=path)


@contextmanager
def told(path: Path, doing: str) -> Iterator[None]:
    """Turn the system's errors within into a DiskError that names the path (the system's, if it says one)."""
    try:
        yield
    except OSError as error:
        raise DiskError(error, Path(error.filename) if isinstance(error.filename, str) else path, doing) from error


@dataclass(frozen=True, slots=True)
class Flaw:
    """One finding. ``line`` is 1-based or None; ``harm`` is whether lines cannot be read, or count wrongly."""

    path: Path
    line: int | None
    what: str
    do: str
    harm: bool = False

    def sentence(self) -> str:
        """Path, line, what and what to do, as one piece of text."""
        place = str(self.path) if self.line is None else f"{self.path}, line {self.line}"
        return f"{place}: {self.what}. {self.do}".strip()


def flaw_of(error: StoreError, fallback: Path) -> Flaw:
    """A store error as a finding."""
    return Flaw(error.path or fallback, error.line, error.what, error.do, harm=True)


_FOLDERS = ("bins", "castings")


def stamps(folder: Path) -> str:
    """What stands in the store at ``folder``, by the stamps of its files alone; "" where that cannot be told."""
    try:
        found = sorted(_stamps(folder))
    except (OSError, ValueError):  # a name with a null byte in it is a ValueError
        return ""
    return f"{len(found)}:{zlib.crc32(repr(found).encode()):08x}"


def _stamps(folder: Path) -> Iterator[tuple[str, int, int, int]]:
    places = [str(folder)]
    start = len(places[0])
    for name in _FOLDERS:
        place = os.path.join(folder, name)  # noqa: PTH118 - a thousand Path objects would be half of the time
        if os.path.isdir(place):  # noqa: PTH112
            places.append(place)
            with os.scandir(place) as each:
                places += [inner.path for inner in each if inner.is_dir()]
    for place in places:
        with os.scandir(place) as each:
            for file in each:
                if file.name.endswith(".json") and file.is_file(follow_symlinks=False):
                    stamp = file.stat(follow_symlinks=False)
                    yield file.path[start:], stamp.st_ino, stamp.st_size, stamp.st_mtime_ns


def worked_out(folder: Path, name: str, rests_on: str) -> Any:
    """What ``Desk.keep_worked_out`` kept, read without its seal: whoever asks has a sum of its own in it.

    None where there is nothing, or it rests on something else. Raises whatever reading a damaged file raises.
    """
    held = json.loads((folder / "cache" / f"{name}.json").read_bytes())["held"]["1"]["value"]
    return held["value"] if held["rests_on"] == rests_on else None
