"""Castings on the screen: a harvest names its lot, the lots are listed, and a letter writes a line of one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from tests.screens.conftest import Take
from tests.screens.driving import at, comes, opened, types
from wormbin.farm.lots import Lots
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.records.entries import Kind
from wormbin.records.kinds.castings import LotKind
from wormbin.tui.keyboard import named_actions
from wormbin.tui.screens.asking import PlanForm, UsesForm
from wormbin.tui.screens.castings import CastingsScreen
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.write import BookForm, WriteForm
from wormbin.tui.widgets.fields import WordField


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return kitchen(tmp_path / "s", days=12)


async def test_a_harvest_names_its_lot_which_goes_its_way_to_the_buyer(farm: Session) -> None:
    async with opened(farm) as pilot:
        await pilot.press("e", "h")
        await at(pilot, WriteForm)
        await types(pilot, "4 kg")
        await pilot.press("enter", "enter", "enter", "enter")
        await types(pilot, "may")
        await pilot.press("enter")
        await comes(pilot, "cannot be there yet")
        assert type(pilot.app.screen) is WriteForm, "a question is asked in the form, it is no fault"
        await pilot.press("enter")
        await comes(pilot, "opens lot may")
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await comes(pilot, "on its way 4 kg")
        await comes(pilot, "4 kg (100%) from Kitchen")
        await pilot.press("s")
        await at(pilot, BookForm)
        await types(pilot, "stock")
        await pilot.press("enter")
        await types(pilot, "3.5 kg")
        await pilot.press("enter", "enter", "enter")
        await comes(pilot, "stock all the same?")
        await pilot.press("enter")
        await at(pilot, CastingsScreen)
        await comes(pilot, "in stock 3.5 kg")
        await pilot.press("v")
        await at(pilot, BookForm)
        await types(pilot, "9 kg")
        await pilot.press("enter", "enter", "enter", "enter")
        await comes(pilot, "up to 3.5 kg")
        assert pilot.app.screen.query_one("#amount Input").value == "9 kg", "what was refused stays filled in"  # type: ignore[attr-defined]
        await pilot.press("end", "ctrl+u")
        await types(pilot, "1 kg")
        await pilot.press("enter")
        await types(pilot, "market")
        await pilot.press("enter", "enter", "enter")
        await at(pilot, CastingsScreen)
        await comes(pilot, "in stock 2.5 kg")
        await pilot.press("escape")
    (lot,) = Lots(farm).all()
    assert (lot.sold_kg, lot.kg, lot.step) == (1.0, 2.5, "stock")


async def test_without_a_lot_it_says_how_to_begin_one(farm: Session) -> None:
    async with opened(farm, (60, 20)) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await comes(pilot, "No lot yet")
        await pilot.press("s", "v")
        assert type(pilot.app.screen) is CastingsScreen


async def test_hostile_names_are_only_text(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "[b]x[/b] 🪱ש"})
    Lots(farm).write("[b]", LotKind.SALE, {"amount": "1 kg", "purpose": "[/red] \\[x"})
    async with opened(farm, (80, 24)) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await comes(pilot, "[b]x[/b]")
        await pilot.press("enter")
        await at(pilot, ReadingScreen)
        await comes(pilot, "for [/red]")
        await comes(pilot, "Lot [b]x[/b]")


async def test_castings_by_a_day_are_planned_from_the_lots(farm: Session) -> None:
    async with opened(farm) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("p")
        form = await at(pilot, PlanForm)
        await types(pilot, "lots")
        await pilot.press("enter")
        await types(pilot, "2026-07-30")
        await pilot.press("enter")
        await comes(pilot, "“lots” does not fit")
        field = form.query_one("#amount", WordField)
        assert field.value == "lots", "what was refused stays filled in"
        field.value = "40 kg"
        field.input.focus()
        await pilot.press("enter")
        await comes(pilot, "40 kg of finished castings by Thu 30 Jul 2026: ")
        await comes(pilot, "Kitchen: ready in time ")
        await pilot.press("escape")
        await at(pilot, CastingsScreen)


async def test_no_key_of_the_lots_is_the_key_that_takes_a_change_back_elsewhere(farm: Session) -> None:
    async with opened(farm) as pilot:
        await pilot.press("H")
        lots = await at(pilot, CastingsScreen)
        assert "u" not in [named.keys for named in named_actions(lots)]


@pytest.mark.more
async def test_how_much_for_pots_is_worked_out_from_the_lots(take: Take) -> None:
    farm = take("seller")
    async with opened(farm, (80, 24)) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("n")
        await at(pilot, UsesForm)
        await types(pilot, "12 pots")
        await pilot.press("enter")
        await comes(pilot, "Example: 12 pots of 20 cm")
        await types(pilot, " of 20 cm; 20 L seedling mix")
        await pilot.press("enter")
        await comes(pilot, "3.8 L of castings")
        await comes(pilot, "2 L of castings and 18 L of potting mix without castings")
