"""The one place that writes to standard output: data only, as text or as one JSON document."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterable, Mapping, Sequence
from enum import IntEnum
from io import StringIO
from time import monotonic
from typing import TYPE_CHECKING, Any, TextIO

from wormbin.measures import counted

if TYPE_CHECKING:
    from wormbin.pages.page import Page


WIDTH = 80
_STYLES = {"steady": "32", "watch": "33", "act": "31;1", "title": "1", "strong": "1"}
"""What a terminal is asked for by the role of some words; the rest is as it comes."""


def wants_colour(stream: TextIO, environ: Mapping[str, str] | None = None) -> bool:
    """Whether to colour: NO_COLOR says no, FORCE_COLOR yes, else only on a terminal that is not dumb."""
    said = os.environ if environ is None else environ
    if said.get("NO_COLOR"):
        return False
    if said.get("FORCE_COLOR"):
        return said["FORCE_COLOR"] != "0"
    return stream.isatty() and said.get("TERM") != "dumb"


class Output:
    """Standard output. ``json`` is whether one JSON document is wanted instead of text."""

    def __init__(self, *, json: bool = False, stream: TextIO | None = None) -> None:
        self.json = json
        self.stream = stream or sys.stdout or StringIO()  # one that was closed takes nothing
        self.colour = wants_colour(self.stream)
        self.width = self._width()

    @property
    def ascii(self) -> bool:
        """Whether pictures are to be drawn in ASCII, since nothing else can be written here."""
        return writable("┃┈⣀", self.stream.encoding).isascii()

    def _width(self) -> int:
        if not (self.stream.isatty() or os.environ.get("COLUMNS")):
            return WIDTH
        import shutil

        return max(40, min(120, shutil.get_terminal_size((WIDTH, 24)).columns))

    def lines(self, lines: Iterable[str]) -> None:
        """Lines of text; text from outside must have been through ``plain``."""
        for line in lines:
            self.stream.write(writable(line, self.stream.encoding) + "\n")

    def page(self, page: Page) -> None:
        """A page, as wide as this output is."""
        from wormbin.pages.page import laid, lines

        for row in laid(lines(page, self.width), self.width):
            self.lines(["".join(self.tinted(text, role) for text, role in row).rstrip()])

    def document(self, value: Any) -> None:
        """One JSON document."""
        import json

        from wormbin.pages.documents import document

        said = document(value)
        try:
            self.stream.write(json.dumps(said, ensure_ascii=False, allow_nan=False, indent=1) + "\n")
        except UnicodeEncodeError:
            self.stream.write(json.dumps(said, allow_nan=False, indent=1) + "\n")

    def raw(self, text: str) -> None:
        """Text that is a file of its own, in UTF-8 wherever it goes."""
        self.stream.flush()
        buffer = getattr(self.stream, "buffer", None)
        if buffer is None:
            self.stream.write(text)
        else:
            buffer.write(text.encode("utf-8"))

    def tinted(self, text: str, role: str) -> str:
        """The text as its role asks, where colour is wanted; a level's word and shape say it anyway."""
        return f"\x1b[{_STYLES[role]}m{text}\x1b[0m" if self.colour and text and role in _STYLES else text

    def close(self) -> None:
        """Hand on what is still held; raises BrokenPipeError when the reader has gone."""
        self.stream.flush()


class Exit(IntEnum):
    """What the exit status means; kept once shipped."""

    DONE = 0
    HELD_BACK = 1
    NOT_UNDERSTOOD = 2
    NO_STORE = 3
    INTERRUPTED = 130


def clean(text: str) -> str:
    """Text safe for a terminal: control and direction characters out, line ends kept."""
    from wormbin.drawing.marks import plain

    return "\n".join(plain(line) for line in text.splitlines())


_in_json = [False]


def complain_in_json(wanted: bool) -> None:
    """Whether what is wrong is told as one line of JSON on standard error, for programs that asked for ``--json``."""
    _in_json[0] = wanted


def complain(what: str, mend: str = "") -> None:
    """Say what is wrong, and how to put it right."""
    if _in_json[0]:
        import json

        _write(json.dumps({"error": clean(what), "mend": clean(mend)}, ensure_ascii=False))
        return
    _write(f"wormbin: {clean(what)}" + (f"\n{clean(mend)}" if mend else ""))


def tell(lines: Sequence[str] | str) -> None:
    """Say something that is not data: a warning, a question, what was saved."""
    _write(clean(lines if isinstance(lines, str) else "\n".join(lines)))


def told_over(line: str) -> None:
    """Say something that the next thing said is written over; for a terminal."""
    _write(f"{clean(line)}\x1b[K", end="\r")


def ask(question: str) -> bool:
    """Ask yes or no when a person is there to answer; no when nobody is."""
    return ask_words(f"{question} [y/N]").lower() in ("y", "yes")


def ask_words(question: str) -> str:
    """Ask for some words when a person is there to answer; "" when nobody is, or nothing was said."""
    if not (sys.stdin and sys.stdin.isatty() and sys.stderr.isatty()):
        return ""
    sys.stderr.write(clean(question) + " ")
    sys.stderr.flush()
    return sys.stdin.readline().strip()


def writable(text: str, encoding: str | None) -> str:
    """The text with the letters that an encoding does not know in ASCII."""
    if _knows(text, encoding):
        return text
    from wormbin.drawing.marks import to_ascii

    return "".join(letter if _knows(letter, encoding) else to_ascii(letter) for letter in text)


def _knows(text: str, encoding: str | None) -> bool:
    try:
        text.encode(encoding or "utf-8")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _write(text: str, end: str = "\n") -> None:
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(writable(text, getattr(sys.stderr, "encoding", None)) + end)
        sys.stderr.flush()


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
