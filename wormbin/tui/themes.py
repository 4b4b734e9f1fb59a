"""Colours by meaning: three themes of our own, and which colour each role of a picture or a line of text has.

Meaning never rests on colour alone: every level has a word and a shape, every layer a texture (drawing/).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from rich.style import Style
from textual.content import Content
from textual.theme import Theme

from wormbin.pages.page import Piece as Piece, said as said

if TYPE_CHECKING:
    from wormbin.drawing.picture import Picture


ROLE_STYLES: dict[str, str] = {
    # severity
    "act": "bold $wb-act",
    "watch": "bold $wb-watch",
    "steady": "$wb-steady",
    # text
    "": "$foreground",
    "strong": "bold $foreground",
    "name": "bold $foreground",
    "dim": "$wb-dim",
    "label": "$foreground",
    "title": "bold $wb-key",
    "key": "bold $wb-key",
    "good": "$wb-steady",
    "struck": "strike $wb-dim",
    "when": "$wb-dim",
    # gauges: a reading is bright, an estimate is blue
    "bar": "$wb-dim",
    "band": "$wb-band",
    "value": "bold $wb-estimate",
    "target": "$wb-target",
    "basis": "$wb-estimate",
    # charts
    "past": "$wb-estimate",
    "ahead": "$wb-estimate",
    "what-if": "bold $wb-feed",
    "reading": "bold $wb-read",
    "questioned": "bold $wb-watch",
    "today": "bold $wb-key",
    "event": "$wb-feed",
    "planned": "$wb-dim",
    "axis": "$wb-dim",
    "window": "$wb-steady",
    "likely": "bold $wb-steady",
    "done": "bold $wb-read",
    # the bin cut open
    "wall": "$wb-wall",
    "cover": "$wb-wall",
    "drain": "$wb-wall",
    "scale": "$wb-dim",
    "ruler": "bold $wb-read",
    "worm": "bold $wb-worm",
    "feed": "$wb-feed",
    "bedding": "$wb-bedding",
    "castings": "$wb-castings",
    "water": "$wb-water",
}

_COLOURS = {
    "wb-act": ("#ff9478", "#a3260f", "#ff8f8f"),
    "wb-watch": ("#f0c05a", "#7a4b00", "#ffe066"),
    "wb-steady": ("#93cfa4", "#24633b", "#8dffb0"),
    "wb-dim": ("#ada493", "#625a4c", "#d8d8d8"),
    "wb-key": ("#e9c46a", "#6d4a00", "#ffff66"),
    "wb-read": ("#fff3d6", "#1c1710", "#ffffff"),
    "wb-estimate": ("#8fc1e0", "#1f5a80", "#9fdcff"),
    "wb-band": ("#5f8fae", "#47789a", "#66b8e8"),
    "wb-target": ("#7fb08d", "#2f6b43", "#8dffb0"),
    "wb-wall": ("#b5a288", "#6f5c41", "#e0e0e0"),
    "wb-worm": ("#ff9aa2", "#a8324a", "#ffb0c4"),
    "wb-feed": ("#e0b04f", "#835500", "#ffd24a"),
    "wb-bedding": ("#c9a878", "#745a32", "#f0d2a0"),
    "wb-castings": ("#c09874", "#5d4128", "#d8a878"),
    "wb-water": ("#69b3dd", "#1c6692", "#7fd0ff"),
    "wb-cursor": ("#3a3327", "#e6dcc6", "#303060"),
    "wb-onkey": ("#1a1712", "#fdfaf3", "#000000"),
    "foreground": ("#ece5d8", "#241f17", "#ffffff"),
    "background": ("#15130f", "#fbf7ef", "#000000"),
    "surface": ("#1d1a15", "#f4eee2", "#000000"),
    "panel": ("#28241c", "#ebe3d3", "#141428"),
}
"""Every colour by night, by day and in high contrast."""


def _theme(at: int, name: str) -> Theme:
    of = {role: colours[at] for role, colours in _COLOURS.items()}
    return Theme(
        name=f"wormbin-{name}", dark=name != "day", primary=of["wb-key"], secondary=of["wb-estimate"],
        accent=of["wb-key"], success=of["wb-steady"], warning=of["wb-watch"], error=of["wb-act"],
        foreground=of["foreground"], background=of["background"], surface=of["surface"], panel=of["panel"],
        variables={role: colour for role, colour in of.items() if role.startswith("wb-")},
    )  # fmt: skip


THEMES = tuple(_theme(at, name) for at, name in enumerate(("night", "day", "stark")))
"""In the order in which one key goes through them; the first is the one at first start."""


def role_style(role: str) -> str:
    """The style of a role, in theme variables; unknown roles look like plain text."""
    return ROLE_STYLES.get(role, ROLE_STYLES[""])


def theme_after(name: str) -> str:
    """The next of our themes; the first after one that is not ours."""
    names = [theme.name for theme in THEMES]
    return names[(names.index(name) + 1) % len(names)] if name in names else names[0]


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
