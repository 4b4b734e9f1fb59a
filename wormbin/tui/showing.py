"""Pieces of text with roles, as Textual content: the one way in which anything gets onto a screen.

All text that a keeper could have typed goes through ``plain`` (drawing/marks), so it is only ever text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from rich.style import Style
from textual.content import Content

from wormbin.drawing.marks import graphemes, plain, width_of
from wormbin.tui.themes import ROLE_STYLES, role_style

if TYPE_CHECKING:
    from wormbin.drawing.picture import Picture

Piece = tuple[str, str]
"""Some text and its role."""
Line = Sequence[Piece]
"""What stands in one line, or is broken into several where it is too long."""


def said(text: str, role: str = "") -> Piece:
    """A keeper's words, made harmless."""
    return plain(text), role


def line_of(pieces: Iterable[Piece]) -> Content:
    """One line (or paragraph) of content."""
    return Content.assemble(*((text, role_style(role)) for text, role in pieces))


def lines_of(lines: Iterable[Iterable[Piece]]) -> Content:
    """Several lines of content."""
    return Content("\n").join(line_of(line) for line in lines)


def content_of(picture: Picture) -> Content:
    """A drawing as content, coloured by the roles of its parts."""
    return lines_of(picture.pieces(row) for row in range(picture.height))


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
    text, role = pieces[-1]
    if role == "" and not text.strip():
        pieces.pop()
    if pieces and pieces[-1][0].endswith("…"):
        return pieces
    return [*pieces, ("…", "dim")]


def rich_styles(variables: Mapping[str, str]) -> dict[str, Style]:
    """Every role as a rich style under a theme's variables, for widgets that draw line by line."""
    styles = {}
    for role, text in ROLE_STYLES.items():
        words = [variables.get(word[1:], "default") if word.startswith("$") else word for word in text.split()]
        styles[role] = Style.parse(" ".join(words))
    return styles


def wrapped(pieces: Iterable[Piece], width: int, indent: int = 0) -> list[list[Piece]]:
    """Pieces as lines of at most ``width`` cells, broken between words, later lines set in by ``indent``."""
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
            lines[-1].append((word, role))
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
    """A text in words, each with the spaces that follow it."""
    words = [part + " " for part in text.split(" ")]
    words[-1] = words[-1][:-1]
    return [word for word in words if word]
