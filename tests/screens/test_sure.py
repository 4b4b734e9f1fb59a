"""What is asked on the screen before it is saved or taken back, and what the second Enter does."""

from __future__ import annotations

import pytest

from tests.screens.conftest import Take
from tests.screens.driving import SIZES, added, at, comes, log_of, opened, types, until
from wormbin.records.entries import Harvest, Watering
from wormbin.tui.screens.answers import SureScreen
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.round import RoundScreen
from wormbin.tui.screens.write import KindMenu, WriteForm

BIN = "kitchen"


@pytest.mark.more
@pytest.mark.parametrize("size", SIZES)
async def test_an_import_is_taken_back_only_when_that_is_said_and_done_again_by_a_key(
    take: Take, size: tuple[int, int]
) -> None:
    farm = take("classroom")
    bins = [one.key for one in farm.bins()]

    def stand() -> list[list[str]]:
        return [[entry.id for entry in log_of(farm, key)] for key in bins]

    before = stand()
    lines = sum(len({entry.id.rstrip("~") for entry in farm.entries(key)}) for key in bins)
    async with opened(farm, size) as pilot:
        await at(pilot, RoundScreen)
        await pilot.press("u")
        asked = await at(pilot, SureScreen)
        await comes(pilot, "takes back the import")
        assert f": {lines} lines in {len(bins)} bins." in asked.words
        await pilot.press("escape")
        await at(pilot, RoundScreen)
        assert stand() == before
        await pilot.press("u")
        await at(pilot, SureScreen)
        await pilot.press("enter")
        await until(pilot, lambda: not any(stand()), "all lines struck")
        await at(pilot, RoundScreen)
        await pilot.press("U")
        await until(pilot, lambda: stand() == before, "all lines standing again")


async def test_redo_is_found_by_name(take: Take) -> None:
    async with opened(take("apartment")) as pilot:
        await pilot.press("ctrl+p")
        await types(pilot, "redo")
        await comes(pilot, "redo: do again what undo took back last")


@pytest.mark.parametrize(
    ("key", "words", "asked", "kind"),
    [("h", "150 kg", "is more than", Harvest), ("w", "40 L", "would flood a box", Watering)],
)
async def test_what_can_hardly_be_is_asked_about_and_kept_by_a_second_enter(
    take: Take, key: str, words: str, asked: str, kind: type[object]
) -> None:
    farm = take("apartment")
    before = log_of(farm, BIN)
    async with opened(farm) as pilot:
        await pilot.press("e")
        await at(pilot, KindMenu)
        await pilot.press(key)
        form = await at(pilot, WriteForm)
        await types(pilot, words)
        await pilot.press("enter", *(["enter"] * (len(form.kind.asked) - 1)))
        await comes(pilot, "Enter again keeps it")
        await comes(pilot, asked)
        assert log_of(farm, BIN) == before
        await pilot.press("enter")
        await at(pilot, BinScreen)
    (line,) = added(before, log_of(farm, BIN))
    assert isinstance(line.what, kind)
