"""The round on paper for many bins: a line a bin under its stop, and what to carry."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.farm.many_due import beds, due_row
from tests.screens.made_views import TODAY
from wormbin.advice.finding import Doing
from wormbin.farm.rounds import jobs_left, minutes_left, order
from wormbin.farm.views.bin import RoundView
from wormbin.farm.views.round import Load, RoundRow
from wormbin.pages.page import Page, laid, lines
from wormbin.pages.round import MANY, checklist, whole_round
from wormbin.pages.round_table import as_you_walk, summary


def rows(count: int) -> list[RoundRow]:
    return [
        replace(due_row(one, at), walk_at=at % 2, stop=("barn", "yard")[at % 2]) for at, one in enumerate(beds(count))
    ]


def told(page: Page, width: int = 80) -> list[str]:
    return ["".join(text for text, _ in line).rstrip() for line in laid(lines(page, width), width)]


def test_many_bins_have_a_line_each_under_their_stops_and_few_have_more() -> None:
    walk = sorted(rows(MANY + 1), key=as_you_walk)
    page = told(checklist(walk, TODAY, "metric"))
    boxes = [line for line in page if line.startswith("[ ] ")]
    assert len(boxes) == MANY + 1
    assert max(map(len, page)) <= 80
    assert page.index("barn") < page.index("yard")
    assert sum(line.startswith("[ ] ") for line in page[page.index("barn") : page.index("yard")]) == 7
    few = told(checklist(walk[:MANY], TODAY, "metric"))
    assert sum("squeeze ______" in line for line in few) == MANY


def test_the_load_adds_up_over_the_stops_with_the_beds_that_are_soaked_today() -> None:
    """2 kg of feed a bed and 0.1 kg of bedding; the bed of each is soaked: 3 kg in three times its weight of water."""
    page = told(checklist(rows(4), TODAY, "metric"))
    (total,) = (line for line in page if line.startswith("to carry: "))
    assert total == "to carry: 8 kg of feed, 12 kg of dry bedding, 38 L of water"
    assert [line.split() for line in page if line.startswith(("  barn", "  yard"))] == [
        [stop, "4", "kg", "of", "feed,", "6.2", "kg", "of", "dry", "bedding,", "19", "L", "of", "water"]
        for stop in ("barn", "yard")
    ]
    fed = told(checklist([replace(row, fed_today=True) for row in rows(4)], TODAY, "metric"))
    assert "to carry: 12 kg of dry bedding, 36 L of water" in fed


def test_the_head_tells_looking_and_feeding_apart_from_jobs() -> None:
    some = [replace(row, jobs_minutes=30) for row in rows(20)]
    assert (minutes_left(some), jobs_left(some, TODAY)) == (60, 20 * 35)
    done = [replace(row, fed_today=True) for row in some]
    assert (minutes_left(done), jobs_left(done, TODAY)) == (0, 20 * 5), "what was seen to leaves its harvest steps"
    head = summary(some, filled=True, ordered="", only="", demo="", by="", today=TODAY)
    assert "about 1 h and 11.7 h of jobs" in "".join(text for text, _ in head)


def test_what_finds_no_room_in_the_head_is_left_out_whole() -> None:
    some = [replace(row, jobs_minutes=30) for row in rows(20)]

    def head(width: int) -> str:
        parts = summary(some, filled=True, ordered="", only="", demo="", by="", today=TODAY, width=width)
        return "".join(text for text, _ in parts).rstrip()

    whole = head(200)
    assert " of jobs" in whole
    assert head(len(whole)) == whole
    assert head(len(whole) - 1) == whole[: whole.index(" and ")]


@pytest.mark.parametrize(
    ("fed", "doing", "done"),
    [
        (True, Doing.DRAIN, False), (True, Doing.STOP, True), (False, Doing.STOP, True), (False, Doing.FEED, False),
        (True, Doing.FEED, True),
    ],
)  # fmt: skip
def test_a_box_is_ticked_only_where_nothing_more_is_to_be_done(fed: bool, doing: Doing, done: bool) -> None:
    (one,) = [replace(row, checked_today=True, fed_today=fed, do=("so",), doing=(doing,)) for row in rows(1)]
    page = told(checklist([one], TODAY, "metric"))
    assert any(line.startswith(f"[{'x' if done else ' '}] Bed 1") for line in page)
    head = summary([one], filled=True, ordered="", only="", demo="", by="", today=TODAY)
    assert ("1 bin needs you" in "".join(text for text, _ in head)) is not done


def test_a_feed_that_is_not_carried_says_whose_day_it_is() -> None:
    (one,) = [replace(row, next_feeding=TODAY + timedelta(days=1), load=Load()) for row in rows(1)]
    assert any(
        "feed: due" in line and "if you feed already, up to" in line for line in told(checklist([one], TODAY, "metric"))
    )


@pytest.mark.parametrize(
    ("count", "full", "whole"), [(MANY, False, True), (MANY + 1, False, False), (MANY + 1, True, True)]
)
def test_the_round_of_many_is_a_line_a_bin_unless_asked_in_full(count: int, full: bool, whole: bool) -> None:
    view = RoundView(TODAY, tuple(sorted(rows(count), key=order)), 10, 20)
    page = told(whole_round(view, full=full))
    assert any("why: " in line for line in page) is whole
    assert whole or sum("Bed " in line for line in page) == count


def test_bed_two_stands_before_bed_ten() -> None:
    names = [row.name for row in sorted(rows(12), key=order)]
    assert names == [f"Bed {at}" for at in range(1, 13)]
