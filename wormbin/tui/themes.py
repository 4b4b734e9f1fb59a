"""Colours by meaning: three themes of our own, and which colour each role of a picture or a line of text has.

Meaning never rests on colour alone: every level has a word and a shape, every layer a texture (drawing/).
"""

from __future__ import annotations

from textual.theme import Theme

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

_NIGHT = {
    "wb-act": "#ff9478",
    "wb-watch": "#f0c05a",
    "wb-steady": "#93cfa4",
    "wb-dim": "#ada493",
    "wb-key": "#e9c46a",
    "wb-read": "#fff3d6",
    "wb-estimate": "#8fc1e0",
    "wb-band": "#5f8fae",
    "wb-target": "#7fb08d",
    "wb-wall": "#b5a288",
    "wb-worm": "#ff9aa2",
    "wb-feed": "#e0b04f",
    "wb-bedding": "#c9a878",
    "wb-castings": "#c09874",
    "wb-water": "#69b3dd",
    "wb-cursor": "#3a3327",
    "wb-onkey": "#1a1712",
}
_DAY = {
    "wb-act": "#a3260f",
    "wb-watch": "#7a4b00",
    "wb-steady": "#24633b",
    "wb-dim": "#625a4c",
    "wb-key": "#6d4a00",
    "wb-read": "#1c1710",
    "wb-estimate": "#1f5a80",
    "wb-band": "#47789a",
    "wb-target": "#2f6b43",
    "wb-wall": "#6f5c41",
    "wb-worm": "#a8324a",
    "wb-feed": "#835500",
    "wb-bedding": "#745a32",
    "wb-castings": "#5d4128",
    "wb-water": "#1c6692",
    "wb-cursor": "#e6dcc6",
    "wb-onkey": "#fdfaf3",
}
_STARK = {
    "wb-act": "#ff8f8f",
    "wb-watch": "#ffe066",
    "wb-steady": "#8dffb0",
    "wb-dim": "#d8d8d8",
    "wb-key": "#ffff66",
    "wb-read": "#ffffff",
    "wb-estimate": "#9fdcff",
    "wb-band": "#66b8e8",
    "wb-target": "#8dffb0",
    "wb-wall": "#e0e0e0",
    "wb-worm": "#ffb0c4",
    "wb-feed": "#ffd24a",
    "wb-bedding": "#f0d2a0",
    "wb-castings": "#d8a878",
    "wb-water": "#7fd0ff",
    "wb-cursor": "#303060",
    "wb-onkey": "#000000",
}

NIGHT = Theme(
    name="wormbin-night",
    dark=True,
    primary="#e9c46a",
    secondary="#8fc1e0",
    accent="#e9c46a",
    foreground="#ece5d8",
    background="#15130f",
    surface="#1d1a15",
    panel="#28241c",
    success="#93cfa4",
    warning="#f0c05a",
    error="#ff9478",
    variables=_NIGHT,
)
DAY = Theme(
    name="wormbin-day",
    dark=False,
    primary="#6d4a00",
    secondary="#1f5a80",
    accent="#6d4a00",
    foreground="#241f17",
    background="#fbf7ef",
    surface="#f4eee2",
    panel="#ebe3d3",
    success="#24633b",
    warning="#7a4b00",
    error="#a3260f",
    variables=_DAY,
)
STARK = Theme(
    name="wormbin-stark",
    dark=True,
    primary="#ffff66",
    secondary="#9fdcff",
    accent="#ffff66",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#141428",
    success="#8dffb0",
    warning="#ffe066",
    error="#ff8f8f",
    variables=_STARK,
)

THEMES: tuple[Theme, ...] = (NIGHT, DAY, STARK)
"""In the order in which one key goes through them; the first is the one at first start."""


def role_style(role: str) -> str:
    """The style of a role, in theme variables; unknown roles look like plain text."""
    return ROLE_STYLES.get(role, ROLE_STYLES[""])


def theme_after(name: str) -> str:
    """The next of our themes; the first after one that is not ours."""
    names = [theme.name for theme in THEMES]
    return names[(names.index(name) + 1) % len(names)] if name in names else names[0]
