"""A canvas keeps its lines true whatever is written on it."""

from __future__ import annotations

from hypothesis import given, strategies as st

from tests.drawing.shapes import check, words
from wormbin.drawing.picture import Canvas, Dots


@given(
    st.lists(st.tuples(st.integers(-5, 25), st.integers(-2, 5), words, st.sampled_from(["", "a", "b"])), max_size=12),
    st.integers(0, 20),
    st.integers(0, 4),
    st.booleans(),
)
def test_lines_stay_true_whatever_is_written_over_what(
    writes: list[tuple[int, int, str, str]], width: int, height: int, ascii: bool
) -> None:
    canvas = Canvas(width, height, ascii=ascii)
    for x, y, text, role in writes:
        canvas.write(x, y, text, role)
        canvas.set(x + 1, y, "#", "c")
    check(canvas.picture(), width, height, ascii=ascii)


def test_half_of_a_wide_letter_never_stays() -> None:
    canvas = Canvas(4, 1)
    canvas.write(0, 0, "漢字")
    canvas.set(1, 0, "x")
    assert canvas.picture().lines == (" x字",)


def test_dots_are_braille() -> None:
    dots = Dots(1, 1)
    assert dots.glyph(0, 0) == " "
    for y in range(4):
        dots.dot(0, y)
    assert dots.glyph(0, 0) == "⡇"
    dots.dot(0, 0, on=False)
    dots.dot(9, 9)
    assert dots.glyph(0, 0) == "⡆"
