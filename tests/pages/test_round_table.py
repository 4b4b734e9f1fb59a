from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import partial

import pytest

from tests.screens.fake_farm import HOSTILE
from tests.screens.made_views import TODAY, row
from wormbin.drawing.marks import width_of
from wormbin.pages.page import lines
from wormbin.pages.round import checklist
from wormbin.pages.round_table import (
    ORDERS,
    brief,
    column_heads,
    columns,
    next_word,
    row_pieces,
    short_name,
    summary,
    today_word,
    waiting_pieces,
)


@pytest.mark.parametrize("width", [12, 24, 40, 56, 80, 92, 104, 124, 200])
@pytest.mark.parametrize("name", ["Kitchen", *HOSTILE])
def test_every_line_and_the_heads_over_it_are_exactly_as_wide_as_the_screen(width: int, name: str) -> None:
    pieces = row_pieces(row("k", name, 0), width, TODAY)
    assert sum(width_of(text) for text, _ in pieces) == width or width < 24
    assert sum(width_of(text) for text, _ in column_heads(width)) == width


head = partial(summary, today=TODAY)


def test_the_wider_the_screen_the_more_columns() -> None:
    assert not columns(80).worms
    assert columns(120).worms
    assert columns(120).up_to
    assert columns(200).first
    assert columns(130).trend


def test_the_level_is_said_in_a_word_and_the_moisture_marked_as_worked_out() -> None:
    line = "".join(text for text, _ in row_pieces(row("k", "Kitchen", 0), 80, TODAY))
    assert "■ act" in line
    assert "81%◇" in line


def test_today_says_feed_then_check_then_a_tick() -> None:
    due = replace(row("k", "Kitchen", 1), next_feeding=TODAY, next_check=TODAY)
    assert today_word(due, TODAY)[0] == "feed"
    assert today_word(replace(due, next_feeding=TODAY + timedelta(days=3)), TODAY)[0] == "check"
    assert today_word(replace(due, checked_today=True), TODAY)[0] == "✓"
    worst = replace(row("k", "Kitchen", 0), checked_today=True)
    assert today_word(worst, TODAY)[0] == "seen"


def test_worst_first_goes_by_level_then_urgency_then_name() -> None:
    rows = [row("a", "Alder", 1), row("b", "Birch", 2), row("c", "Cedar", 0), row("d", "Dogwood", 2)]
    assert [each.name for each in sorted(rows, key=ORDERS[0][0])] == ["Cedar", "Birch", "Dogwood", "Alder"]


def test_the_head_counts_levels_minutes_and_what_is_done() -> None:
    rows = [row("a", "Alder", 0), replace(row("b", "Birch", 1), fed_today=True)]
    text = "".join(text for text, _ in head(rows, filled=True, ordered="worst first", only="", demo="", by="ada"))
    assert "1 act" in text
    assert "1 steady" in text
    assert "about 8 min, 1 of 2 done" in text
    assert "signed: ada" in text


def test_the_checklist_has_a_box_for_every_bin_ticked_when_done() -> None:
    rows = [row("a", "Alder", 0), replace(row("b", "Birch", 1), fed_today=True)]
    text = "\n".join("".join(text for text, _ in line) for line in lines(checklist(rows, TODAY, "metric")))
    assert "[ ] Alder" in text
    assert "[x] Birch" in text
    assert "do not feed until about 14 March" in text
    seen = [replace(rows[0], checked_today=True), *rows[1:]]
    text = "\n".join("".join(text for text, _ in line) for line in lines(checklist(seen, TODAY, "metric")))
    assert "[ ] Alder (checked that day)" in text, "looked at, and it still calls for action"
    assert "[x]: checked or fed that day" in text


def test_the_checklist_says_how_much_each_bin_may_be_fed() -> None:
    may = replace(row("a", "Alder", 1), feed_up_to_kg=3.7, feed_up_to_words="3.7 kg", feed_into="upper tray")
    none = replace(row("b", "Birch", 1), feed_up_to_kg=0.0, feed_up_to_words="nothing")
    told = ["".join(text for text, _ in line).strip() for line in lines(checklist([may, none], TODAY, "metric"))]
    assert told.count("feed: due Tue 3 Mar 2026; if you feed already, up to 3.7 kg in the upper tray") == 1
    assert told.count("feed: nothing today") == 1
    seen = replace(may, fed_today=True)
    fed = ["".join(text for text, _ in line).strip() for line in lines(checklist([seen], TODAY, "metric"))]
    assert "feed: fed that day; still up to 3.7 kg in the upper tray" in fed


