"""The terminal as it is: one that knows plain letters only, and one that goes away under the program.

What goes away (a closed window, a lost line) ends the program in order. Textual's own writer would stop at the first
error, and whoever paints then wait for it for ever.
"""

from __future__ import annotations

import locale
import os
import sys
from datetime import datetime
from typing import TYPE_CHECKING, Any, TextIO, cast

from rich.segment import Segment
from textual.filter import LineFilter

from wormbin.drawing.marks import graphemes, to_ascii
from wormbin.farm.cache.rows import read_front
from wormbin.tui.app import DEMO, Wormbin

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date
    from pathlib import Path

    from textual.color import Color
    from textual.driver import Driver

    from wormbin.farm.session import Clock, Session


_ALIKE = {
    "|": "│┃▊▎▏▕▍▋▌▐", "-": "─━▀▔–—", "+": "╭╮╰╯┌┐└┘├┤┬┴┼◇", "_": "▄▁▂▃", "=": "▅▆═", "#": "█▇▉■", "'": "▘▝’‘",
    ".": "…·▖▗", ">": "→▷", "<": "←◁", "*": "•", "x": "✓", "^": "▲⏎", "o": "○", "@": "●", '"': "“”", "~": "±", " ": "°",
}  # fmt: skip
ONE_CELL = {letter: plain for plain, letters in _ALIKE.items() for letter in letters}


PLAIN_TERMINALS = ("linux", "vt1", "vt2", "vt3", "ansi", "cons25", "sun")
"""How terminals call themselves whose letters lack most of our signs: consoles without a window, and older ones."""


class AsciiFilter(LineFilter):
    """Turns each letter that is not ASCII into as many that are, so that nothing moves: the last thing before paint."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """One line of the screen."""
        return [
            segment if segment.text.isascii() else Segment(only_ascii(segment.text), segment.style, segment.control)
            for segment in segments
        ]


def only_ascii(text: str) -> str:
    """``text`` in plain letters, of the same width in cells."""
    out = []
    for letter, cells in graphemes(text):
        if letter.isascii():
            out.append(letter)
            continue
        plain = ONE_CELL.get(letter) or to_ascii(letter)
        out.append(plain[:cells].ljust(cells, "?" if not plain else " "))
    return "".join(out)


def speaks_only_ascii() -> bool:
    """Whether drawings must keep to plain letters: asked for, an old terminal, or one that is not set to UTF-8.

    ``WORMBIN_ASCII`` set to 1 asks for it anywhere, set to 0 for nowhere.
    """
    if asked := os.environ.get("WORMBIN_ASCII", ""):
        return asked != "0"
    if os.environ.get("TERM", "").startswith(PLAIN_TERMINALS):
        return True
    spoken = (getattr(sys.__stdout__, "encoding", None) or "", locale.getpreferredencoding(False))
    return not all(name.casefold().replace("-", "") in ("utf8", "") for name in spoken)


class Forgiving:
    """A stream to write to; what is written once its other end has gone is dropped."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._gone = False

    def write(self, text: str) -> int:
        """Write, or drop."""
        if not self._gone:
            try:
                return self._stream.write(text)
            except (OSError, ValueError):
                self._gone = True
        return len(text)

    def flush(self) -> None:
        """Flush, or do nothing."""
        if not self._gone:
            try:
                self._stream.flush()
            except (OSError, ValueError):
                self._gone = True

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def forgive_writing() -> None:
    """Make the streams that Textual's drivers paint on outlast their terminal."""
    for name in ("__stdout__", "__stderr__"):
        stream = getattr(sys, name)
        if stream is not None and not isinstance(stream, Forgiving):
            setattr(sys, name, cast(TextIO, Forgiving(stream)))


def outlasting(base: type[Driver], leave: Callable[[], None]) -> type[Driver]:
    """The platform's driver, which calls ``leave`` when it can read no more keys."""

    class Outlasting(base):  # type: ignore[misc, valid-type]
        def run_input_thread(self) -> None:
            """Read keys for as long as there is somebody to press them."""
            try:
                super().run_input_thread()
            except OSError:
                leave()

    return Outlasting


TURN_SECONDS = 0.001
"""How long the farm's thread may go on with its sums while a key waits to be heard; by itself Python lets it five times
as long, several times a key."""


def open_program(folder: Path, *, on: date | None = None, clock: Clock | None = None, demo: str = "") -> int:
    """Open the full-screen program on a store; the exit status."""
    now = clock() if clock is not None else datetime.now().astimezone()
    front = read_front(folder, now) if on is None else None

    def farm() -> Session:
        from wormbin.farm.session import Session, local_clock

        return Session(folder, clock=clock or local_clock)

    plain = speaks_only_ascii()
    forgive_writing()
    sys.setswitchinterval(TURN_SECONDS)
    app = Wormbin(farm, on=on, ascii=plain, demo=demo, front=front)
    if app.run() == DEMO:
        from wormbin.farm.samples import sample_farm

        with sample_farm(DEMO) as sample:
            app = Wormbin(sample.session(), ascii=plain, demo=DEMO)
            app.run()
    return app.return_code or 0
