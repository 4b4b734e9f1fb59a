"""The exit codes, and all that is said on standard error: what and how to put it right, and how far long work is."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Sequence
from enum import IntEnum
from time import monotonic

from wormbin.measures import counted


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
