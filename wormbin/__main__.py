"""The front door: a terminal without a command gets the full-screen program; everything else is the command line."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date, datetime
    from pathlib import Path


def screen(folder: Path, on: date | None = None, clock: Callable[[], datetime] | None = None, demo: str = "") -> int:
    """Open the full-screen program on a store; imported only now, so that no command waits for it."""
    import gc

    gc.disable()  # until the first screen is painted: all that is loaded for it stays
    from wormbin.tui.terminal import open_program

    return open_program(folder, on=on, clock=clock, demo=demo)


def main(argv: Sequence[str] | None = None) -> int:
    """Run wormbin; the exit status."""
    words = sys.argv[1:] if argv is None else argv
    try:
        if not words:
            from wormbin.cli.call import person_sits_here, store_folder

            if person_sits_here():
                # Most starts of a day; they need not load what reads commands.
                return screen(store_folder())
        from wormbin.cli.program import main as run

        return run(argv, screen=screen)
    except KeyboardInterrupt:  # while the command line itself was still being loaded, or saying that it was stopped
        return 130


if __name__ == "__main__":
    sys.exit(main())
