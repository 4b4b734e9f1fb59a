"""Pages keep to their width whatever somebody typed, and tables leave out whole columns."""

from __future__ import annotations

import io

import pytest
from hypothesis import given, strategies as st

from tests.screens.fake_farm import HOSTILE
from wormbin.cli.output import Output
from wormbin.drawing.marks import width_of
from wormbin.figures import Level
from wormbin.pages.page import ARROW, GAP, Block, Column, Heading, Rows, Sentence, Table, laid, lines, text_of

PAGE: tuple[Block, ...] = (
    Heading("Kitchen", aside=" (kitchen)"),
    Sentence("too much feed is waiting: about 1.4 kg, 9 days' work for these worms", level=Level.ACT, named=True),
    Sentence("lift and fluff, and add 120 g dry shredded cardboard", lead=ARROW, lead_role="act", indent=3),
    GAP,
    Rows([("moisture", "81%"), ("worms", "620 g"), ("none", "")]),
    Table((Column("day"), Column("all wet", right=True)), (("1", "12 kg"), ("28", "9.5 kg"))),
)


def text(page: tuple[Block, ...], width: int) -> list[str]:
    return [text_of(row).rstrip() for row in laid(lines(page, width), width)]


@pytest.mark.parametrize("width", [30, 40, 60, 80, 120])
@pytest.mark.parametrize("name", HOSTILE)
def test_no_line_is_wider_than_the_page(width: int, name: str) -> None:
    page = (*PAGE, Sentence(name, lead="note: ", aside=name, indent=2), Rows([(name[:20], name)]))
    assert all(width_of(row) <= width for row in text(page, width))


def test_a_number_stays_on_the_line_of_its_unit() -> None:
    for width in range(30, 90):
        assert all(not row.endswith(("1.4", "120", "9", "about")) for row in text(PAGE, width)), width


def test_a_longer_line_goes_on_under_its_words_and_empty_rows_are_left_out() -> None:
    told = text(PAGE, 40)
    at = next(number for number, row in enumerate(told) if row.startswith("   → "))
    assert told[at + 1].startswith("     ")
    assert "moisture  81%" in told
    assert "worms     620 g" in told
    assert not any(row.startswith("none") for row in told)


@given(st.integers(1, 60))
def test_a_table_without_room_leaves_out_the_columns_of_the_highest_rank_first(width: int) -> None:
    table = Table(
        (Column("material"), Column("pace", rank=1), Column("C %", right=True, rank=2)), (("kale", "fast", "42"),)
    )
    heads = text_of(lines((table,), width)[0])
    assert "material" in heads
    assert ("C %" in heads) == (width >= 19)
    assert ("pace" in heads) == (width >= 14)


def test_the_command_line_colours_what_has_a_level_and_only_where_colour_is_wanted() -> None:
    first, second = io.StringIO(), io.StringIO()
    output = Output(stream=first)
    output.page(PAGE)
    plain = first.getvalue()
    assert "\x1b" not in plain
    assert "■ act  too much feed" in plain
    output.stream, output.colour = second, True
    output.page(PAGE)
    coloured = second.getvalue()
    assert "\x1b[31;1m" in coloured
    assert "\x1b[1mKitchen" in coloured
