"""A TinyDB storage instead of its own, which rewrites in place: strict when reading, all or nothing when writing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tinydb.storages import Storage

from wormbin.store.disk import Disk, Stamp
from wormbin.store.errors import DiskError, StoreError
from wormbin.store.text import Tables, check_seal, parse, render, sealed
from wormbin.store.whole import put


class WholeFile(Storage):
    """One store file. ``stamp`` and ``text`` are those of the state last read or written (None before, or no file).

    ``by_hand`` is whether it was read without a checksum: a person may have changed it, past the door for records.
    """

    def __init__(self, disk: Disk, path: Path) -> None:
        super().__init__()
        self.disk = disk
        self.path = path
        self.stamp: Stamp | None = None
        self.text = ""
        self.by_hand = False

    def read(self) -> Tables | None:
        """The tables, or None when there is no file; an empty or damaged file raises DamagedError instead."""
        try:
            raw, self.stamp = self.disk.read(self.path)
        except FileNotFoundError:
            self.stamp, self.text = None, ""
            return None
        except OSError as error:
            raise DiskError(error, self.path, "read this file") from error
        tables, self.text = parse(raw, self.path)
        self.by_hand = not check_seal(raw, tables, self.path)
        return tables

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Replace the file by these tables, durably."""
        try:
            raw = sealed(render(data))
        except ValueError as error:
            raise StoreError(
                f"this cannot be written down ({error})", "Take the odd letter or number out of it.", path=self.path
            ) from None
        self.stamp = put(self.disk, self.path, raw)
