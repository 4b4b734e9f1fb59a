"""What is settled before any command: which store, and whether a person sits at a terminal. Loads nothing heavy."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def store_folder(said: str | None = None) -> Path:
    """The store: as said, else ``WORMBIN_STORE``, else the platform's folder for a user's data. Nothing is created."""
    if said or os.environ.get("WORMBIN_STORE"):
        return Path(said or os.environ["WORMBIN_STORE"]).expanduser()
    import platformdirs

    return Path(platformdirs.user_data_dir("wormbin", appauthor=False))


def person_sits_here() -> bool:
    """Whether there is a terminal on both sides that can be drawn on."""
    return bool(sys.stdin and sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb")