def test_the_head_never_says_nothing_to_do_while_a_bin_calls_for_something() -> None:
    rows = [replace(row("a", "Alder", 0), checked_today=True), replace(row("b", "Birch", 1), fed_today=True)]
    text = "".join(text for text, _ in head(rows, filled=True, ordered="worst first", only="", demo="", by=""))
    assert "1 bin needs you, 1 of 2 done, 1 checked today" in text
    assert "nothing to do" not in text
    calm = "".join(text for text, _ in head(rows[1:], filled=True, ordered="", only="", demo="", by=""))
    assert "nothing to do" in calm


def test_the_last_column_says_when_a_bin_is_fed_next_where_nothing_is_due() -> None:
    later = replace(row("k", "Kitchen", 1), next_feeding=TODAY + timedelta(days=3), next_check=None)
    day = f"{later.next_feeding:%-d %b}" if later.next_feeding else ""
    assert next_word(later, TODAY)[0] == day
    assert next_word(replace(later, fed_today=True), TODAY)[0] == f"✓ {day}"
    assert next_word(replace(later, next_feeding=TODAY), TODAY)[0] == "feed"
    assert next_word(replace(later, next_feeding=None), TODAY)[0] == ""


@pytest.mark.parametrize("width", [12, 24, 40, 56, 80, 124, 200])
@pytest.mark.parametrize("name", ["Kitchen", *HOSTILE])
def test_a_bin_that_is_worked_out_says_so_in_words_in_the_width_of_the_screen(width: int, name: str) -> None:
    pieces = waiting_pieces(name, width)
    assert sum(width_of(text) for text, _ in pieces) == width or width < 24
    if width >= 56:
        assert "working out" in "".join(text for text, _ in pieces)


def test_bins_that_differ_in_their_last_word_still_differ_where_names_are_cut() -> None:
    names = [f"Shade bed, north wall {number}" for number in range(1, 12)]
    shown = [short_name(name, 16) for name in names]
    assert len(set(shown)) == len(names)
    assert all(width_of(each) == 16 for each in shown)
    assert short_name("Shade bed, 2", 16).rstrip() == "Shade bed, 2"


@pytest.mark.parametrize("name", [*HOSTILE, "a", "", "abc 1234567", "x " * 40])
@pytest.mark.parametrize("width", [0, 1, 5, 8, 12, 30])
def test_a_short_name_is_always_as_wide_as_its_place(name: str, width: int) -> None:
    assert width_of(short_name(name, width)) == width


def test_the_head_leaves_out_whole_what_finds_no_room() -> None:
    rows = [row("a", "Alder", 0)]
    heads = [
        "".join(
            text
            for text, _ in head(
                rows, filled=True, ordered="worst first", only="", demo="classroom", by="ada", width=width
            )
        )
        for width in range(40, 120)
    ]
    assert all(head.endswith(("worst first   signed: ada", "signed: ada", "min")) for head in heads)
    assert "worst first" in heads[-1]
    assert "worst" not in heads[0]


def test_a_step_in_a_narrow_column_still_tells_its_day() -> None:
    assert brief("do not feed until about 21 November") == "do not feed until 21 Nov"
    assert brief("tip or draw off about 12 L of water") == "tip or draw off 12 L of water"
    assert brief("look in May be") == "look in May be"


def test_a_narrow_round_gives_the_room_of_the_harvest_to_what_is_to_be_done() -> None:
    assert (columns(63).harvest, columns(64).harvest > 0) == (0, True)
    due = replace(row("k", "Kitchen", 1), next_feeding=TODAY + timedelta(days=3), next_check=TODAY)
    for width in (44, 60, 80):
        assert "check" in "".join(text for text, _ in row_pieces(due, width, TODAY)), width
