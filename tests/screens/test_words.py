"""What forms, help and the log say of themselves: labels and names, never keys of the program's own."""

from __future__ import annotations

import pytest

from tests.screens.conftest import Take
from tests.screens.driving import at, comes, opened, shows, text_of, types, until
from tests.screens.fake_farm import EIGHT, FakeFarm
from tests.screens.made_views import log
from wormbin.farm.session import Session
from wormbin.pages.bin import log_line
from wormbin.pages.page import lines
from wormbin.tui.place import Form
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.hand_out import BringInForm
from wormbin.tui.screens.reading import HelpScreen, SumsScreen
from wormbin.tui.screens.round import RoundScreen
from wormbin.tui.screens.start import StartForm


async def test_a_refused_line_of_the_start_form_is_called_by_its_label(empty: Session) -> None:
    async with opened(empty) as pilot:
        await pilot.press("b")
        form = await at(pilot, StartForm)
        form.fill({"name": "Kitchen", "length": "60 cm", "width": "40 cm", "depth": "30 cm", "site_temp": "warm"})
        await pilot.press("ctrl+b")
        await comes(pilot, "room warmth:")
        assert not shows(pilot, "site-temp")
        assert not shows(pilot, "site_temp")


async def test_the_start_form_judges_a_row_when_it_is_left_and_jumps_over_none(empty: Session) -> None:
    async with opened(empty) as pilot:
        await pilot.press("b")
        form = await at(pilot, StartForm)
        await types(pilot, "Kitchen")
        await pilot.press("enter", "6", "0", "enter")
        await comes(pilot, "length inside: 60 what? Write 60 cm or 60 in.")
        await pilot.press("space", "c", "m", "enter")
        for words in ("40 cm", "30 cm", "21 C", "500 g", "20 feb", "dry leaves", ""):
            await types(pilot, words)
            await pilot.press("enter")
        await until(pilot, lambda: form.focused is form.query_one("#drainage"), "the next row")
        assert form.fields() == {
            "name": "Kitchen", "length": "60 cm", "width": "40 cm", "depth": "30 cm", "site_temp": "21 C",
            "worms": "500 g", "started": "20 feb", "beddings": "dry leaves",
        }  # fmt: skip


async def test_help_inside_a_form_names_only_keys_that_are_not_typed_there() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press("c")
        await at(pilot, CheckForm)
        await pilot.press("f1")
        await at(pilot, HelpScreen)
        assert not any(line.strip("│ ").startswith("? ") for line in text_of(pilot).splitlines())
        words = "".join(text for line in pilot.app.screen._lines for text, _ in line)  # type: ignore[attr-defined]
        assert "F1" in words


async def test_help_on_a_place_still_names_the_question_mark() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await at(pilot, RoundScreen)
        await pilot.press("question_mark")
        screen = await at(pilot, HelpScreen)
        assert any(line and line[0][0].split() == ["?"] for line in screen._lines)


async def test_files_can_be_brought_in_beside_bins_that_are_there_by_key_and_by_name() -> None:
    async with opened(FakeFarm(EIGHT)) as pilot:
        await pilot.press("I")
        await at(pilot, BringInForm)
        await pilot.press("escape")
        await at(pilot, RoundScreen)
        await pilot.press("ctrl+p")
        await until(pilot, lambda: bool(pilot.app.screen.query("CommandInput")), "the palette")
        await types(pilot, "import")
        await comes(pilot, "import log files")


@pytest.mark.parametrize("side", ["replaces", "replaced"])
def test_a_line_that_puts_another_right_names_it_by_its_day_and_kind(side: str) -> None:
    from dataclasses import replace

    (one, other) = (log("kitchen", 4)[0], log("kitchen", 4)[1])
    line = replace(one, **{side: other.entry})
    words = ["".join(text for text, _ in each) for each in lines(log_line(line, {other.entry: other}))]
    (told,) = [each for each in words if each.startswith(("puts right", "put right"))]
    assert other.kind.value in told
    assert f"{other.when:%Y-%m-%d}" in told
    assert other.entry not in told


@pytest.mark.more
async def test_the_numbers_of_the_feeding_panel_can_be_opened_and_the_form_stays(take: Take) -> None:
    farm = take("apartment")
    async with opened(farm) as pilot:
        await pilot.press("f")
        form = await at(pilot, FeedForm)
        await types(pilot, "1 kg melon rind")
        await pilot.press("enter")
        await until(pilot, lambda: form.preview is not None and bool(form.bucket), "the panel")
        await pilot.press("ctrl+o")
        await at(pilot, SumsScreen)
        assert form.preview.opened, "something is to be added, or this test tells nothing"
        for title in (*(working.title for working in form.preview.opened), "Moisture of the contents"):
            await comes(pilot, title)
        await pilot.press("enter", "v")
        await comes(pilot, "with the numbers: ")
        await pilot.press("left")
        await comes(pilot, "Moisture of the contents")
        await pilot.press("escape")
        assert await at(pilot, FeedForm) is form
        assert form.bucket == ["1 kg melon rind"]


@pytest.mark.parametrize("key", ["w", "g"])
async def test_the_page_beside_a_form_is_scrolled_by_a_key_while_its_lines_listen(key: str, take: Take) -> None:
    async with opened(take("apartment")) as pilot:
        await pilot.press(key)
        await until(pilot, lambda: bool(getattr(pilot.app.screen, "SIDE", "")), "the form")
        form = pilot.app.screen
        assert isinstance(form, Form)
        if key == "w":
            await pilot.press("1")
        side = form.query_one(form.SIDE)
        await until(pilot, lambda: side.max_scroll_y > 0, "more than finds room")
        listening = pilot.app.focused
        await pilot.press("pagedown")
        await until(pilot, lambda: side.scroll_offset.y > 0, "scrolled")
        assert pilot.app.focused is listening
