from __future__ import annotations

from hypothesis import given, strategies as st

from wormbin.drawing.marks import plain, width_of
from wormbin.pages.page import fitted, indent_of, said, wrapped
from wormbin.tui.terminal import only_ascii
from wormbin.tui.themes import line_of

texts = st.text(max_size=80).map(plain)


@given(st.lists(texts, max_size=5), st.integers(1, 60))
def test_fitted_pieces_are_exactly_as_wide_as_asked(parts: list[str], width: int) -> None:
    assert sum(width_of(text) for text, _ in fitted([(part, "") for part in parts], width)) == width


@given(st.lists(texts, max_size=5), st.integers(1, 60), st.integers(0, 8))
def test_wrapped_lines_are_never_wider_than_asked(parts: list[str], width: int, indent: int) -> None:
    for line in wrapped([(part, "") for part in parts], width, indent):
        assert sum(
            width_of(text.rstrip(" ")) if at == len(line) - 1 else width_of(text) for at, (text, _) in enumerate(line)
        ) <= max(width, 2)


def test_wrapping_breaks_between_words_and_sets_later_lines_in() -> None:
    lines = wrapped([("why: ", "dim"), ("too much feed is waiting here", "")], 16, 5)
    assert ["".join(text for text, _ in line).rstrip() for line in lines] == [
        "why: too much", "     feed is", "     waiting", "     here",
    ]  # fmt: skip


def test_later_rows_of_a_line_are_set_in_a_little_more_than_the_line() -> None:
    assert indent_of([("   → ", ""), ("step", "")]) == 5
    assert indent_of([("plain", "")]) == 0


def test_brackets_are_shown_and_never_read_as_markup() -> None:
    assert line_of([said("pH [kg] 5 [/b] [@click=app.quit]x[/]")]).plain == "pH [kg] 5 [/b] [@click=app.quit]x[/]"


@given(texts)
def test_plain_letters_take_the_room_of_the_letters_they_stand_for(text: str) -> None:
    made = only_ascii(text)
    assert made.isascii()
    assert len(made) == width_of(text)


def test_a_line_that_goes_on_says_so_within_its_width() -> None:
    from wormbin.pages.page import cut_short

    line = cut_short([("castings: about 7 July", "dim"), (" (now to 20 September)", "")], 30)
    words = "".join(text for text, _ in line)
    assert words.rstrip().endswith("…")
    assert len(words) <= 30
