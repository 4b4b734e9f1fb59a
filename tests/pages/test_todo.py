"""A hint's second look comes first; what is not given yet is not taken out again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.screens.made_views import TODAY, finding, preview, row
from wormbin.advice.finding import Action, Doing
from wormbin.figures import Level
from wormbin.pages.feeding import feeding
from wormbin.pages.findings import first_steps
from wormbin.pages.page import lines
from wormbin.pages.round_table import row_pieces

LOOK, FEED = "squeeze a handful again tomorrow", "feed up to 300 g"


@pytest.mark.parametrize(
    ("level", "kind", "first"),
    [(Level.STEADY, Doing.LOOK, LOOK), (Level.STEADY, Doing.MEASURE, FEED), (Level.WATCH, Doing.LOOK, FEED)],
)
def test_only_a_hint_that_asks_for_a_look_goes_before_what_is_due(level: Level, kind: Doing, first: str) -> None:
    hint = replace(finding(level), actions=(Action(kind, LOOK),))
    one = replace(row("k", "Kitchen", 1), level=level, findings=(hint,), do=(FEED,), also=(LOOK,))
    steps, also = first_steps(one, one.do)
    assert steps[0] == first
    assert sorted((*steps, *also)) == sorted((LOOK, FEED))
    ((words, role),) = [piece for piece in row_pieces(one, 80, TODAY) if piece[0].startswith(first[:15])]
    assert role == level.value, words


def test_the_panel_beside_a_feeding_takes_nothing_out_that_is_not_in_yet() -> None:
    out = Action(Doing.TAKE_OUT, "take out about 1 kg of feed")
    new = replace(finding(Level.WATCH), actions=(out, Action(Doing.FLUFF, "lift and fluff")))
    made = preview("k", ["2 kg melon rind"])
    wet = replace(made.proposal, words="add 2 L of water")
    held = replace(made, findings=(new,), up_to_kg=0.0, proposal=wet)
    text = "\n".join("".join(text for text, _ in line) for line in lines(feeding(held)))
    assert new.what in text
    assert "lift and fluff" in text
    assert "take out" not in text
    assert "add 2 L" not in text, "nothing goes with what is held back"
    given = replace(held, up_to_kg=0.3)
    assert "add 2 L" in "".join(text for line in lines(feeding(given)) for text, _ in line)
