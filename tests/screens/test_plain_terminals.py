"""On a terminal without colours, or with plain letters only, everything is still said."""

from __future__ import annotations

import pytest
from rich.segment import Segment
from rich.style import Style
from textual.widget import Widget

from tests.screens.driving import Driver, opened, text_of, until
from tests.screens.fake_farm import EIGHT, FakeFarm
from tests.tui.test_themes import contrast, luminance
from wormbin.tui.terminal import speaks_only_ascii
from wormbin.tui.themes import THEMES
from wormbin.tui.widgets.key_line import KeyLine

PLACES: tuple[tuple[str, ...], ...] = (
    (), ("c",), ("f",), ("e",), ("b",), ("enter",), ("enter", "a"), ("enter", "l"), ("enter", "enter"),
    ("question_mark",), ("ctrl+p",),
)  # fmt: skip


def painted(pilot: Driver) -> list[list[Segment]]:
    """The screen as it reaches the terminal."""
    app = pilot.app
    lines = [list(strip) for strip in app.screen._compositor.render_strips()]
    for line_filter in app.get_line_filters():
        lines = [line_filter.apply(line, app.screen.background_colors[1]) for line in lines]
    return lines


@pytest.mark.parametrize("theme", [theme.name for theme in THEMES])
async def test_without_colours_words_and_shapes_tell_it_all_in_grey_that_can_be_read(
    theme: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(FakeFarm(EIGHT)) as pilot:
        pilot.app.theme = theme
        await pilot.pause()
        for keys in ((), ("c",), ("escape", "enter")):
            await pilot.press(*keys)
            await pilot.pause()
            lines = painted(pilot)
            # What a form is laid over is dimmed on purpose: only the form itself is to be read.
            front = [line for y, line in enumerate(lines) if all(_within(y, sheet) for sheet in _sheets(pilot))]
            assert len(front) > 12
            for text, style, _ in (segment for line in front for segment in line):
                assert _grey(style), text
                if text.strip() and any(char.isalnum() for char in text):
                    assert _contrast(style) >= 4.5, (keys, text, style)
            text = "\n".join("".join(segment.text for segment in line) for line in lines)
            if keys == ():
                assert all(mark in text for mark in ("■ act", "▲ watch", "○ steady", "81%◇"))
            elif keys == ("escape", "enter"):
                assert "● " in text
                assert "◇ " in text
                assert "[n now]" in text


def _sheets(pilot: Driver) -> list[Widget]:
    return list(pilot.app.screen.query(".sheet"))


def _within(y: int, sheet: Widget) -> bool:
    return sheet.region.y <= y < sheet.region.bottom


def _grey(style: Style | None) -> bool:
    colours = [colour for colour in (style.color, style.bgcolor) if colour] if style else []
    return all(len(set(colour.get_truecolor())) == 1 for colour in colours)


def _contrast(style: Style | None) -> float:
    from textual.color import Color

    if style is None or style.color is None or style.bgcolor is None:
        return 21.0
    ink, paper = (Color.from_rich_color(colour) for colour in (style.color, style.bgcolor))
    assert luminance(ink) != luminance(paper)
    return contrast(ink, paper)


@pytest.mark.parametrize("keys", PLACES, ids="-".join)
async def test_plain_letters_draw_every_place_as_wide_as_ever(keys: tuple[str, ...]) -> None:
    async with opened(FakeFarm(EIGHT), ascii=True) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
        for line in painted(pilot):
            text = "".join(segment.text for segment in line)
            assert text.isascii(), text
            assert len(text) == 80


@pytest.mark.parametrize(
    ("term", "asked", "plain"),
    [
        ("xterm-256color", "", False), ("linux", "", True), ("vt100", "", True), ("vt220", "", True),
        ("linux", "0", False), ("xterm", "1", True), ("", "", False),
    ],
)  # fmt: skip
def test_old_terminals_get_plain_signs_by_themselves(
    term: str, asked: str, plain: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", term)
    monkeypatch.setenv("WORMBIN_ASCII", asked)
    monkeypatch.setattr("locale.getpreferredencoding", lambda _: "UTF-8")
    monkeypatch.setattr("sys.__stdout__", None)
    assert speaks_only_ascii() is plain


@pytest.mark.parametrize("size", [(40, 10), (60, 20), (80, 24), (120, 40)])
async def test_the_way_to_help_never_leaves_the_foot(size: tuple[int, int]) -> None:
    for keys in ((), ("enter",)):
        async with opened(FakeFarm(EIGHT), size) as pilot:
            await pilot.press(*keys)
            line = pilot.app.screen.query_one(KeyLine)
            await until(pilot, lambda line=line: len(line.shown) > 0, "the keys")  # type: ignore[misc]
            assert line.shown[-1].words == "help", [key.words for key in line.shown]
            assert text_of(pilot).splitlines()[size[1] - 1].rstrip().endswith("? help")
