from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.screens.made_views import TODAY
from wormbin.drawing.series import Reading, Series
from wormbin.tui.widgets.charts import Range, futures_pieces, set_aside_words

VIEW = Series(code="moisture", title="moisture", unit="fraction", target=(0.75, 0.85), today=TODAY)
ODD = Reading(TODAY - timedelta(days=9), 0.21, questioned=True, by="Ana", weight=0.05)


def test_a_question_mark_says_what_was_read_when_and_how_much_it_counts() -> None:
    day = ODD.on
    words = set_aside_words(replace(VIEW, readings=(ODD,)), Range(), "metric")
    assert words == f"? does not fit: 21% on {day.day} {day:%b} (counts little)"


def test_the_newest_of_several_is_named_and_the_others_counted() -> None:
    older = replace(ODD, on=ODD.on - timedelta(days=3), value=0.3)
    plain = replace(ODD, questioned=False, weight=1.0)
    words = set_aside_words(replace(VIEW, readings=(older, ODD, plain)), Range(), "metric")
    assert "21%" in words
    assert words.endswith(", and 1 more")


@pytest.mark.parametrize("seen", [Range(14, 0.5), Range(120, 0.0)])
def test_nothing_is_said_of_what_is_not_in_sight(seen: Range) -> None:
    assert set_aside_words(replace(VIEW, readings=(ODD,)), seen, "metric") == ""


@pytest.mark.parametrize("ascii", [False, True])
def test_two_futures_are_told_apart_by_their_signs(ascii: bool) -> None:
    planned, changed, name = (text for text, _ in futures_pieces("leave out a feeding", ascii=ascii))
    assert planned.split()[0] != changed.split()[0]
    assert name == ": leave out a feeding"
    assert planned.isascii() or not ascii
