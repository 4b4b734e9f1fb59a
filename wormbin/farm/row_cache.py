"""The round's rows of today, kept on disk, so that a warm start reads one small file and replays nothing."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from wormbin import __version__
from wormbin.farm.cache_file import write_quietly
from wormbin.farm.views import RoundRow
from wormbin.process.version import VERSION
from wormbin.records.shapes import shape_of

FORM = 1
MARK = f"{__version__}/{VERSION}/{FORM}"


class RowCache:
    """Rows by bin, each with a token that says for what log, settings, day and hour it holds."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / "cache" / "round.json"
        self._held: dict[str, list[Any]] | None = None
        self._rows: dict[str, tuple[str, RoundRow]] = {}
        self._changed = False

    def get(self, key: str, token: str) -> RoundRow | None:
        """The row, when it still holds."""
        known = self._rows.get(key)
        if known is not None:
            return known[1] if known[0] == token else None
        held = self._read().get(key)
        if held is None or held[0] != token:
            return None
        try:
            row: RoundRow = shape_of(RoundRow).read(held[1], "", {})
        except Exception:  # whatever is wrong with it: it is a cache
            return None
        self._rows[key] = (token, row)
        return row

    def put(self, key: str, token: str, row: RoundRow) -> None:
        """Keep a row; ``flush`` writes it."""
        self._rows[key] = (token, row)
        self._read()[key] = [token, shape_of(RoundRow).write(row)]
        self._changed = True

    def flush(self) -> None:
        """Write what is new."""
        if self._changed:
            write_quietly(self._path, {"mark": MARK, "rows": self._read()})
            self._changed = False

    def _read(self) -> dict[str, list[Any]]:
        if self._held is None:
            self._held = {}
            try:
                read = json.loads(self._path.read_text("utf-8"))
                if read["mark"] == MARK:
                    self._held = {str(key): [str(token), row] for key, (token, row) in read["rows"].items()}
            except (OSError, ValueError, KeyError, TypeError, AttributeError):
                self._held = {}
        return self._held
