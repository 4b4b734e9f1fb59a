"""The full-screen program in a terminal of its own, as a person has it: keys go in, what it paints comes out."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import sys
import termios
from codecs import getincrementaldecoder
from pathlib import Path
from time import monotonic

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 40.0
"""How long anything is waited for before it counts as never coming; no test takes as long."""
PROGRAM = """
import sys
from pathlib import Path
from tests.farm.a_farm import NOW
from wormbin.__main__ import screen
sys.exit(screen(Path(sys.argv[1]), clock=lambda: NOW))
"""
_STEERING = re.compile(
    r"\x1b(?:\[[0-9;?<>=]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[PX^_][^\x1b]*\x1b\\|[ -/]*[0-~])"
)


class Terminal:
    """A program on a store, in a terminal of 80 by 24. ``close`` pulls the plug on the terminal."""

    def __init__(self, store: Path) -> None:
        self.pid, self.wire = pty.fork()
        if self.pid == 0:
            env = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color", "TEXTUAL_ANIMATIONS": "none"}
            os.execve(sys.executable, [sys.executable, "-c", PROGRAM, str(store)], env)
        fcntl.ioctl(self.wire, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self._letters = getincrementaldecoder("utf-8")("replace")
        self.painted = ""

    def waits_for(self, words: str) -> None:
        """Read on until ``words`` have been painted since the last key; fails with what was painted."""
        end = monotonic() + PATIENCE_S
        while words not in self.text():
            ready, _, _ = select.select([self.wire], [], [], max(0.0, end - monotonic()))
            if not ready:
                raise AssertionError(f"never painted: {words}\n{self.text()[-3000:]}")
            try:
                self.painted += self._letters.decode(os.read(self.wire, 65536))
            except OSError as error:
                raise AssertionError(f"ended before it painted: {words}\n{self.text()[-3000:]}") from error

    def text(self) -> str:
        """What was painted since the last key, without what steers the terminal."""
        return " ".join(_STEERING.sub(" ", self.painted).split())

    def forgets(self) -> None:
        """Pass over what it painted until now."""
        while select.select([self.wire], [], [], 0)[0]:
            os.read(self.wire, 65536)
        self.painted = ""

    def presses(self, keys: str) -> None:
        """Type keys."""
        self.painted = ""
        os.write(self.wire, keys.encode())

    def close(self) -> None:
        """Close the window: the program is left without a terminal."""
        os.close(self.wire)

    def ended(self) -> int:
        """Wait for the program's end, reading what it still paints; its exit status, below nought for a signal."""
        end = monotonic() + PATIENCE_S
        while monotonic() < end:
            done, status = os.waitpid(self.pid, os.WNOHANG)
            if done:
                return os.waitstatus_to_exitcode(status)
            try:
                if select.select([self.wire], [], [], 0.05)[0]:
                    os.read(self.wire, 65536)
            except (OSError, ValueError):
                select.select([], [], [], 0.05)
        raise AssertionError("the program goes on without its terminal")
