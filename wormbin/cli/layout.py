"""Lines of text for a page of so many cells: wrapped, indented, never disturbed by what somebody typed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from wormbin.drawing.marks import graphemes, plain

_GLUE = "\x1f"
_TOGETHER = re.compile(r"(\d|about|under|over) (?=\S)(?=(?:mg|g|kg|oz|lb|mL|L|cm|m|d|days?|°C|°F|\d)\b)")
"""A number stays on the line of its unit."""


def wrapped(words: str, width: int, first: str = "", rest: str | None = None) -> Iterator[str]:
    """``words`` in lines of at most ``width`` cells, ``first`` before the first line and ``rest`` before the others.

    A word longer than a line is broken. ``rest`` is blanks as wide as ``first`` when it is not given.
    """
    after = " " * _cells(first) if rest is None else rest
    line, head = "", first
    for glued in _TOGETHER.sub(r"\1" + _GLUE, plain(words)).split():
        word = glued.replace(_GLUE, " ")
        for piece in _pieces(word, max(8, width - max(_cells(first), _cells(after)))):
            if line and _cells(head) + _cells(line) + 1 + _cells(piece) > width:
                yield head + line
                line, head = piece, after
            else:
                line = f"{line} {piece}" if line else piece
    yield head + line


def _cells(text: str) -> int:
    return len(text) if text.isascii() else sum(cells for _, cells in graphemes(text))


def _pieces(word: str, room: int) -> Iterator[str]:
    if _cells(word) <= room:
        yield word
        return
    piece, used = "", 0
    for letter, cells in graphemes(word):
        if used + cells > room:
            yield piece
            piece, used = "", 0
        piece += letter
        used += cells
    yield piece


def day(on: date | None) -> str:
    """ "Mon 2 Nov 2026", or a dash."""
    return f"{on:%a} {on.day} {on:%b %Y}" if on else "-"
