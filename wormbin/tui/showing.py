"""Pieces of text with roles, as Textual content: the one way in which anything gets onto a screen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from rich.style import Style
from textual.content import Content

from wormbin.pages.lines import Piece as Piece, said as said
from wormbin.tui.themes import ROLE_STYLES, role_style

if TYPE_CHECKING:
    from wormbin.drawing.picture import Picture


def line_of(pieces: Iterable[Piece]) -> Content:
    """One line (or paragraph) of content."""
    return Content.assemble(*((text, role_style(role)) for text, role in pieces))


def lines_of(lines: Iterable[Iterable[Piece]]) -> Content:
    """Several lines of content."""
    return Content("\n").join(line_of(line) for line in lines)


def content_of(picture: Picture) -> Content:
    """A drawing as content, coloured by the roles of its parts."""
    return lines_of(picture.pieces(row) for row in range(picture.height))


def rich_styles(variables: Mapping[str, str]) -> dict[str, Style]:
    """Every role as a rich style under a theme's variables, for widgets that draw line by line."""
    styles = {}
    for role, text in ROLE_STYLES.items():
        words = [variables.get(word[1:], "default") if word.startswith("$") else word for word in text.split()]
        styles[role] = Style.parse(" ".join(words))
    return styles
