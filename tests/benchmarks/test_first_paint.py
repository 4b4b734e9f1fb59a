"""From the start of the process to the first painted round, and from a key to its first byte, beside an empty app's.

Each program runs in a pseudo-terminal of 80 by 24; time goes from its start to the first output that holds the words
looked for. Only ratios within one run mean anything; the machine is never still.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import pytest

from wormbin.farm.samples import copy_sample

EMPTY = (
    "from textual.app import App\n"
    "from textual.widgets import Static\n"
    "class Empty(App):\n"
    "    def compose(self):\n"
    "        yield Static('painted')\n"
    "    def on_key(self, event):\n"
    "        self.query_one(Static).update('heard ' + event.key)\n"
    "Empty().run()\n"
)
RUNS = 5
LONGEST_SECONDS = 60.0


class Terminal:
    """A program in a pseudo-terminal; ``until`` reads what it paints."""

    def __init__(self, arguments: list[str], store: Path) -> None:
        self.started = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ |= {"TERM": "xterm-256color", "WORMBIN_STORE": str(store), "LANG": "C.UTF-8"}
            os.execv(sys.executable, [sys.executable, *arguments])
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))

    def until(self, words: bytes) -> float:
        """Read until ``words`` were painted; seconds since the start, or since the last key."""
        seen = b""
        while words not in seen:
            if time.perf_counter() - self.started > LONGEST_SECONDS:
                raise AssertionError(f"never painted {words!r}: {seen[-2000:]!r}")
            if select.select([self.fd], [], [], 0.5)[0]:
                seen += os.read(self.fd, 1 << 16)
        return time.perf_counter() - self.started

    def drain(self) -> None:
        """Read until nothing more comes for a while."""
        while select.select([self.fd], [], [], 0.6)[0]:
            os.read(self.fd, 1 << 16)

    def key(self, text: bytes) -> float:
        """Press a key; seconds until the first byte of an answer."""
        self.drain()
        pressed = time.perf_counter()
        os.write(self.fd, text)
        select.select([self.fd], [], [], LONGEST_SECONDS)
        return time.perf_counter() - pressed

    def close(self) -> None:
        """End the program."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.fd)


def measured(arguments: list[str], store: Path, words: bytes) -> tuple[float, float]:
    """Median seconds to the first paint and from a key to its first byte, over a few runs."""
    paints: list[float] = []
    keys: list[float] = []
    for _ in range(RUNS):
        terminal = Terminal(arguments, store)
        try:
            paints.append(terminal.until(words))
            keys.extend(terminal.key(b"\x1b[B" if n % 2 == 0 else b"\x1b[A") for n in range(4))
        finally:
            terminal.close()
    return median(paints), median(keys)


@pytest.mark.benchmark
@pytest.mark.skipif(not hasattr(os, "fork"), reason="pseudo-terminals are a thing of Unix")
def test_the_first_round_is_painted_beside_an_empty_app(tmp_path: Path, say: Callable[[str], None]) -> None:
    lines = [f"{'program':<34}{'first paint':>14}{'ratio':>8}{'key to byte':>14}{'ratio':>8}"]
    empty_paint, empty_key = measured(["-c", EMPTY], tmp_path, b"painted")
    lines.append(f"{'an empty Textual app':<34}{empty_paint:>12.3f} s{1:>8.1f}{empty_key * 1000:>11.1f} ms{1:>8.1f}")
    ratios = []
    for name, words in (("apartment", b"Kitchen box"), ("seller", b"Cellar crate 2")):
        store = tmp_path / name
        copy_sample(name, store)
        warm = Terminal(["-m", "wormbin"], store)
        try:
            warm.until(words)
            warm.drain()
        finally:
            warm.close()
        paint, key = measured(["-m", "wormbin"], store, words)
        ratios.append((paint / empty_paint, key / empty_key))
        lines.append(
            f"{f'wormbin, {name} log, warm cache':<34}{paint:>12.3f} s{ratios[-1][0]:>8.1f}"
            f"{key * 1000:>11.1f} ms{ratios[-1][1]:>8.1f}"
        )
    say("\n  ".join(lines))
    # Not a timing to hold to on a shared machine; only that nothing has gone out of all proportion.
    assert all(paint < 15 and key < 30 for paint, key in ratios)
