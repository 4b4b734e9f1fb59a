"""A half-filled form outlives a resize, a quit and a signal; leaving one asks."""

from __future__ import annotations

import os
import signal
from datetime import date, timedelta

import pytest

from tests.screens.conftest import Take
from tests.screens.driving import Driver, added, at, comes, log_of, opened, shows, types, until
from tests.screens.fake_farm import FakeFarm
from wormbin.farm import drafts
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.records.entries import Kind
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.start import StartForm
from wormbin.tui.widgets.fields import WordField


async def test_a_resize_loses_nothing() -> None:
    async with opened(FakeFarm()) as pilot:
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        await pilot.press("3", "2")
        form.query_one("#note").input.focus()
        await types(pilot, "half a word")
        for size in ((40, 10), (20, 6), (3, 2), (1, 1), (200, 50), (80, 24)):
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
        await comes(pilot, "moisture meter %: “wet” does not fit. Write a percentage from 0 to 100. Example: 82")
        assert form.fields()["moisture"] == "wet"
    assert farm.written == []


async def _fills_a_start(pilot: Driver, day: str = "") -> StartForm:
    await pilot.press("b")
    form: StartForm = await at(pilot, StartForm)
    form.fill({"name": "Shed", "length": "60 cm", "width": "40 cm", "depth": "30 cm", "worms": "500 g", "started": day})
    await pilot.press("ctrl+b")
    await comes(pilot, "y begins the bin")
    await pilot.press("y")
    await at(pilot, ReadingScreen)
    return form


async def test_a_bin_that_was_written_leaves_no_draft_when_the_program_ends_on_its_list(empty: Session) -> None:
    async with opened(empty) as pilot:
        await _fills_a_start(pilot)
        await pilot.app.action_quit()
    assert [one.name for one in empty.bins()] == ["Shed"]
    assert drafts.names(empty) == ()


@pytest.mark.parametrize(
    ("said", "asked_on", "day"),
    [("", "", "2026-03-02"), ("", "2026-02-20", "2026-02-20"), ("2026-02-11", "2026-02-20", "2026-02-11")],
)
async def test_a_bin_is_set_up_on_the_day_that_is_said_or_asked_for(
    empty: Session, said: str, asked_on: str, day: str
) -> None:
    on = date.fromisoformat(day)
    async with opened(empty, on=date.fromisoformat(asked_on) if asked_on else None) as pilot:
        await _fills_a_start(pilot, said)
        page = pilot.app.screen
        assert isinstance(page, ReadingScreen)
        lines = ["".join(piece[0] for piece in line) for line in page._lines]
        assert any(f"bedding, water and worms on {on:%A} {on.day} {on:%B}" in line for line in lines)
    (one,) = empty.bins()
    assert one.started == on
    assert {entry.when.date() for entry in empty.entries(one.key)} == {on}


@pytest.mark.more
@pytest.mark.parametrize(("said", "back"), [("", 5), ("yesterday", 1)])
async def test_a_line_of_a_form_stands_on_the_day_that_the_program_was_opened_for(
    take: Take, said: str, back: int
) -> None:
    farm = take("apartment")
    today = farm.moment(None).date()
    before = log_of(farm, "kitchen")
    async with opened(farm, on=today - timedelta(days=5)) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("c")
        await at(pilot, CheckForm)
        await pilot.press("2")
        if said:
            pilot.app.screen.query_one("#when", WordField).value = said
        await pilot.press("enter")
        await until(
            pilot, lambda: len(log_of(farm, "kitchen")) > len(before) or shows(pilot, "Enter again"), "saved or asked"
        )
        if len(log_of(farm, "kitchen")) == len(before):
            await pilot.press("enter")
        await until(pilot, lambda: len(log_of(farm, "kitchen")) > len(before), "the line")
    (line,) = added(before, log_of(farm, "kitchen"))
    assert line.when.date() == today - timedelta(days=back)


async def test_a_line_put_right_keeps_its_own_day_whatever_day_the_program_was_opened_for(take: Take) -> None:
    farm = take("apartment")
    written = {each.when.date() for each in log_of(farm, "kitchen")}
    days = (farm.moment(None).date() - timedelta(days=back) for back in range(2, 60))
    on = next(day for day in days if not written & {day, day - timedelta(days=1)})
    its_own = on - timedelta(days=1)
    (wrong,) = write(farm, "kitchen", Kind.CHECK, {"squeeze": "damp"}, Heading(when=its_own.isoformat())).ids
    async with opened(farm, on=on) as pilot:
        await pilot.press("l")
        await comes(pilot, "newest first")
        await until(pilot, lambda: shows(pilot, "squeeze damp"), "the line")
        await pilot.press("r")
        form = await at(pilot, CheckForm)
        form.query_one("#when", WordField).value = ""
        await pilot.press("3", "enter")
        await pilot.pause()
        if isinstance(pilot.app.screen, CheckForm):
            await pilot.press("enter")
        await until(pilot, lambda: any(each.replaces == wrong for each in log_of(farm, "kitchen")), "the right line")
    right = next(each for each in log_of(farm, "kitchen") if each.replaces == wrong)
    assert right.when.date() == its_own


@pytest.mark.more
async def test_a_second_and_different_question_is_asked_as_well(take: Take) -> None:
    farm = take("apartment")
    before = log_of(farm, "kitchen")
    async with opened(farm) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        form.query_one("#moisture", WordField).value = "58"
        await pilot.press("3", "enter")
        await comes(pilot, "58% moisture and a sponge squeeze do not fit together")
        form.query_one("#squeeze").focus()
        await pilot.press("4", "enter")
        await comes(pilot, "58% moisture and a dripping squeeze do not fit together")
        assert log_of(farm, "kitchen") == before
        await pilot.press("enter")
        await until(pilot, lambda: len(log_of(farm, "kitchen")) > len(before), "the line")


async def test_a_bin_of_a_day_to_come_is_planned_and_not_written(empty: Session) -> None:
    async with opened(empty) as pilot:
        await pilot.press("b")
        form: StartForm = await at(pilot, StartForm)
        said = {"name": "Shed", "length": "60 cm", "width": "40 cm", "depth": "30 cm", "site_temp": "18 C"}
        form.fill({**said, "drainage": "yes", "cover": "open", "started": "2026-03-20"})
        await pilot.press("ctrl+b")
        await comes(pilot, "y begins the bin")
        await pilot.press("y")
        await comes(pilot, "Shed can be begun on 20 March, and not before")
        assert form.query_one("#started", WordField).input.has_focus
    assert empty.bins() == ()


async def test_a_fault_leads_to_its_row_and_is_told_until_that_is_mended() -> None:
    async with opened(FakeFarm()) as pilot:
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        form.query_one("#moisture", WordField).value = "wet"
        form.query_one("#note", WordField).input.focus()
        await pilot.press("enter")
        await comes(pilot, "“wet” does not fit")
        assert form.query_one("#moisture", WordField).input.has_focus
        await pilot.press("down", "up", "up")
        assert not form.query_one("#moisture", WordField).input.has_focus
        await pilot.press("down")
        await comes(pilot, "“wet” does not fit")
        await pilot.press("ctrl+u")
        await until(pilot, lambda: not shows(pilot, "“wet” does not fit"), "nothing said any more")
