"""The one place where text from a keeper is made safe to keep and to show: it is only ever text."""

from __future__ import annotations

import unicodedata

# Marks that turn the direction of a line around disturb a terminal beyond the text they stand in.
_TURNING = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u061c\ufeff")


def cleaned(text: str, *, lines: bool = False) -> str:
    """Text without control characters, turning marks and half letters, in one Unicode form, blanks trimmed.

    Line ends and tabs become blanks; with ``lines`` line ends stay. Nothing that can be seen is taken away.
    """
    if text.isascii() and text.isprintable():  # nearly all text, and there may be a quarter of a million rows of it
        return text.strip()
    kept = []
    for letter in unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n")):
        category = unicodedata.category(letter)
        if letter == "\n" and lines:
            kept.append(letter)
        elif letter in "\n\t\v\f\x85\u2028\u2029":
            kept.append(" ")
        elif category not in ("Cc", "Cs", "Cn") and letter not in _TURNING:
            kept.append(letter)
    return "".join(kept).strip()
