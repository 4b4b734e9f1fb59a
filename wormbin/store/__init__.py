"""Floor 2: TinyDB year-books on disk that cannot be torn. The doorway is ``Store``; its promises: ``promises.md``.

What stands here is loaded when it is first asked for: the first painted screen needs none of it. It needs to see the
store from outside, before it is opened: its files' stamps, and what was worked out from it.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wormbin.store.change import Change
    from wormbin.store.errors import (
        BusyError,
        ChangedError,
        DamagedError,
        DiskError,
        Flaw,
        MissingError,
        NewerError,
        StoreError,
    )
    from wormbin.store.store import Store

_HOMES = {
    "Change": "change",
    "BusyError": "errors",
    "ChangedError": "errors",
    "DamagedError": "errors",
    "DiskError": "errors",
    "MissingError": "errors",
    "NewerError": "errors",
    "StoreError": "errors",
    "Flaw": "errors",
    "Store": "store",
}

__all__ = [
    "BusyError",
    "Change",
    "ChangedError",
    "DamagedError",
    "DiskError",
    "Flaw",
    "MissingError",
    "NewerError",
    "Store",
    "StoreError",
    "stamps",
    "worked_out",
]


def __getattr__(name: str) -> object:
    """Load the module that a name lives in, once."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    found: object = getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    globals()[name] = found
    return found


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
