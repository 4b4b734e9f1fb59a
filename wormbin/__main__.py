"""The front door: a terminal without a command gets the full-screen program; everything else is the command line."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date, datetime
    from pathlib import Path


def screen(folder: Path, on: date | None, clock: Callable[[], datetime], demo: str) -> int:
    """Open the full-screen program on a store; imported only now, so that no command waits for it."""
    from wormbin.tui.app import run

    return run(folder, on=on, clock=clock, demo=demo)


def main(argv: Sequence[str] | None = None) -> int:
    """Run wormbin; the exit status."""
    try:
        from wormbin.cli.program import main as run

        return run(argv, screen=screen)
    except KeyboardInterrupt:  # while the command line itself was still being loaded, or saying that it was stopped
        return 130


if __name__ == "__main__":
    sys.exit(main())
