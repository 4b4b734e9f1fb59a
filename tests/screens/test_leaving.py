"""A place is left once: a key pressed twice, two dismissals in a row, one that comes late, one under another screen."""

from __future__ import annotations

import pytest
from textual.events import Key
from textual.screen import Screen

from tests.screens.driving import Driver, at, opened, until
from tests.screens.fake_farm import EIGHT, TODAY, FakeFarm
from wormbin.farm.cache.rows import Front
from wormbin.tui.catalogue import SCREENS, loaded
from wormbin.tui.place import Place
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.reading import HelpScreen
from wormbin.tui.screens.round import RoundScreen
from wormbin.tui.screens.settings import SettingsScreen


def _stack(pilot: Driver) -> list[type[Screen[object]]]:
    return [type(screen) for screen in pilot.app.screen_stack]


async def test_two_escapes_in_a_row_leave_a_form_once_and_the_second_is_for_the_place_below() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press("enter", "c")
        await at(pilot, CheckForm)
        for _ in range(2):
            pilot.app.post_message(Key("escape", None))
        await until(pilot, lambda: CheckForm not in _stack(pilot), "out of the form")
        await pilot.pause()
        assert _stack(pilot) in ([RoundScreen, BinScreen], [RoundScreen])
        await pilot.press("escape", "escape", "e", "escape", "g", "escape")
        assert _stack(pilot) == [RoundScreen]


@pytest.mark.parametrize("key", ["comma", "x", "g", "H", "w", "c", "f", "t", "K", "y"])
async def test_two_dismissals_and_a_late_one_leave_what_lies_below(key: str) -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press("enter", key)
        await until(pilot, lambda: len(_stack(pilot)) == 3, "the form")
        form = pilot.app.screen
        answers: list[object] = []
        form._result_callbacks[-1].callback = answers.append
        form.dismiss(None)
        form.dismiss(None)
        await pilot.pause()
        form.dismiss(None)
        await pilot.pause()
        assert _stack(pilot) == [RoundScreen, BinScreen]
        assert answers == [None]


async def test_what_is_left_under_another_screen_goes_when_that_is_gone_and_takes_nothing_else_along() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press("comma")
        form = await at(pilot, SettingsScreen)
        await pilot.press("f1")
        await at(pilot, HelpScreen)
        form.dismiss(None)
        await pilot.pause()
        assert _stack(pilot) == [RoundScreen, SettingsScreen, HelpScreen], "the page being read stays"
        await pilot.press("escape")
        await until(pilot, lambda: _stack(pilot) == [RoundScreen], "the round")


async def test_the_lowest_screen_stays_when_it_is_dismissed() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        pilot.app.screen.dismiss(None)
        await pilot.pause()
        assert _stack(pilot) == [RoundScreen]


async def test_the_only_bin_which_was_the_first_screen_of_all_is_left_for_the_round() -> None:
    farm = FakeFarm()
    front = Front(TODAY, tuple(farm.made), "metric", "")
    async with opened(farm, front=front) as pilot:
        assert _stack(pilot) == [BinScreen]
        lowest = pilot.app.screen
        assert isinstance(lowest, BinScreen)
        await pilot.press("escape", "escape", "e", "escape", "g", "escape")
        assert _stack(pilot) == [BinScreen, RoundScreen]
        lowest.action_back()
        await pilot.pause()
        assert _stack(pilot) == [BinScreen, RoundScreen], "a late key of the bin changes nothing"


@pytest.mark.parametrize("name", SCREENS)
def test_every_screen_that_can_be_opened_is_there_and_is_left_once(name: str) -> None:
    kind = loaded(f"screens.{SCREENS[name]}")
    assert issubclass(kind, Place)
    assert kind.dismiss is Place.dismiss
