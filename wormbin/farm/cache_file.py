"""A cache file: written whole or not at all, beside a store that exists, and never a reason for anything to fail."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path
from typing import Any


def write_quietly(path: Path, document: Any) -> None:
    """Write a cache file whole, or not at all; only beside a store that exists, and never a reason to fail."""
    if not path.parent.parent.is_dir():
        return
    spare = path.with_name(f"{path.name}.{os.getpid()}.part")
    with suppress(OSError, ValueError):
        path.parent.mkdir(mode=0o700, exist_ok=True)
        try:
            handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                # In one piece: writing JSON to a file piece by piece is many times slower.
                file.write(json.dumps(document, ensure_ascii=False, separators=(",", ":")))
            spare.replace(path)
        finally:
            spare.unlink(missing_ok=True)
