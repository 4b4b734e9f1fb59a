"""The one door for a keeper's text, and the shapes that say steady, watch, act, read and worked out without colour."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from typing import Literal

from rich.cells import cell_len

from wormbin.figures import Basis, Level

# The shapes grow in weight: an open ring, a filled triangle, a filled square. None is told from another by colour.
LEVEL_SHAPES: dict[Level, str] = {Level.STEADY: "○", Level.WATCH: "▲", Level.ACT: "■"}
LEVEL_SHAPES_ASCII: dict[Level, str] = {Level.STEADY: "o", Level.WATCH: "^", Level.ACT: "#"}

# Outside its band, with no finding on it: which way it lies, and never the ring of steady.
BESIDE_MARKS: dict[str, str] = {"below": "◁", "above": "▷"}
BESIDE_MARKS_ASCII: dict[str, str] = {"below": "<", "above": ">"}

# A reading is a solid disc, everything that was not read on the spot is an open lozenge.
BASIS_MARKS: dict[Basis, str] = {Basis.READ: "●", Basis.SAID: "●", Basis.WORKED_OUT: "◇", Basis.BOOK: "◇"}
BASIS_MARKS_ASCII: dict[Basis, str] = {Basis.READ: "@", Basis.SAID: "@", Basis.WORKED_OUT: "+", Basis.BOOK: "+"}

COMBINING_AT_MOST = 2
"""Marks kept on one letter; a taller stack would run into the lines above and below."""

ASCII_WORDS: dict[str, str] = {
    "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "’": "'", "‘": "'", "“": '"', "”": '"', "…": "...", "±": "+/-",
    "×": "x", "·": ".", "•": "*", "°": "deg ", "²": "2", "³": "3", "½": "1/2", "¼": "1/4", "¾": "3/4", "≈": "~",
    "→": "->", "←": "<-", "≤": "<=", "≥": ">=", "ß": "ss", "æ": "ae", "Æ": "AE", "ø": "o", "Ø": "O", "ł": "l",
    "Ł": "L", "œ": "oe", "Œ": "OE", "đ": "d", "Đ": "D", "ı": "i", "þ": "th", "Þ": "Th", "ð": "d", "Ð": "D",
    "◁": "<", "▷": ">", "●": "@", "◇": "+", "○": "o", "▲": "^", "■": "#",
}  # fmt: skip


def level_mark(level: Level, *, ascii: bool = False, word: bool = True) -> str:
    """The shape of a level, with its word after it unless ``word`` is False: ``▲ watch``."""
    shape = (LEVEL_SHAPES_ASCII if ascii else LEVEL_SHAPES)[level]
    return f"{shape} {level.value}" if word else shape


def beside_mark(beside: str, *, ascii: bool = False) -> str:
    """One cell for a figure "below" or "above" the band to be in."""
    return (BESIDE_MARKS_ASCII if ascii else BESIDE_MARKS)[beside]


def basis_mark(basis: Basis, *, ascii: bool = False) -> str:
    """One cell that tells a reading (``●``) from an estimate (``◇``)."""
    return (BASIS_MARKS_ASCII if ascii else BASIS_MARKS)[basis]


def graphemes(text: str) -> Iterator[tuple[str, int]]:
    """The letters of ``text`` with their width in cells (1 or 2), cleaned so that the width is sure in any terminal.

    Line ends, tabs and odd spaces become a space; control and format characters (escape codes, direction overrides,
    joiners), variation selectors, skin tones and enclosing marks are left out, since terminals do not agree on their
    width; half a surrogate pair or a private-use character becomes ``�``; marks stay on their letter, two at most.
    """
    held = ""
    width = marks = 0
    for char in unicodedata.normalize("NFC", text):
        if " " <= char <= "~":
            kind, cells = "", 1
        else:
            kind = unicodedata.category(char)
            if kind in ("Zs", "Zl", "Zp") or char in "\t\n\r\v\f\x85":
                char, cells = " ", 1
            elif kind in ("Cs", "Co") or ord(char) & 0xFFFE == 0xFFFE:
                char, cells = "�", 1
            elif kind in ("Cc", "Cf", "Me") or _alters_width(char):
                continue
            else:
                cells = cell_len(char)
        if cells == 0:
            if held and marks < COMBINING_AT_MOST:
                held += char
                marks += 1
            continue
        if held:
            yield held, width
        held, width, marks = char, cells, 0
    if held:
        yield held, width


def _alters_width(char: str) -> bool:
    code = ord(char)
    return 0xFE00 <= code <= 0xFE0F or 0x1F3FB <= code <= 0x1F3FF or 0xE0000 <= code <= 0xE0FFF


def to_ascii(text: str) -> str:
    """``text`` in ASCII: accents dropped, common signs spelt, one ``?`` for each letter that has no ASCII form."""
    if text.isascii():
        return text
    out: list[str] = []
    for letter, _ in graphemes(text):
        if letter.isascii():
            out.append(letter)
        elif letter in ASCII_WORDS:
            out.append(ASCII_WORDS[letter])
        else:
            bare = "".join(c for c in unicodedata.normalize("NFKD", letter) if c.isascii() and c.isprintable())
            out.append(bare or "?")
    return "".join(out)


def plain(
    text: str,
    width: int | None = None,
    *,
    align: Literal["left", "right", "centre"] = "left",
    ascii: bool = False,
    markup: bool = False,
) -> str:
    """Any text from outside as one line that can be shown: no controls, no direction overrides, a sure width.

    With ``width`` the result is exactly that many terminal cells: cut with an ellipsis or padded with spaces. Without
    it the text is only cleaned. Square brackets stay as they were typed, so the result belongs where markup is off;
    where markup is read (Textual's content markup), ``markup=True`` escapes it there: same look, same width.
    """
    if text.isascii() and text.isprintable() and (width is None or len(text) <= width):
        # What nearly all text is; a long log is scrolled by the lines of it.
        room = (width or len(text)) - len(text)
        left = {"left": 0, "right": room, "centre": room // 2}[align]
        line = " " * left + text + " " * (room - left)
        return line.replace("[", "\\[") if markup else line
    letters = list(graphemes(to_ascii(text) if ascii else text))
    line = "".join(letter for letter, _ in letters)
    if width is not None:
        line = _fit(letters, line, max(width, 0), align, "..." if ascii else "…")
    return line.replace("[", "\\[") if markup else line


def _fit(letters: list[tuple[str, int]], line: str, width: int, align: str, ellipsis: str) -> str:
    used = sum(cells for _, cells in letters)
    if used > width:
        sign = ellipsis if width > len(ellipsis) else ellipsis[:1] if width else ""
        room = width - len(sign)
        kept: list[str] = []
        used = 0
        for letter, cells in letters:
            if used + cells > room:
                break
            kept.append(letter)
            used += cells
        line = "".join(kept).rstrip(" ") if kept else ""
        line += sign
        used = width_of(line)
    left = {"left": 0, "right": width - used, "centre": (width - used) // 2}[align]
    return " " * left + line + " " * (width - used - left)


def width_of(text: str) -> int:
    """The width in terminal cells of text that has been through ``plain``."""
    return len(text) if text.isascii() else cell_len(text)
