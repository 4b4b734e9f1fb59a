"""A key that a keeper changed does what its old one did, in every place, and the help says it."""

from __future__ import annotations

import pytest

from tests.screens.driving import at, opened
from wormbin.drawing.marks import plain
from wormbin.farm.session import Session
from wormbin.farm.settings import change_setting, setting_word
from wormbin.farm.words.settings import KEPT_KEYS
from wormbin.problems import RefusedError
from wormbin.records.farms import KEYS
from wormbin.tui.bin_place import BinPlace
from wormbin.tui.keyboard import key_word, named_actions
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.round import RoundScreen
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.log_place import LogPlace
from wormbin.tui.widgets.pictures import Gauges


def test_what_may_be_changed_is_what_there_is() -> None:
    assert {each.id: key_word(each.key) for each in vars(BinPlace)["BINDINGS"]} == KEYS
    places = (BinScreen, RoundScreen, LogPlace, LineList, Gauges)
    own = {key_word(key) for kind in places for each in vars(kind)["BINDINGS"] for key in each.key.split(",")}
    assert {key for key in own if len(key) == 1} <= set(KEPT_KEYS) | set("^")


async def test_a_key_that_was_changed_works_and_its_old_one_is_free(empty: Session) -> None:
    from tests.farm.a_farm import kitchen

    kitchen(empty.folder, days=3, now=empty.clock())
    farm = Session(empty.folder, clock=empty.clock)
    change_setting(farm, "keys", "check: 1; troubles: c")
    async with opened(farm) as pilot:
        screen = await at(pilot, BinScreen)
        assert {each.keys for each in named_actions(screen) if each.words in ("check", "troubles")} == {"1", "c"}
        await pilot.press("1")
        await at(pilot, CheckForm)


@pytest.mark.parametrize(
    ("words", "held"),
    [("check: 1", "check: 1"), ("check: f", ""), ("check: j", ""), ("check: ab", ""), ("jump: 1", ""),
     ("feed: 1; check: f", "feed: 1; check: f"), ("hand-out: none", "")],
)  # fmt: skip
def test_a_key_is_taken_only_while_nothing_else_has_it(empty: Session, words: str, held: str) -> None:
    if held or words.endswith("none"):
        change_setting(empty, "keys", words)
    else:
        with pytest.raises(RefusedError) as refused:
            change_setting(empty, "keys", words)
        assert "check: 1" in plain(str(refused.value))
    assert setting_word(empty, "keys") == held
