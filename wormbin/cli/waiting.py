"""What is said on standard error while many bins are worked out: how many, and about how long it takes."""

from __future__ import annotations

import sys
from time import monotonic

from wormbin.cli.exits import tell, told_over
from wormbin.measures import counted

WORTH_SAYING_S = 1.0
"""Whoever waits no longer than so is told nothing."""


class Waiting:
    """Called with how many bins of how many are worked out. A terminal sees it count; a file gets a line or two."""

    def __init__(self) -> None:
        self._began = monotonic()
        self._said = False

    def __call__(self, done: int, of: int) -> None:
        """One more is worked out."""
        gone = monotonic() - self._began
        each = gone / done
        counts = bool(sys.stderr) and sys.stderr.isatty()
        if done == of:
            if self._said:
                tell(f"{counted(of, 'bin')} worked out in {round(gone)} s; the next time it is quick.")
            return
        if each * of < WORTH_SAYING_S or (self._said and not counts):
            return
        words = f"working out {counted(of, 'bin')}: {done} done, about {max(1, round(each * (of - done)))} s left"
        told_over(words) if counts else tell(words)
        self._said = True
