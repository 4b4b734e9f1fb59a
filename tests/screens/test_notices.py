"""What the store notices is told by the screens: a line below the round's head until it is seen, and a page of it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.screens.conftest import Take
from tests.screens.driving import at, comes, opened, shows, until
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.records.entries import Kind
from wormbin.tui.desk import FarmChanged
from wormbin.tui.screens.answers import TroubleScreen
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.round import RoundScreen

LINE = "noticed about the files"


def a_bin(farm: Session) -> Path:
    return next(each for each in sorted((farm.folder / "bins").iterdir()) if len(list(each.glob("*.json"))) >= 1)


def newest(farm: Session) -> Path:
    return max(path for path in a_bin(farm).glob("*.json") if ".slip." not in path.name)


def conflict_copy(farm: Session) -> None:
    book = newest(farm)
    shutil.copy(book, book.with_name(f"{book.stem} (conflicted copy).json"))


def alien_slip(farm: Session) -> None:
    write(farm, a_bin(farm).name, Kind.NOTE, {"words": "theirs"})
    slip = newest(farm).with_suffix(".slip.json")
    theirs = slip.read_bytes()
    for number in range(70):
        write(farm, a_bin(farm).name, Kind.NOTE, {"words": f"ours {number}"})
    text = theirs.replace(b'"note": "theirs"', b'"note": "hers  "').split(b'"sum": ')
    slip.write_bytes(text[0] + text[1].split(b", ", 1)[1].replace(b'"id": "', b'"id": "q', 1))


def failed_backup(farm: Session) -> None:
    shutil.rmtree(farm.folder / "backups", ignore_errors=True)
    (farm.folder / "backups").write_text("in the way")
    write(farm, a_bin(farm).name, Kind.NOTE, {"words": "the first change of a day"})


def damaged_note(farm: Session) -> None:
    (farm.folder / "redo.json").write_text("torn")


def damaged_register(farm: Session) -> None:
    (farm.folder / "books.json").write_text("torn")


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (conflict_copy, "this is a copy of a store file"),
        (alien_slip, "belongs to another state of it"),
        (failed_backup, "backup of the day"),
        (damaged_note, "redo.json"),
        (damaged_register, "books.json"),
    ],
    ids=lambda each: getattr(each, "__name__", ""),
)
async def test_each_notice_stands_in_the_head_until_seen_and_on_a_page(
    take: Take, spoil: Callable[[Session], None], words: str
) -> None:
    farm = take("classroom")
    spoil(farm)
    async with opened(farm) as pilot:
        await comes(pilot, LINE)
        await pilot.press("N")
        await at(pilot, ReadingScreen)
        await comes(pilot, words)
        await comes(pilot, "wormbin store check")
        await pilot.press("escape")
        await at(pilot, RoundScreen)
        await until(pilot, lambda: not shows(pilot, LINE), "seen, and gone")
        await pilot.press("N")
        await comes(pilot, words)


async def test_what_comes_under_the_open_program_is_told(take: Take) -> None:
    farm = take("classroom")
    async with opened(farm) as pilot:
        await pilot.press("N")
        await comes(pilot, "Nothing was noticed about the files")
        conflict_copy(farm)
        await comes(pilot, LINE)


async def test_a_damaged_book_is_told_once_and_the_other_bins_are_there(take: Take) -> None:
    farm = take("classroom")
    damaged = newest(farm)
    sound = next(each.key for each in farm.bins() if each.key != damaged.parent.name)
    damaged.write_text("torn")
    async with opened(farm) as pilot:
        await at(pilot, TroubleScreen)
        await comes(pilot, "cannot be shown")
        await pilot.press("escape")
        await at(pilot, RoundScreen)
        await comes(pilot, LINE)
        write(farm, sound, Kind.CHECK, {"temp": "38 C"})
        pilot.app.screen.post_message(FarmChanged())
        await comes(pilot, "hot")
        assert type(pilot.app.screen) is RoundScreen, "it was told already; the line says it from now on"
        await pilot.press("N")
        await comes(pilot, "cannot be read, and is left out")


async def test_the_line_leaves_the_list_its_room_at_forty_columns(take: Take) -> None:
    farm = take("classroom")
    conflict_copy(farm)
    async with opened(farm, (40, 12)) as pilot:
        await comes(pilot, "! 1 thing")
        assert pilot.app.screen.query_one("#bins").size.height >= 1
