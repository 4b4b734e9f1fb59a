"""Lines made of pieces of text with roles, laid out for a width: what is printed and what is painted alike.

All text that a keeper could have typed goes through ``said``, so it is only ever text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from wormbin.drawing.marks import graphemes, plain, width_of

Piece = tuple[str, str]
"""Some text and its role: ``strong``, ``dim``, ``title``, a level and so on; "" for plain text."""
Line = Sequence[Piece]

DEEPER = 2
_MARK = re.compile(r" *(?:[·•→>▲■○#^*-]|\[[ x]\]|\d+[.]?|(?<=  )[a-z?](?=  )) +")
"""What a line of a list begins with; the words after it stand under each other."""
_GLUE = "\x1f"
_WORD = re.compile(r"[^ ]+ *| +")
_TOGETHER = re.compile(r"(\d|about|under|over) (?=\S)(?=(?:mg|g|kg|oz|lb|mL|L|cm|m|d|days?|°C|°F|\d)\b)")
"""A number stays on the line of its unit."""


def said(text: str, role: str = "") -> Piece:
    """A keeper's words, made harmless."""
    return plain(text), role


def text_of(line: Line) -> str:
    """The words of a line without their roles."""
    return "".join(text for text, _ in line)


def laid(lines: Iterable[Line], width: int) -> Iterator[list[Piece]]:
    """Lines in rows of at most ``width`` cells: broken between words, set in under where they began."""
    width = max(width, 1)
    for line in lines:
        if is_rule(line):
            (text, role), *_ = line
            yield [(text[:width], role)]
        else:
            yield from wrapped(line, width, indent_of(line))


def is_rule(line: Line) -> bool:
    """Whether a line is a stroke across the page, which is cut where it does not fit and never broken."""
    text = text_of(line).strip()
    return len(text) > DEEPER and len(set(text)) == 1 and not text[0].isalnum()


def indent_of(line: Line) -> int:
    """How far later rows of a line are set in: under the words after a mark or number, else a little more than the
    line itself, nothing for one that is not set in."""
    text = text_of(line)
    if mark := _MARK.match(text):
        return width_of(mark[0])
    spaces = len(text) - len(text.lstrip(" "))
    return spaces + DEEPER if spaces else 0


def fitted(pieces: Iterable[Piece], width: int) -> list[Piece]:
    """Pieces cut or padded to exactly ``width`` cells."""
    out: list[Piece] = []
    left = width
    for text, role in pieces:
        if left <= 0:
            break
        used = width_of(text)
        if used > left:
            text, used = plain(text, left), left
        out.append((text, role))
        left -= used
    if left > 0:
        out.append((" " * left, ""))
    return out


def cut_short(line: list[Piece], width: int) -> list[Piece]:
    """A line with an ellipsis at its end, for what goes on and is not shown."""
    pieces = fitted(line, width - 2)
    if not pieces:
        return [("…", "dim")]
    text, role = pieces[-1]
    if role == "" and not text.strip():
        pieces.pop()
    if pieces and pieces[-1][0].endswith("…"):
        return pieces
    return [*pieces, ("…", "dim")]


def wrapped(pieces: Iterable[Piece], width: int, indent: int = 0) -> list[list[Piece]]:
    """Pieces as lines of at most ``width`` cells, broken between words, later lines set in by ``indent``."""
    width = max(width, 1)  # a terminal may be shrunk to nothing
    indent = max(min(indent, width - 2), 0)
    lines: list[list[Piece]] = [[]]
    used = start = 0
    for text, role in pieces:
        for whole in _words(text):
            word = whole
            if used + width_of(word.rstrip(" ")) > width and used > start:
                lines.append([(" " * indent, "")])
                used = start = indent
                word = word.lstrip(" ")
            while used + width_of(word.rstrip(" ")) > width:
                head, word = _broken(word, width - used)
                lines[-1].append((head, role))
                lines.append([(" " * indent, "")])
                used = start = indent
            lines[-1].extend((part, role) for part in _WORD.findall(word))
            if used == start and word.isspace():  # what a line is set in by is no word of it
                start += width_of(word)
            used += width_of(word)
    return lines


def _broken(word: str, room: int) -> tuple[str, str]:
    """What of a long word fits into ``room`` cells (at least a letter), and the rest."""
    head, used = "", 0
    for letter, cells in graphemes(word):
        if head and used + cells > room:
            break
        head, used = head + letter, used + cells
    return head, word[len(head) :]


def _words(text: str) -> list[str]:
    """A text in words, each with the spaces that follow it; a number with its unit is one."""
    words = [part.replace(_GLUE, " ") + " " for part in _TOGETHER.sub(r"\1" + _GLUE, text).split(" ")]
    words[-1] = words[-1][:-1]
    return [word for word in words if word]
