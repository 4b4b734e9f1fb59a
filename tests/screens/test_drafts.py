"""A half-filled form outlives a resize, a quit and a signal; leaving one asks."""

from __future__ import annotations

import os
import signal

import pytest

from tests.screens.driving import at, comes, opened, types, until
from tests.screens.fake_farm import FakeFarm
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feed import FeedForm


async def test_a_resize_loses_nothing() -> None:
    async with opened(FakeFarm()) as pilot:
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        await pilot.press("3", "2")
        form.query_one("#note").input.focus()
        await types(pilot, "half a word")
        for size in ((40, 10), (200, 50), (80, 24)):
            await pilot.resize_terminal(*size)
        assert form.fields() == {"squeeze": "sponge", "left": "20%", "note": "half a word"}


async def test_leaving_a_half_filled_form_asks_once() -> None:
    farm = FakeFarm()
    async with opened(farm) as pilot:
        await pilot.press("c")
        await at(pilot, CheckForm)
        await pilot.press("3", "escape")
        await comes(pilot, "Not saved. Esc again drops")
        assert isinstance(pilot.app.screen, CheckForm)
        await pilot.press("escape")
        await at(pilot, BinScreen)
    assert farm.written == []
    assert farm.half_filled == {}


async def test_a_form_with_nothing_in_it_is_left_at_once() -> None:
    async with opened(FakeFarm()) as pilot:
        await pilot.press("f")
        await at(pilot, FeedForm)
        await pilot.press("escape")
        await at(pilot, BinScreen)


async def test_quitting_keeps_the_form_and_the_next_start_offers_it() -> None:
    farm = FakeFarm()
    async with opened(farm) as pilot:
        await pilot.press("c")
        await at(pilot, CheckForm)
        await pilot.press("3", "2", "ctrl+q")
        await until(pilot, lambda: not pilot.app.is_running or bool(farm.half_filled), "the end")
    assert farm.half_filled == {"check-bin-0": {"squeeze": "sponge", "left": "20%"}}
    async with opened(farm) as pilot:
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        await comes(pilot, "Half filled before")
        assert form.fields() == {"squeeze": "sponge", "left": "20%"}
        await pilot.press("enter")
        await at(pilot, BinScreen)
    assert [what for what, _, _ in farm.written] == ["check"]
    assert farm.half_filled == {}


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
async def test_a_signal_keeps_the_form(name: str) -> None:
    farm = FakeFarm()
    async with opened(farm) as pilot:
        await pilot.press("f")
        await at(pilot, FeedForm)
        await types(pilot, "300 g melon rind")
        await pilot.press("enter")
        await comes(pilot, "1) 300 g melon rind")
        await types(pilot, "2 c")
        os.kill(os.getpid(), getattr(signal, name))
        await until(pilot, lambda: bool(farm.half_filled), "the kept form")
    assert farm.half_filled["feed-bin-0"] == {"bucket": "300 g melon rind", "portion": "2 c"}


async def test_what_is_refused_stays_in_the_form_with_one_sentence() -> None:
    farm = FakeFarm()
    async with opened(farm) as pilot:
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        form.query_one("#moisture").input.focus()
        await types(pilot, "wet")
        await pilot.press("enter")
        await comes(pilot, "moisture meter %: “wet” was read; allowed is a percentage from 0 to 100. Example: 82")
        assert form.fields()["moisture"] == "wet"
    assert farm.written == []
