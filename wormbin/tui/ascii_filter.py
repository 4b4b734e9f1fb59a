"""Plain letters only: the last thing that every line passes on its way to a terminal that knows no others."""

from __future__ import annotations

import locale
import os
import sys

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from wormbin.drawing.marks import graphemes, to_ascii

_ALIKE = {
    "|": "│┃▊▎▏▕▍▋▌▐", "-": "─━▀▔–—", "+": "╭╮╰╯┌┐└┘├┤┬┴┼◇", "_": "▄▁▂▃", "=": "▅▆═", "#": "█▇▉■", "'": "▘▝’‘",
    ".": "…·▖▗", ">": "→▷", "<": "←◁", "*": "•", "x": "✓", "^": "▲⏎", "o": "○", "@": "●", '"': "“”", "~": "±", " ": "°",
}  # fmt: skip
ONE_CELL = {letter: plain for plain, letters in _ALIKE.items() for letter in letters}


class AsciiFilter(LineFilter):
    """Turns each letter that is not ASCII into as many that are, so that nothing moves."""

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
    """Whether drawings must keep to plain letters: asked for, or a terminal that is not set to UTF-8."""
    if os.environ.get("WORMBIN_ASCII", "") not in ("", "0"):
        return True
    spoken = (getattr(sys.__stdout__, "encoding", None) or "", locale.getpreferredencoding(False))
    return not all(name.casefold().replace("-", "") in ("utf8", "") for name in spoken)
