"""A program in a pseudo-terminal: what it paints, how long that takes, and how long its loop ever stood still."""

from __future__ import annotations

import fcntl
import json
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from dataclasses import dataclass
from pathlib import Path

LONGEST_SECONDS = 120.0
PROBE = """
import asyncio, json, os, signal, sys, time
from textual.app import App
TICK = 0.002
held = {"wall": 0.0, "busy": 0.0}
async def watch():
    last, busy = time.perf_counter(), time.process_time()
    while True:
        await asyncio.sleep(TICK)
        now, used = time.perf_counter(), time.process_time()
        held["wall"] = max(held["wall"], now - last - TICK)
        held["busy"] = max(held["busy"], used - busy)
        last, busy = now, used
def forget():
    held.update(wall=0.0, busy=0.0)
def tell():
    place = os.environ["WATCHED"]
    with open(place + ".new", "w") as file:
        json.dump(held, file)
    os.replace(place + ".new", place)
    forget()
was = App.run_async
async def run_async(self, *args, **named):
    loop = asyncio.get_running_loop()
    loop.add_signal_handler(signal.SIGUSR1, forget)
    loop.add_signal_handler(signal.SIGUSR2, tell)
    task = loop.create_task(watch())
    return await was(self, *args, **named)
App.run_async = run_async
"""
"""Measures the longest time between two turns of a program's loop, by the wall clock and by the processor's time that
the whole process used meanwhile: the second does not grow when the machine has other things to do."""

EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("painted")
    def on_key(self, event):
        self.query_one(Static).update("heard " + event.key)
Empty().run()
"""
OURS = """
from wormbin.__main__ import main
sys.exit(main([]))
"""


@dataclass(frozen=True, slots=True)
class Stood:
    """The longest time that a loop stood still, in seconds: by the wall clock, and of the process's own work."""

    wall: float
    busy: float


class Terminal:
    """A program in a pseudo-terminal of 80 by 24."""

    def __init__(self, arguments: list[str], folder: Path, **more: str) -> None:
        self.watched = folder / "stood.json"
        self.started = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            # The store is found as a keeper's is: in the folder for a user's data.
            os.environ.pop("WORMBIN_STORE", None)
            os.environ |= {"TERM": "xterm-256color", "LANG": "C.UTF-8", "XDG_DATA_HOME": str(folder)}
            os.environ |= {"WATCHED": str(self.watched), **more}
            os.execv(sys.executable, [sys.executable, *arguments])
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))

    def until(self, words: bytes) -> float:
        """Read until ``words`` were painted; seconds since the start."""
        seen = b""
        while words not in seen:
            if time.perf_counter() - self.started > LONGEST_SECONDS:
                raise AssertionError(f"never painted {words!r}: {seen[-2000:]!r}")
            if select.select([self.fd], [], [], 0.5)[0]:
                seen += os.read(self.fd, 1 << 16)
        return time.perf_counter() - self.started

    def used(self) -> float:
        """Seconds of the processor that the program has used."""
        fields = Path(f"/proc/{self.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def drain(self, quiet: float = 0.6, at_most: float = 20.0) -> None:
        """Read until nothing more comes for a while."""
        begun = time.perf_counter()
        while select.select([self.fd], [], [], quiet)[0] and time.perf_counter() - begun < at_most:
            os.read(self.fd, 1 << 16)

    def key(self, text: bytes, *, quiet: float = 0.25) -> tuple[float, float]:
        """Press a key; seconds until the first byte of an answer, by the wall clock and of the program's own work."""
        self.drain(quiet, 5.0)
        worked, pressed = self.worked(), time.perf_counter()
        os.write(self.fd, text)
        select.select([self.fd], [], [], LONGEST_SECONDS)
        return time.perf_counter() - pressed, self.worked() - worked

    def worked(self) -> float:
        """Seconds of the processor that the program has used, finely: Linux's clock of a process by its number."""
        return time.clock_gettime((~self.pid << 3) | 2)

    def press(self, text: bytes) -> None:
        """Press a key, and leave what comes of it to be read."""
        os.write(self.fd, text)

    def keys(self, *texts: bytes, gap: float = 0.15) -> None:
        """Press keys one after the other, reading whatever comes."""
        for text in texts:
            os.write(self.fd, text)
            self.drain(gap, gap)

    def forget(self) -> None:
        """Count from now how long the loop stands still."""
        self.watched.unlink(missing_ok=True)
        os.kill(self.pid, signal.SIGUSR1)

    def stood(self) -> Stood:
        """The longest that the loop stood still since ``forget``, or since this was asked last."""
        self.watched.unlink(missing_ok=True)
        os.kill(self.pid, signal.SIGUSR2)
        begun = time.perf_counter()
        while not self.watched.exists():
            assert time.perf_counter() - begun < LONGEST_SECONDS
            self.drain(0.02, 0.1)
        return Stood(**json.loads(self.watched.read_text()))

    def close(self) -> None:
        """End the program."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.fd)
