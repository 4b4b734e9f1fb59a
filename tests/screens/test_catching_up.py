"""Catching up after forgotten days, by keys alone, held to what stands in the store afterwards."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from tests.screens.driving import added, at, comes, log_of, opened, shows, text_of, types
from wormbin.farm import drafts
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.records.entries import Feeding, Kind, Note
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.catch_up import CatchUpForm
from wormbin.tui.widgets.line_list import LineList

BACK = NOW + timedelta(days=70)


@pytest.fixture
def forgetful(tmp_path: Path) -> Session:
    """A kitchen bin whose log stops twice: after 1 June until 16 July, and from then until the day in August."""
    record_feeding(kitchen(tmp_path), "kitchen", ["300 g melon rind"], anyway=True)
    write(open_farm(tmp_path, NOW + timedelta(days=45)), "kitchen", Kind.CHECK, {"squeeze": "damp"})
    return open_farm(tmp_path, BACK)


@pytest.mark.more
async def test_the_newest_days_come_first_and_the_arrows_go_to_older_ones(forgetful: Session) -> None:
    async with opened(forgetful) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("K")
        await at(pilot, CatchUpForm)
        await comes(pilot, "24 days without a line, 2026-07-17 to 2026-08-09. (1 of 2: Left older)")
        await pilot.press("left")
        await comes(pilot, "44 days without a line, 2026-06-02 to 2026-07-15. (2 of 2: Right newer)")
        await comes(pilot, "melon rind")  # the name of the material, not its key
        assert not shows(pilot, "melon-rind")
        await pilot.press("left")
        await comes(pilot, "No older days are missing")
        await pilot.press("right")
        await comes(pilot, "(1 of 2")
        await pilot.press("right")
        await comes(pilot, "No newer days are missing")


async def test_ticked_days_are_written_with_the_bucket_and_no_others(forgetful: Session) -> None:
    before = log_of(forgetful, "kitchen")
    async with opened(forgetful) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("K")
        await at(pilot, CatchUpForm)
        await comes(pilot, "(1 of 2")
        await pilot.press("left")
        await comes(pilot, "(2 of 2")
        await pilot.press("space", "down", "space")
        await pilot.press("right")
        await comes(pilot, "Write the ticked days first")
        await comes(pilot, "(2 of 2")  # ticks are not lost by looking elsewhere
        await pilot.press("enter")
        await at(pilot, BinScreen)
    new = added(before, log_of(forgetful, "kitchen"))
    assert [line.when.date().isoformat() for line in new] == ["2026-06-02", "2026-06-04"]
    assert all(isinstance(line.what, Feeding) and line.what.portions[0].material == "melon-rind" for line in new)


async def test_spaces_in_the_bucket_are_words_and_tick_nothing(forgetful: Session) -> None:
    async with opened(forgetful) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("K")
        form = await at(pilot, CatchUpForm)
        await comes(pilot, "(1 of 2")
        await pilot.press("shift+tab", "ctrl+u")
        await types(pilot, "2 cups coffee grounds")
        await pilot.press("space", "space", "left", "right")
        assert form.query_one("#bucket").input.value == "2 cups coffee grounds  "
        assert form.ticked == set()
        assert "[x]" not in text_of(pilot)
        await comes(pilot, "(1 of 2")  # arrows move in the words
        await pilot.press("tab", "space")
        assert form.ticked == {0}
        assert form.query_one(LineList).cursor == 1


async def test_days_of_which_nothing_is_known_are_told_once(forgetful: Session) -> None:
    before = log_of(forgetful, "kitchen")
    async with opened(forgetful) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("K")
        await at(pilot, CatchUpForm)
        await comes(pilot, "(1 of 2")
        await pilot.press("ctrl+n")
        await at(pilot, BinScreen)
        await pilot.press("K")
        await at(pilot, CatchUpForm)
        await comes(pilot, "44 days without a line, 2026-06-02 to 2026-07-15.")
        assert not shows(pilot, "1 of"), "only the older days are left"
        await pilot.press("ctrl+n")
        await at(pilot, BinScreen)
        await pilot.press("K")
        await at(pilot, CatchUpForm)
        await comes(pilot, "No days are missing from this log.")
        await pilot.press("escape")
        await at(pilot, BinScreen)
        await pilot.press("u")
        await comes(pilot, "taken back")
        await pilot.press("K")
        await at(pilot, CatchUpForm)
        await comes(pilot, "44 days without a line")
    (line,) = added(before, log_of(forgetful, "kitchen"))
    assert isinstance(line.what, Note)
    assert str(line.what.unknown_from) == "2026-07-17"


@pytest.mark.more
async def test_a_half_filled_list_is_offered_again_at_its_own_days(forgetful: Session) -> None:
    async with opened(forgetful) as pilot:
        await at(pilot, BinScreen)
        await pilot.press("K")
        form = await at(pilot, CatchUpForm)
        await comes(pilot, "(1 of 2")
        await pilot.press("left")
        await comes(pilot, "(2 of 2")
        await pilot.press("space")
        assert form.ticked == {0}
        await form.keep_draft()
        await pilot.press("escape", "escape")
        drafts.save(forgetful, form.draft_name, {"days": "2026-06-03", "bucket": "1 kg apple cores"})
        await at(pilot, BinScreen)
        await pilot.press("K")
        form = await at(pilot, CatchUpForm)
        await comes(pilot, "carry on")
        await comes(pilot, "(2 of 2")
        assert form.ticked == {1}
        assert form.query_one("#bucket").value == "1 kg apple cores"
