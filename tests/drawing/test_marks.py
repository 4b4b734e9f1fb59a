"""Text from outside is only text: no controls, a sure width, no restyling."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, strategies as st
from rich.cells import cell_len
from textual.content import Content

from tests.drawing.shapes import texts
from wormbin.drawing.marks import basis_mark, graphemes, level_mark, plain, to_ascii, width_of
from wormbin.figures import Basis, Level

HOSTILE = [
    "[b]x[/b]",
    "[link=http://x]pH [kg] 5[/] a [/b] c",
    "red \x1b[31mtext\x1b[0m \x9b2J",
    "line\nbreak\ttab\r\x00\x7f",
    "left \u202eright to left\u202c \u2066x\u2069",
    "👨‍👩‍👧 family ❤️ 👍🏽 🇸🇪 1️⃣",
    "עגבניות ומלפפון",
    "مرحبا بالديدان",
    "Z̸̢̛͇̗a̷l̶g̴o̵" * 9,
    "한글 漢字 かな ｶﾅ",
    "क्षत्रिय",
    "x" * 200,
    "漢" * 200,
    "\ud800 half a pair \udfff",
    "\u0301leading mark",
    "",
    "   ",
    "\\[b]\\",
]


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("width", [0, 1, 2, 3, 5, 20, 80])
@pytest.mark.parametrize("ascii", [False, True])
def test_any_text_fills_exactly_the_cells_asked_for(text: str, width: int, ascii: bool) -> None:
    line = plain(text, width, ascii=ascii)
    assert cell_len(line) == width == sum(cells for _, cells in graphemes(line))
    assert line.isascii() or not ascii


@given(texts, st.integers(0, 60), st.booleans(), st.sampled_from(["left", "right", "centre"]))
def test_random_text_fills_exactly_the_cells_asked_for(text: str, width: int, ascii: bool, align: str) -> None:
    line = plain(text, width, ascii=ascii, align=align)  # type: ignore[arg-type]
    assert cell_len(line) == width


@given(texts)
def test_nothing_that_steers_a_terminal_is_left(text: str) -> None:
    line = plain(text)
    kinds = {unicodedata.category(char) for char in line}
    assert not kinds & {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}
    line.encode("utf-8")
    assert plain(line) == line
    assert width_of(line) == cell_len(line)


@given(st.text(alphabet='[]/\\ab #@=.$"1 ', max_size=12))
def test_text_for_markup_shows_what_was_typed(text: str) -> None:
    assert Content.from_markup(plain(text, markup=True)).plain == plain(text)


def test_plain_text_is_left_alone() -> None:
    assert plain("2 cups coffee grounds, [kg] 5 é") == "2 cups coffee grounds, [kg] 5 é"


def test_long_text_ends_with_an_ellipsis() -> None:
    assert plain("shredded cardboard", 10) == "shredded… "
    assert plain("shredded cardboard", 12) == "shredded ca…"
    assert plain("shredded cardboard", 6, ascii=True) == "shr..."
    assert plain("kitchen", 10, align="right") == "   kitchen"
    assert plain("kitchen", 11, align="centre") == "  kitchen  "


def test_a_tall_stack_of_marks_is_cut_down() -> None:
    assert plain("a" + "\u0330" * 40) == "a\u0330\u0330"


def test_ascii_spells_what_it_can() -> None:
    assert to_ascii("Küche — 20 °C ±2, Øre, 漢") == "Kuche - 20 deg C +/-2, Ore, ?"


@pytest.mark.parametrize("ascii", [False, True])
def test_levels_and_bases_differ_in_shape_and_word(ascii: bool) -> None:
    shapes = {level_mark(level, ascii=ascii, word=False) for level in Level}
    assert len(shapes) == 3
    assert {cell_len(shape) for shape in shapes} == {1}
    assert all(level_mark(level, ascii=ascii).endswith(f" {level.value}") for level in Level)
    assert basis_mark(Basis.READ, ascii=ascii) != basis_mark(Basis.WORKED_OUT, ascii=ascii)
    assert not shapes & {basis_mark(basis, ascii=ascii) for basis in Basis}
