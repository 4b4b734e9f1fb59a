"""What is typed faster than a form opens reaches the form, in order, and nothing else."""

from __future__ import annotations

from asyncio import Event
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from textual.events import Key
from textual.screen import Screen
from textual.widgets import Input

from tests.screens.driving import Driver, at, opened, until
from tests.screens.fake_farm import FakeFarm
from wormbin.farm.session import Session
from wormbin.records.farms import KEYS
from wormbin.tui.catalogue import draft_words
from wormbin.tui.desk import Desk
from wormbin.tui.form import FilledForm
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.start import StartForm
from wormbin.tui.screens.write import WriteForm
from wormbin.tui.widgets.fields import WordField


def _at_once(pilot: Driver, keys: str) -> None:
    """All keys lie in the program's queue before the first of them is looked at."""
    for letter in keys:
        name = {" ": "space", "⏎": "enter"}.get(letter, letter)
        pilot.app.post_message(Key(name, "\r" if name == "enter" else letter))


def _slow(patch: pytest.MonkeyPatch) -> Event:
    """From now on the farm answers nothing until the event is set."""
    ask, let_go = Desk.ask, Event()

    async def slow(desk: Desk, *words: Any, **how: Any) -> Any:
        await let_go.wait()
        return await ask(desk, *words, **how)

    patch.setattr(Desk, "ask", slow)
    return let_go


async def test_what_follows_the_key_of_a_form_is_typed_into_it() -> None:
    async with opened(FakeFarm()) as pilot:
        _at_once(pilot, "f20 kg melon rind")
        form = await at(pilot, FeedForm)
        await until(pilot, lambda: form.fields().get("portion") == "20 kg melon rind", "the portion")


async def test_a_kind_and_its_first_line_may_be_typed_in_one_go() -> None:
    async with opened(FakeFarm()) as pilot:
        _at_once(pilot, "eb400 g leaves")
        form = await at(pilot, WriteForm)
        await until(pilot, lambda: form.fields().get("portions") == "400 g leaves", "the bedding")


async def test_the_start_form_keeps_a_tab_of_habit_and_never_wraps() -> None:
    async with opened(FakeFarm()) as pilot:
        await pilot.press("b")
        form = await at(pilot, StartForm)
        form.query_one("#drainage").focus()
        await pilot.press("n", "l", "1", "up", "up", "tab", "1", "3", "tab", "tab", "tab")
        fields = form.fields()
        assert fields == {"drainage": "no", "cover": "loose", "compartments": "1", "method": "upward"}


def test_a_half_filled_form_is_told_of_by_the_name_of_its_bin() -> None:
    names, keys = {"kitchen": "Kitchen"}, {**KEYS, "feed": "2", "write": "3"}
    assert draft_words("check-kitchen", names, keys) == "A half-filled check of Kitchen is kept: c opens it."
    assert draft_words("feed-kitchen", names, keys) == "A half-filled feed of Kitchen is kept: 2 opens it."
    assert draft_words("survey-kitchen", names, keys).endswith("3, then v opens it.")
    correction = "A half-filled correction is kept: l, then r on its line, opens it."
    assert draft_words("put-right-7k2f9q", names, keys) == correction


async def test_the_field_for_feed_offers_feeds_and_the_one_for_bedding_beddings(take: Callable[[str], Session]) -> None:
    async with opened(take("apartment")) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        for field, typed, offered in (
            ("portion", "2 cups coffee", "2 cups coffee-grounds"),
            ("portion", "300 g lett", "300 g lettuce"),
            ("portion", "300 g lettuce", ""),
            ("bedding", "60 g coffee", "60 g coffee-filters"),
        ):
            line = form.query_one(f"#{field}", WordField).input
            line.focus()
            line.value = typed
            line.cursor_position = len(typed)
            await until(pilot, partial(_offers, line, offered), offered or "nothing")


def _on_top(pilot: Driver, screen: Screen[Any]) -> bool:
    return pilot.app.screen is screen


def _offers(line: Input, words: str) -> bool:
    return line._suggestion == words


async def test_enter_pressed_again_and_again_while_the_farm_works_saves_once(monkeypatch: pytest.MonkeyPatch) -> None:
    farm = FakeFarm()
    async with opened(farm) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        let_go = _slow(monkeypatch)
        _at_once(pilot, "2 apple cores⏎⏎⏎⏎")
        await pilot.pause()
        let_go.set()
        await until(pilot, lambda: bool(farm.written) and pilot.app.screen is not form, "the feeding")
        assert farm.written == [("feeding", "bin-0", (("2 apple cores",), (), ""))]
        assert isinstance(pilot.app.screen, BinScreen)


async def test_lines_typed_ahead_of_a_slow_farm_go_into_the_bucket_in_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    farm = FakeFarm()
    async with opened(farm) as pilot:
        await pilot.press("f")
        await at(pilot, FeedForm)
        let_go = _slow(monkeypatch)
        _at_once(pilot, "2 banana peels⏎90 g coffee⏎⏎")
        await pilot.pause()
        let_go.set()
        await until(pilot, lambda: bool(farm.written), "the feeding")
        assert farm.written == [("feeding", "bin-0", (("2 banana peels", "90 g coffee"), (), ""))]


async def test_no_form_saves_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    farm = FakeFarm()
    async with opened(farm) as pilot:
        for open_it, keys in (("c", "34⏎⏎⏎"), ("ew", "0.5 L⏎⏎⏎⏎⏎"), ("t", "d⏎⏎⏎"), ("K", " ⏎⏎⏎")):
            before, below = len(farm.written), pilot.app.screen
            await pilot.press(*open_it)
            await until(pilot, lambda: isinstance(pilot.app.screen, FilledForm), open_it)
            with monkeypatch.context() as patch:
                let_go = _slow(patch)
                _at_once(pilot, keys)
                await pilot.pause()
                let_go.set()
                await until(pilot, partial(_on_top, pilot, below), "the place below")
            assert len(farm.written) == before + 1, open_it


async def test_what_is_typed_behind_an_enter_reaches_the_next_row() -> None:
    async with opened(FakeFarm()) as pilot:
        _at_once(pilot, "bkitchen⏎60cm⏎40cm⏎")
        form = await at(pilot, StartForm)
        await until(pilot, lambda: form.fields().get("width") == "40cm", "the width")
        assert form.fields() == {"name": "kitchen", "length": "60cm", "width": "40cm"}
