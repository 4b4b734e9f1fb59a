"""Half-filled forms, kept beside the store until they are saved or dropped, so that no crash or signal loses one."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

LONGEST = 10_000


class Drafts:
    """One small file a form in the store's cache folder; one that cannot be read counts as none."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / "cache" / "drafts"

    def _path(self, form: str) -> Path:
        safe = re.sub(r"[^a-z0-9-]+", "-", form.lower()).strip("-")[:80] or "form"
        return self._folder / f"{safe}.json"

    def save(self, form: str, fields: Mapping[str, str]) -> None:
        """Keep the fields that are filled; a form without any is dropped. A full disk must not stop the typing."""
        kept = {str(name): str(text)[:LONGEST] for name, text in fields.items() if text}
        if not kept:
            self.drop(form)
            return
        path = self._path(form)
        spare = path.with_suffix(f".{os.getpid()}.part")
        with suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            try:
                handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
                with os.fdopen(handle, "w", encoding="utf-8", errors="replace") as file:
                    json.dump({"form": form, "fields": kept}, file, ensure_ascii=False)
                spare.replace(path)
            finally:
                spare.unlink(missing_ok=True)

    def load(self, form: str) -> Mapping[str, str]:
        """The fields of a half-filled form; empty when there is none."""
        try:
            read = json.loads(self._path(form).read_text("utf-8"))
            fields = read["fields"]
            return {str(name): str(text) for name, text in fields.items()} if read["form"] == form else {}
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return {}

    def drop(self, form: str) -> None:
        """Forget a half-filled form."""
        with suppress(OSError):
            self._path(form).unlink(missing_ok=True)

    def waiting(self) -> tuple[str, ...]:
        """The forms that wait, by name."""
        found = []
        for path in sorted(self._folder.glob("*.json")) if self._folder.is_dir() else ():
            with suppress(OSError, ValueError, KeyError, TypeError, RecursionError):
                found.append(str(json.loads(path.read_text("utf-8"))["form"]))
        return tuple(found)
