"""What is typed faster than a form opens reaches the form, in order, and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from textual.events import Key
from textual.widgets import Input

from tests.screens.driving import Driver, at, opened, until
from tests.screens.fake_farm import FakeFarm
from wormbin.farm.session import Session
from wormbin.tui.catalogue import draft_words
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.start import StartForm
from wormbin.tui.screens.write import WriteForm
from wormbin.tui.widgets.fields import WordField


def _at_once(pilot: Driver, keys: str) -> None:
    """All keys lie in the program's queue before the first of them is looked at."""
    for letter in keys:
        pilot.app.post_message(Key("space" if letter == " " else letter, letter))


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
        await pilot.press("n", "tab", "l", "tab", "1", "tab", "3", "tab", "1")
        fields = form.fields()
        assert fields == {"drainage": "no", "cover": "loose", "compartments": "1", "method": "sort"}


def test_a_half_filled_form_is_told_of_by_the_name_of_its_bin() -> None:
    assert draft_words("check-kitchen", {"kitchen": "Kitchen"}) == "A half-filled check of Kitchen is kept: c opens it."
    correction = "A half-filled correction is kept: l, then r on its line, opens it."
    assert draft_words("put-right-7k2f9q", {"kitchen": "Kitchen"}) == correction


async def test_the_field_for_feed_offers_feeds_and_the_one_for_bedding_beddings(
    take: Callable[[str], Session],
) -> None:
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


def _offers(line: Input, words: str) -> bool:
    return line._suggestion == words
