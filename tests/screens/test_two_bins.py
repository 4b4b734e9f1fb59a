"""A class with two bins, journey by journey, by keys alone, on a school's store begun empty."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from tests.screens.driving import SIZES, Driver, at, comes, log_of, opened, types, until
from wormbin.farm import rounds
from wormbin.farm.handing_over import hand_over
from wormbin.farm.session import Session
from wormbin.records.entries import Bedding, Comparison, Note
from wormbin.records.kinds.log import Measured
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.hand_out import HandOutForm
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.start import StartForm, WelcomeScreen
from wormbin.tui.screens.write import KindMenu, WriteForm

sized = pytest.mark.parametrize("size", SIZES)


async def begun(pilot: Driver, name: str, bedding: str) -> None:
    """A bin of this name begun, with this bedding only."""
    await pilot.press("b")
    await at(pilot, StartForm)
    for words in (name, "60 cm", "40 cm", "30 cm"):
        await types(pilot, words)
        await pilot.press("enter")
    await pilot.press("tab", "tab", "tab")
    await types(pilot, bedding)
    await pilot.press("enter", "ctrl+b")
    await comes(pilot, "y begins the bin")
    await pilot.press("y")
    await at(pilot, ReadingScreen)
    await pilot.press("escape")


@sized
async def test_paper_is_held_against_leaves(empty: Session, size: tuple[int, int], tmp_path: Path) -> None:
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
        await comes(pilot, "does paper beat leaves?")
        await comes(pilot, "Not yet")
        await pilot.press("escape")
        await does(pilot, "r", f"{tmp_path / 'both.html'}, without leaf")
        await comes(pilot, "after commas: with other bins")
        await pilot.press("ctrl+u")
        await types(pilot, f"{tmp_path / 'both.html'}, with leaf, names none")
        await pilot.press("enter")
        await comes(pilot, "report written")
    both = (tmp_path / "both.html").read_text("utf-8")
    assert all(words in both for words in ("does paper beat leaves?", "Not yet", "Paper against Leaf"))
    lines = log_of(empty, "paper")
    bed = next(each.what for each in log_of(empty, "leaf") if isinstance(each.what, Bedding))
    assert bed.portions[0].material == "dry-leaves"
    (line,) = [each.what for each in lines if isinstance(each.what, Comparison)]
    assert (line.others, line.about, line.same) == (("leaf",), Measured.WORKED, ("feed", "water", "room"))


async def test_two_bins_are_joined_and_one_is_left(empty: Session) -> None:
    async with opened(empty) as pilot:
        await at(pilot, WelcomeScreen)
        await begun(pilot, "Paper", "newspaper")
        await at(pilot, BinScreen)
        await begun(pilot, "Leaf", "dry leaves")
        await at(pilot, BinScreen)
        await does(pilot, "j", "paper")
        await comes(pilot, "cannot be joined to itself")
        await pilot.press("ctrl+u")
        await types(pilot, "leaf: 4.2 kg")
        await pilot.press("enter")
        await until(pilot, lambda: any("from paper" in each.note for each in log_of(empty, "leaf")), "what came")
        await until(pilot, lambda: getattr(pilot.app.screen, "key", "") == "leaf", "the bin that all of it went into")
    assert "closed: joined to leaf, 4.2 kg (weighed, worms among it)" in log_of(empty, "paper")[-1].note
    assert [one.key for one in rounds.living(Session(empty.folder, clock=empty.clock))] == ["leaf"]


async def does(pilot: Driver, what: str, words: str) -> None:
    """One thing done with the bin in hand: a letter, the words, Enter."""
    await pilot.press("E")
    form = await at(pilot, HandOutForm)
    await pilot.press(what)
    await until(pilot, lambda: form.focused is form.query_one("#words").input, "the line of words")
    await types(pilot, words)
    await pilot.press("enter")


@sized
async def test_a_bin_is_put_right_written_out_handed_over_and_closed(
    empty: Session, size: tuple[int, int], tmp_path: Path
) -> None:
    there = tmp_path / "kitchen.zip"
    hand_over(kitchen(tmp_path / "there", days=20, now=empty.clock()), "kitchen", str(there), "about it")
    async with opened(empty, size) as pilot:
        await at(pilot, WelcomeScreen)
        await begun(pilot, "Paper", "newspaper")
        await at(pilot, BinScreen)
        await does(pilot, "c", "tare: heavy")
        await comes(pilot, "does not fit")
        await pilot.press("ctrl+u")
        await types(pilot, "tare: 2.4 kg; name: Room 12")
        await pilot.press("enter")
        await at(pilot, BinScreen)
        await comes(pilot, "Room 12")
        for letter, name in (("l", "lesson"), ("r", "report.html"), ("h", "paper.zip")):
            await does(pilot, letter, str(tmp_path / name))
            await at(pilot, BinScreen)
        await does(pilot, "t", f"{there} as hall")
        await at(pilot, BinScreen)
        await does(pilot, "x", "given away: to room 12")
        await at(pilot, BinScreen)
    notes = [each.note for each in log_of(empty, "paper") if isinstance(each.what, Note)]
    assert "box alone weighs: 2.4 kg, was not said" in notes[0]
    assert notes[-1] == "closed: given away (to room 12)"
    assert (tmp_path / "lesson" / "moisture.csv").is_file()
    assert "Room 12" in (tmp_path / "report.html").read_text("utf-8")
    assert [one.key for one in rounds.living(Session(empty.folder, clock=empty.clock))] == ["hall"]
