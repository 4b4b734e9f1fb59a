"""What lies on the desk beside the log: half-filled forms, kept for the next start, and what was worked out before.

Neither is the log. A form that cannot be read is as good as none; what was worked out may be deleted at any time.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from wormbin.records.ids import is_key
from wormbin.store.disk import Disk
from wormbin.store.errors import DiskError, StoreError
from wormbin.store.files import FORMAT, WholeFile
from wormbin.store.text import HEADER

FORMS = "drafts"
WORKED_OUT = "cache"


class Desk:
    """The two side folders of one store. Names are like the keys of bins."""

    def __init__(self, disk: Disk, root: Path) -> None:
        self.disk = disk
        self.root = root

    def _path(self, folder: str, name: str) -> Path:
        if not is_key(name):
            raise ValueError(f"{name!r} cannot be the name of a file on the desk")
        return self.root / folder / f"{name}.json"

    def _read(self, path: Path) -> Any:
        with suppress(StoreError, LookupError):
            tables = WholeFile(path, self.disk).read()
            return None if tables is None else tables["held"]["1"]["value"]
        return None

    def _write(self, path: Path, value: Any) -> None:
        tables = {HEADER: {"1": {"format": FORMAT, "seq": 1}}, "held": {"1": {"value": value}}}
        WholeFile(path, self.disk).write(tables)

    def keep_form(self, name: str, fields: Mapping[str, str]) -> None:
        """Keep a half-filled form, durably. Raises StoreError."""
        self._write(self._path(FORMS, name), dict(fields))

    def form(self, name: str) -> dict[str, str] | None:
        """A form that was left half filled, or None."""
        held = self._read(self._path(FORMS, name))
        if not isinstance(held, dict) or not all(isinstance(each, str) for each in held.values()):
            return None
        return held

    def forms(self) -> tuple[str, ...]:
        """The names of the forms that were left half filled."""
        with suppress(OSError):
            names = self.disk.names(self.root / FORMS)
            return tuple(name[:-5] for name in names if name.endswith(".json") and is_key(name[:-5]))
        return ()

    def drop_form(self, name: str) -> None:
        """Forget a form, once it is saved or given up. Raises StoreError."""
        path = self._path(FORMS, name)
        for each in (path, path.with_name(path.name + ".previous")):
            try:
                self.disk.unlink(each)
            except FileNotFoundError:
                continue
            except OSError as error:
                raise DiskError(error, each, "forget this form") from error

    def keep_worked_out(self, name: str, rests_on: str, value: Any) -> bool:
        """Keep what was worked out from the log at one revision (``rests_on``); whether that could be done.

        ``value`` is plain JSON. Nothing is kept where there is no store yet, or it may not be written to.
        """
        with suppress(StoreError, OSError):
            if self.disk.folder_stamp(self.root) is not None:
                self._write(self._path(WORKED_OUT, name), {"rests_on": rests_on, "value": value})
                return True
        return False

    def worked_out(self, name: str, rests_on: str) -> Any:
        """What was worked out from the log at this very revision, or None."""
        held = self._read(self._path(WORKED_OUT, name))
        return held.get("value") if isinstance(held, dict) and held.get("rests_on") == rests_on else None

    def kept(self, name: str) -> tuple[str, Any]:
        """What was worked out, whatever it rests on, and what that is. Raises LookupError where there is nothing."""
        held = self._read(self._path(WORKED_OUT, name))
        if not isinstance(held, dict):
            raise LookupError(name)
        return str(held["rests_on"]), held["value"]
