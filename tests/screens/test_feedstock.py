"""Loads, piles and money by keys: from the castings a letter opens each, and a letter writes a line of it."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from tests.screens.driving import at, comes, opened, shows, types
from wormbin.farm import feedstock
from wormbin.farm.money import costs
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.records.entries import Kind
from wormbin.tui.screens.asking import LabelForm
from wormbin.tui.screens.castings import CastingsScreen
from wormbin.tui.screens.feedstock import CostsScreen, LoadsScreen, PilesScreen
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.write import BookForm


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return kitchen(tmp_path / "s", days=12)


async def test_a_load_comes_in_turns_out_bad_and_is_called_back(farm: Session) -> None:
    async with opened(farm) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("l")
        await at(pilot, LoadsScreen)
        await comes(pilot, "No load yet: b")
        await pilot.press("b")
        await at(pilot, BookForm)
        await types(pilot, "grain-12")
        await pilot.press("enter")
        await types(pilot, "60 kg spent grain")
        await pilot.press("enter")
        await types(pilot, "Mill Lane")
        await pilot.press("enter", "enter", "enter", "enter")
        await at(pilot, LoadsScreen)
        await comes(pilot, "came in 60 kg treated")
        await comes(pilot, "none was used in four weeks")
        await pilot.press("x")
        await at(pilot, BookForm)
        await types(pilot, "mouldy")
        await pilot.press("enter")
        await comes(pilot, "turned out bad: mouldy")
        await comes(pilot, "set the 60 kg aside")
        await pilot.press("enter")
        await at(pilot, ReadingScreen)
    (load,) = feedstock.loads(farm).loads
    assert (load.name, load.supplier, load.bad) == ("grain-12", "Mill Lane", "mouldy")


async def test_a_pile_is_begun_read_and_asked_about_before_it_is_hot_enough(farm: Session) -> None:
    async with opened(farm) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("h")
        await at(pilot, PilesScreen)
        await pilot.press("b")
        await at(pilot, BookForm)
        await types(pilot, "heap")
        await pilot.press("enter")
        await types(pilot, "20 kg rabbit manure")
        await pilot.press("enter", "enter")
        await comes(pilot, "not yet: 0 of 15 days")
        await pilot.press("c")
        await at(pilot, BookForm)
        await types(pilot, "58 C")
        await pilot.press("enter")
        await types(pilot, "yes")
        await pilot.press("enter")
        await comes(pilot, "58 °C, turned")
        await pilot.press("r")
        await at(pilot, BookForm)
        await types(pilot, "12 kg half-made compost")
        await pilot.press("enter")
        await comes(pilot, "Release it all the same?")
        await pilot.press("enter")
        await at(pilot, PilesScreen)
    assert [each.kg for each in feedstock.loads(farm).loads] == [12.0]


async def test_money_is_spent_and_told_by_lot_bin_and_month(farm: Session) -> None:
    async with opened(farm) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await pilot.press("c")
        await at(pilot, CostsScreen)
        await pilot.press("b")
        await at(pilot, BookForm)
        await types(pilot, "bags")
        await pilot.press("enter")
        await types(pilot, "24.50")
        await pilot.press("enter", "enter", "enter", "enter")
        await at(pilot, CostsScreen)
        await comes(pilot, "-24.50")
        await pilot.press("up", "up", "up")
        await comes(pilot, "for no lot yet")
    assert costs(farm).spent == Decimal("24.50")


async def test_a_lot_has_a_label_a_record_and_a_place_in_the_filter(farm: Session) -> None:
    write(farm, "kitchen", Kind.HARVEST, {"castings": "4 kg", "lot": "may"})
    async with opened(farm, size=(160, 45)) as pilot:
        await pilot.press("H")
        await at(pilot, CastingsScreen)
        await comes(pilot, "may harvested 4 kg")
        await comes(pilot, "2026-06-01")  # a wide screen says the lot's day in its line
        await pilot.press("b")
        await at(pilot, LabelForm)
        await pilot.press("ctrl+o")
        await at(pilot, ReadingScreen)
        await comes(pilot, "Worm castings (vermicompost)")
        await comes(pilot, "No nutrient claim")
        await pilot.press("escape")
        await at(pilot, LabelForm)
        await pilot.press("escape")
        await at(pilot, CastingsScreen)
        await pilot.press("i")
        await comes(pilot, "no load is written down for what these beds were given")
        await comes(pilot, "Guidance, not certification")
        await pilot.press("escape")
        await at(pilot, CastingsScreen)
        await pilot.press("f")
        await comes(pilot, "only what is in stock")
        assert not shows(pilot, "may harvested 4 kg")
        await pilot.press("f")
        await comes(pilot, "only what is on its way")
        await comes(pilot, "may harvested 4 kg")
        await pilot.press("w")
        await at(pilot, ReadingScreen)
        await comes(pilot, "can be spared today")


async def test_a_bed_is_shown_to_an_inspector_from_the_round(farm: Session) -> None:
    async with opened(farm) as pilot:
        await pilot.press("O")
        await at(pilot, ReadingScreen)
        await comes(pilot, "Kitchen: record")
        await comes(pilot, "layers: fed on")
