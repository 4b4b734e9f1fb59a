"""A store seen from outside, before it is opened: its files' stamps, and what was worked out from it.

It loads nothing else of the store, so that the first painted screen waits for none of it.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

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
