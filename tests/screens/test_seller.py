"""The seller's work by keys: forty beds looked at, the week moved by hand, an order, a plan that can be left."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from threading import Event

import pytest

from tests.cli.test_feedstock import season
from tests.farm.a_farm import open_farm
from tests.farm.many_due import due_farm, lay_ready
from tests.screens.conftest import Take
from tests.screens.driving import SIZES, at, comes, log_of, opened, text_of, types, until
from tests.screens.made_views import TODAY
from wormbin.farm import rounds
from wormbin.farm.orders import orders
from wormbin.farm.rounds.fill import Filling
from wormbin.farm.session import Session
from wormbin.farm.settings import change_setting
from wormbin.records.entries import Check, Stocking
from wormbin.tui.screens.asking import PlanForm
from wormbin.tui.screens.castings import CastingsScreen
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feedstock import OrdersScreen
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.round import RoundScreen
from wormbin.tui.screens.turns import WeekScreen
from wormbin.tui.screens.write import BookForm, WriteForm

sized = pytest.mark.parametrize("size", SIZES)
A_CHECK = ("c", "2", "enter")
"""A squeeze written down: three keys a bed (four with what is left of the feed), 120 to 160 for forty; the cursor goes
on by itself."""


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    farm = due_farm(tmp_path / "store", 40)
    change_setting(farm, "hours", "4 h")
    change_setting(farm, "walk", "barn: bed-0*, bed-1*; yard: bed-2*, bed-3*, bed-40")
    return farm


async def test_after_a_look_the_cursor_stands_on_the_next_bed_that_was_not_seen(farm: Session) -> None:
    async with opened(farm) as pilot:
        screen = await at(pilot, RoundScreen)
        await pilot.press("s")
        await comes(pilot, "as you walk")
        for number in (1, 2, 3):
            here = f"bed-{number:02}"
            await until(pilot, lambda here=here: screen.in_hand() and screen.in_hand().key == here, here)  # type: ignore[misc]
            await pilot.press(*A_CHECK[:1])
            await at(pilot, CheckForm)
            await pilot.press(*A_CHECK[1:])
            await at(pilot, RoundScreen)
            await until(pilot, lambda here=here: len(log_of(farm, here)) == 1, here)  # type: ignore[misc]
        await until(pilot, lambda: screen.in_hand() and screen.in_hand().key == "bed-04", "bed-04")
        await comes(pilot, "3 of 40 done")
        assert "✓" in next(line for line in text_of(pilot).splitlines() if " Bed 3 " in line)[:4]
        await comes(pilot, "v not done")
        await pilot.press("v")
        await until(pilot, lambda: " Bed 3 " not in text_of(pilot), "seen beds are gone")
    assert all(isinstance(log_of(farm, f"bed-{number:02}")[0].what, Check) for number in (1, 2, 3))


@sized
async def test_the_checklist_has_a_line_a_bed_under_its_stop_and_what_to_carry(
    farm: Session, size: tuple[int, int]
) -> None:
    async with opened(farm, size) as pilot:
        await at(pilot, RoundScreen)
        await pilot.press("s")
        await comes(pilot, "as you walk")
        await pilot.press("i")
        page = await at(pilot, ReadingScreen)
        # 40 beds get 2 kg and 0.1 kg each, and 4 beds of tomorrow's are soaked with 3 kg in 12 L... of water each.
        await comes(pilot, "to carry: 80 kg of feed")
        await comes(pilot, "barn 38 kg of feed")
        await comes(pilot, "yard 42 kg of feed")
        assert page is not None
        lines = [line for line in text_of(pilot).splitlines() if "[ ] Bed " in line]
        assert lines[0].split("[ ] ")[1].startswith("Bed 1 ")


@sized
async def test_a_harvest_is_moved_a_day_on_and_stays_there(farm: Session, size: tuple[int, int]) -> None:
    async with opened(farm, size) as pilot:
        await at(pilot, RoundScreen)
        await pilot.press("W")
        week = await at(pilot, WeekScreen)
        await comes(pilot, "Tue 3 Mar 2026")
        first = week._lines[week.query_one("#lines").cursor]
        bed = first[1].bin
        assert first[0].on == TODAY + timedelta(days=1)
        await pilot.press("plus")
        await comes(pilot, "where it stays")
        await pilot.press("plus")
        await until(pilot, lambda: [each.on for each in farm.settings().put] == [first[0].on + timedelta(days=2)])
        await comes(pilot, "put here by hand")
        await pilot.press("escape")
        await at(pilot, RoundScreen)
    again = Session(farm.folder, clock=farm.clock)
    row = next(row for row in rounds.view(again).rows if row.bin == bed)
    assert row.harvest.on == first[0].on + timedelta(days=2)


async def test_something_is_promised_and_the_plan_counts_it(take: Take) -> None:
    farm = take("seller")
    due = (farm.clock().date() + timedelta(days=30)).isoformat()
    before = len(orders(farm))
    async with opened(farm) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("r")
        await at(pilot, OrdersScreen)
        await pilot.press("b")
        await at(pilot, BookForm)
        for words in ("fair", "5 kg", due, "Ana"):
            await types(pilot, words)
            await pilot.press("enter")
        await pilot.press("enter", "enter")
        await at(pilot, OrdersScreen)
        await comes(pilot, "fair")
    found = orders(Session(farm.folder, clock=farm.clock))
    assert len(found) == before + 1
    stall = next(each for each in found if each.order == "fair")
    assert (stall.kg, stall.due.isoformat(), stall.buyer, stall.stand) == (5.0, due, "Ana", "open")
    assert stall.likelihood is not None


@pytest.mark.more
async def test_a_plan_can_be_left_while_the_bins_are_worked_out(take: Take, monkeypatch: pytest.MonkeyPatch) -> None:
    farm = take("seller")
    go_on, made = Event(), Filling.beside

    def held_up(self: Filling):  # type: ignore[no-untyped-def]
        for each in made(self):
            assert go_on.wait(60)
            yield each

    async with opened(farm) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("p")
        form = await at(pilot, PlanForm)
        monkeypatch.setattr(Filling, "beside", held_up)
        await types(pilot, "40 kg")
        await pilot.press("enter")
        await types(pilot, (farm.clock().date() + timedelta(days=200)).isoformat())
        await pilot.press("enter")
        await until(pilot, lambda: form.workers and any(w.group == "answer" for w in form.workers), "the plan begins")
        await pilot.press("escape")
        await at(pilot, CastingsScreen)
        go_on.set()


async def test_worms_are_sold_by_keys_and_the_log_says_to_whom(farm: Session) -> None:
    lay_ready(farm)
    async with opened(farm, SIZES[0]) as pilot:
        await at(pilot, RoundScreen)
        await pilot.press("e", "k")
        form = await at(pilot, WriteForm)
        for words in ("250 g", "yes", "30", "Ana"):
            await types(pilot, words)
            await pilot.press("enter")
        for _ in range(6):  # the rows below, and what is asked before it is written
            if pilot.app.screen is form:
                await pilot.press("enter")
        await until(pilot, lambda: any(log_of(farm, one.key) for one in farm.bins()), "sold")
    (sold,) = (line.what for one in farm.bins() for line in log_of(farm, one.key))
    assert isinstance(sold, Stocking)
    assert (sold.worms_kg, sold.price, sold.who) == (-0.25, 30.0, "Ana")


async def test_worms_to_sell_are_told_by_keys(farm: Session) -> None:
    lay_ready(farm)  # the settings have changed since
    async with opened(farm, SIZES[0]) as pilot:
        await at(pilot, RoundScreen)
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("w")
        await comes(pilot, "surveyed")
        await pilot.press("escape")
        await at(pilot, CastingsScreen)


@pytest.mark.more
async def test_a_market_week_by_keys_from_the_promise_to_the_label(tmp_path: Path) -> None:
    """Half of 1 kg in stock, of a lot that has brought 19.00, is promised and sold for 4.75."""
    season(tmp_path / "market")
    farm = open_farm(tmp_path / "market")
    due = (farm.clock().date() + timedelta(days=5)).isoformat()
    async with opened(farm) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("r")
        await at(pilot, OrdersScreen)
        await pilot.press("b")
        await at(pilot, BookForm)
        for words in ("fair", "500 g", due, "Ana"):
            await types(pilot, words)
            await pilot.press("enter")
        await pilot.press("enter", "enter")
        await at(pilot, OrdersScreen)
        await comes(pilot, "all but certain")
        await pilot.press("escape")
        await at(pilot, CastingsScreen)
        await pilot.press("v")
        await at(pilot, BookForm)
        for words in ("500 g", "fair", "4.75", "Ana"):
            await types(pilot, words)
            await pilot.press("enter")
        await at(pilot, CastingsScreen)
        await comes(pilot, "in stock 500 g")
        await pilot.press("r")
        await comes(pilot, "met")
        await pilot.press("escape")
        await at(pilot, CastingsScreen)
        await pilot.press("c")
        await comes(pilot, "23.75")
        await pilot.press("escape")
        await at(pilot, CastingsScreen)
        await pilot.press("b")
        await comes(pilot, "Net 1 kg when packed")
