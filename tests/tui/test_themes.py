"""Every role of a text on every ground it stands on keeps WCAG's contrast of 4.5 in all three themes."""

from __future__ import annotations

import pytest
from textual.color import Color
from textual.theme import Theme

from wormbin.farm.words import settings as setting_words
from wormbin.tui.themes import ROLE_STYLES, THEMES, rich_styles

GROUNDS = ("background", "surface", "panel", "wb-cursor")
NOT_TEXT = {"bar", "band", "axis"}
"""Strokes and shades of a drawing; WCAG asks 3 of what is drawn."""


def test_the_settings_know_the_themes_that_there_are() -> None:
    assert tuple(theme.name for theme in THEMES) == setting_words.THEMES


def luminance(color: Color) -> float:
    """Relative luminance by WCAG 2.2."""

    def linear(channel: int) -> float:
        share = channel / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    return 0.2126 * linear(color.r) + 0.7152 * linear(color.g) + 0.0722 * linear(color.b)


def contrast(one: Color, other: Color) -> float:
    """The contrast ratio by WCAG 2.2, 1 to 21."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_ratio_is_the_one_of_the_standard() -> None:
    assert contrast(Color.parse("#000000"), Color.parse("#ffffff")) == pytest.approx(21.0)
    assert contrast(Color.parse("#777777"), Color.parse("#ffffff")) == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
def test_every_role_can_be_read_on_every_ground(theme: Theme, ground: str) -> None:
    variables = {**theme.to_color_system().generate(), **theme.variables}
    under = Color.parse(variables[ground])
    for role, style in rich_styles(variables).items():
        assert style.color is not None, role
        seen = contrast(Color.from_rich_color(style.color), under)
        least = 3.0 if role in NOT_TEXT else 4.5
        assert seen >= least, f"{role} on {ground}: {seen:.2f}"


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_theme_knows_every_colour_that_a_role_asks_for(theme: Theme) -> None:
    asked = {word[1:] for style in ROLE_STYLES.values() for word in style.split() if word.startswith("$wb-")}
    assert asked <= set(theme.variables)


def test_no_style_names_a_colour_of_its_own() -> None:
    import re
    from pathlib import Path

    import wormbin.tui

    for path in Path(wormbin.tui.__path__[0]).rglob("*"):
        if path.suffix in (".py", ".tcss") and path.name != "themes.py":
            assert not re.search(r"#[0-9a-fA-F]{6}\b|\brgb\(", path.read_text("utf-8")), path.name
