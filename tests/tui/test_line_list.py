"""A list of lines draws what Textual itself would have drawn, and only what changed."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import App, ComposeResult
from textual.geometry import Region
from textual.strip import Strip

from wormbin.tui.themes import THEMES, Piece
from wormbin.tui.widgets.line_list import LineList


class Listed(App[None]):
    """A list of a thousand lines that counts what it is asked to draw."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: list[int] = []
        self.word = "line"
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = THEMES[0].name

    def compose(self) -> ComposeResult:
        yield LineList(self._draw, 1000)

    def _draw(self, index: int, width: int) -> Sequence[Piece]:
        self.asked.append(index)
        return [(f"{self.word} ", "dim"), (f"{index}", "strong")]


def _seen(lines: LineList) -> list[str]:
    return [strip.text.strip() for strip in lines.render_lines(lines.size.region)]


def _cells(strip: Strip) -> list[tuple[str, object, object, object]]:
    """Every cell with what can be seen of it: a blank has no colour but its ground."""
    cells: list[tuple[str, object, object, object]] = []
    for text, style, _ in strip:
        assert style is not None
        cells += [(char, style.bgcolor, style.bold and char != " ", char != " " and style.color) for char in text]
    return cells


async def test_a_move_within_sight_draws_two_lines_and_a_scroll_by_one_the_new_one() -> None:
    app = Listed()
    async with app.run_test(size=(40, 10)) as pilot:
        lines = app.query_one(LineList)
        lines.focus()
        await pilot.pause()
        app.asked.clear()
        await pilot.press("down")
        await pilot.pause()
        assert sorted(app.asked) == [0, 1]
        await pilot.press(*["down"] * 8)
        await pilot.pause()
        app.asked.clear()
        await pilot.press("down")
        await pilot.pause()
        assert set(app.asked) <= {9, 10}
        assert _seen(lines) == [f"line {index}" for index in range(1, 11)]


async def test_new_lines_a_refresh_and_another_theme_draw_everything_anew() -> None:
    app = Listed()
    async with app.run_test(size=(40, 10)) as pilot:
        lines = app.query_one(LineList)
        await pilot.pause()
        app.word = "row"
        lines.refresh()
        await pilot.pause()
        assert _seen(lines)[0] == "row 0"
        app.word = "bin"
        lines.show(3)
        await pilot.pause()
        assert _seen(lines)[:4] == ["bin 0", "bin 1", "bin 2", ""]
        before = lines.render_lines(lines.size.region)[0]
        app.theme = THEMES[1].name
        await pilot.pause()
        assert lines.render_lines(lines.size.region)[0] != before


async def test_it_draws_what_textual_would_have_drawn() -> None:
    app = Listed()
    async with app.run_test(size=(40, 10)) as pilot:
        lines = app.query_one(LineList)
        lines.focus()
        await pilot.press("down", "pagedown", "up")
        await pilot.pause()
        for crop in (lines.size.region, Region(3, 2, 10, 4)):
            ours = lines.render_lines(crop)
            theirs = lines._styles_cache.render_widget(lines, crop)
            for own, other in zip(ours, theirs, strict=True):
                assert _cells(own) == _cells(other)
