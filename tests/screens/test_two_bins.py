"""A class with two bins, journey by journey, by keys alone, on a school's store begun empty."""

from __future__ import annotations

import pytest

from tests.screens.driving import SIZES, Driver, at, comes, log_of, opened, shows, types
from wormbin.farm.session import Session
from wormbin.records.entries import Bedding, Comparison
from wormbin.records.kinds.log import Measured
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.start import StartForm
from wormbin.tui.screens.welcome import WelcomeScreen
from wormbin.tui.screens.write import KindMenu, WriteForm

sized = pytest.mark.parametrize("size", SIZES)


async def begun(pilot: Driver, name: str, bedding: str) -> None:
    """A bin of this name begun, with this bedding only."""
    await pilot.press("b")
    await at(pilot, StartForm)
    for words in (name, "60 cm", "40 cm", "30 cm"):
        await types(pilot, words)
        await pilot.press("enter")
    await comes(pilot, "Enter again writes the bin")
    await pilot.press(*["tab"] * 4)
    await types(pilot, bedding)
    await pilot.press("enter")
    await comes(pilot, "Enter again writes the bin")
    await pilot.press("enter")
    await at(pilot, ReadingScreen)
    await pilot.press("escape")


@sized
async def test_paper_is_held_against_leaves(empty: Session, size: tuple[int, int]) -> None:
    async with opened(empty, size) as pilot:
        await at(pilot, WelcomeScreen)
        await begun(pilot, "Paper", "newspaper")
        await at(pilot, BinScreen)
        await begun(pilot, "Leaf", "dry leaves")
        await pilot.press("e")
        await at(pilot, KindMenu)
        await pilot.press("c")
        await at(pilot, WriteForm)
        for words in ("leaf", "does paper beat leaves?", "worked", "2026-05-15", "feed, water, room"):
            await types(pilot, words)
            await pilot.press("enter")
        await comes(pilot, "written down")
        await pilot.press("V")
        await at(pilot, ReadingScreen)
        assert shows(pilot, "does paper beat leaves?")
        assert shows(pilot, "Not yet")
        await pilot.press("escape")
    lines = log_of(empty, "paper")
    bed = next(each.what for each in log_of(empty, "leaf") if isinstance(each.what, Bedding))
    assert bed.portions[0].material == "dry-leaves"
    (line,) = [each.what for each in lines if isinstance(each.what, Comparison)]
    assert (line.others, line.about, line.same) == (("leaf",), Measured.WORKED, ("feed", "water", "room"))
