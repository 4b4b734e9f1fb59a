"""What the store notices is told by the screens: a line below the round's head until it is seen, and a page of it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.farm.a_farm import kitchen, open_farm
from tests.screens.conftest import Take
from tests.screens.driving import at, comes, opened, shows, until
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.settings import add_keeper
from wormbin.records.codec import farm_to_json
from wormbin.records.entries import Kind
from wormbin.store.beside import Note, write_redo
from wormbin.store.file import render, sealed, unsealed
from wormbin.tui.desk import FarmChanged
from wormbin.tui.screens.answers import TroubleScreen
from wormbin.tui.screens.bin import BinScreen
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.screens.round import RoundScreen

LINE = "noticed about the files"


def newest(farm: Session) -> Path:
    """The newest book of the first bin."""
    return max(path for path in (farm.folder / "bins").glob("*/*.json") if path.stem.isdigit())


def note(farm: Session, words: str = "a note") -> None:
    write(farm, newest(farm).parent.name, Kind.NOTE, {"words": words})


def slip_of(farm: Session) -> Path:
    note(farm)
    return newest(farm).with_suffix(".slip.json")


def conflict_copy(farm: Session) -> None:
    book = newest(farm)
    shutil.copy(book, book.with_name(f"{book.stem} (conflicted copy).json"))


def copy_of_the_farm(farm: Session) -> None:
    shutil.copy(farm.folder / "farm.json", farm.folder / "farm (conflicted copy).json")


def older_slip(farm: Session) -> None:
    slip = slip_of(farm)
    older = slip.read_bytes()
    note(farm)
    note(farm)
    slip.write_bytes(older)


def slip_that_is_gone(farm: Session) -> None:
    slip = slip_of(farm)
    note(farm)
    slip.unlink()


def add_theirs(farm: Session, line: dict[str, Any]) -> None:
    """A slip of another machine, which was laid on another state of the book."""
    slip = slip_of(farm)
    tables = json.loads(unsealed(slip.read_bytes()))
    slip.with_name(f"{slip.name}.previous").unlink(missing_ok=True)
    tables["store"]["1"] |= {"onto": "00000000"}
    tables["entries"]["900"] = {**next(iter(tables["entries"].values())), **line}
    slip.write_bytes(sealed(render(tables)))


def slip_of_another_machine(farm: Session) -> None:
    add_theirs(farm, {"id": "theirs1"})


def slip_that_says_something_else(farm: Session) -> None:
    book = json.loads(unsealed(newest(farm).read_bytes()))["entries"]
    add_theirs(farm, {**next(iter(book.values())), "by": "Zoe"})


def failed_backup(farm: Session) -> None:
    shutil.rmtree(farm.folder / "backups", ignore_errors=True)
    (farm.folder / "backups").write_text("in the way")


def damaged_note(farm: Session) -> None:
    (farm.folder / "redo.json").write_text("torn")


def change_cut_short(farm: Session) -> None:
    farm.store.farm()
    write_redo(farm.store.disk, farm.folder, Note((), farm_to_json(farm.farm()), 9999))


def damaged_register(farm: Session) -> None:
    (farm.folder / "books.json").write_text("torn")


def older_farm(farm: Session) -> None:
    path = farm.folder / "farm.json"
    older = path.read_bytes()
    add_keeper(farm, "Ana")
    path.write_bytes(older)


NOTICES: dict[Callable[[Session], None], str] = {
    conflict_copy: "a copy of a store file, made when two machines wrote at once",
    copy_of_the_farm: "a copy of a store file, made when two machines wrote at once",
    older_slip: "the file of the newest lines is an older copy, or gone: the last save is missing",
    slip_that_is_gone: "the file of the newest lines is an older copy, or gone: the last save is missing",
    slip_of_another_machine: "another machine wrote this, or an older copy was put back",
    slip_that_says_something_else: "another copy of this log says something else in",
    failed_backup: "Move that file out of the way",
    damaged_note: "the note of a change that was cut short cannot be read",
    change_cut_short: "a change that was cut short has been completed",
    older_farm: "the file of bins, keepers and settings is an older copy",
    damaged_register: "the list of all logs cannot be read",
}


@pytest.fixture
def small(tmp_path: Path) -> Session:
    """One bin, begun a few days ago."""
    return kitchen(tmp_path / "small", days=3)


@pytest.mark.parametrize("spoil", NOTICES, ids=lambda spoil: spoil.__name__)
async def test_each_notice_stands_in_the_head_until_seen_and_on_a_page(
    small: Session, spoil: Callable[[Session], None]
) -> None:
    spoil(small)
    farm = open_farm(small.folder)  # as it is met at the next start
    async with opened(farm) as pilot:
        if spoil is failed_backup:
            note(farm, "the first change of a day")
            pilot.app.screen.post_message(FarmChanged())
        await comes(pilot, LINE)
        await pilot.press("N")
        await at(pilot, ReadingScreen)
        await comes(pilot, NOTICES[spoil])
        await comes(pilot, "wormbin store check")
        await pilot.press("escape")
        await at(pilot, BinScreen)
        await until(pilot, lambda: not shows(pilot, LINE), "seen, and gone")


async def test_the_page_asks_anew_though_nothing_was_told_yet(small: Session) -> None:
    conflict_copy(small)
    async with opened(open_farm(small.folder)) as pilot:
        await comes(pilot, LINE)
        (await at(pilot, BinScreen))._noticed = ()  # as it is while the page is still being worked out
        await pilot.press("N")
        await comes(pilot, NOTICES[conflict_copy])


@pytest.mark.more
async def test_what_is_odd_is_told_again_at_a_start_that_need_not_work_anything_out(small: Session) -> None:
    older_slip(small)
    for _ in range(2):
        async with opened(open_farm(small.folder)) as pilot:
            await comes(pilot, LINE)


async def test_an_older_copy_put_back_under_the_open_program_is_told(small: Session) -> None:
    slip = slip_of(small)
    older = slip.read_bytes()
    note(small)
    async with opened(small) as pilot:
        slip.write_bytes(older)
        await comes(pilot, LINE)
        await pilot.press("N")
        await comes(pilot, "an older copy of this log was put back; what it lacks is kept: 1 line")
        assert not shows(pilot, "or gone"), "who worked the bin out beside only sees an older copy, and told so"


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
        await comes(pilot, "thermometer again")
        assert type(pilot.app.screen) is RoundScreen, "it was told already; the line says it from now on"
        await pilot.press("N")
        await comes(pilot, "cannot be read, and is left out")


def missing_book(book: Path) -> None:
    for each in book.parent.iterdir():
        each.unlink()


def newer_book(book: Path) -> None:
    raw = unsealed(book.read_bytes())
    book.write_bytes(sealed(raw.replace(b'"format": 3', b'"format": 99', 1)))


@pytest.mark.parametrize(
    ("spoil", "words"), [(missing_book, "this log is missing: it held"), (newer_book, "a newer wormbin wrote this")]
)
async def test_a_book_that_is_missing_or_newer_is_told_and_the_other_bins_are_there(
    take: Take, spoil: Callable[[Path], None], words: str
) -> None:
    farm = take("classroom")
    for book in newest(farm).parent.glob("????.json"):
        spoil(book)
    async with opened(open_farm(farm.folder)) as pilot:
        await at(pilot, TroubleScreen)
        await comes(pilot, words)
        await comes(pilot, "You can go on with the other bins")
        await pilot.press("escape")
        await comes(pilot, LINE)
        await pilot.press("N")
        await comes(pilot, words)


async def test_a_missing_farm_file_is_told_and_nothing_is_said_to_be_worked_out(small: Session) -> None:
    (small.folder / "farm.json").unlink()
    async with opened(open_farm(small.folder)) as pilot:
        await at(pilot, TroubleScreen)
        await comes(pilot, "the file of bins, keepers and settings is missing")
        await pilot.press("escape")
        await until(pilot, lambda: not shows(pilot, "working out"), "nobody is at work")


async def test_the_line_leaves_the_list_its_room_at_forty_columns(take: Take) -> None:
    farm = take("classroom")
    conflict_copy(farm)
    async with opened(farm, (40, 12)) as pilot:
        await comes(pilot, "! 1 thing")
        assert pilot.app.screen.query_one("#bins").size.height >= 1
