"""Files that change under an open program: noticed, built upon or told of, and never overwritten."""

from __future__ import annotations

import os
import shutil
from collections import Counter
from pathlib import Path

import pytest

from tests.store.lines import AT, note
from wormbin.store import ChangedError, DamagedError, DiskError, MissingError, Store, StoreError
from wormbin.store.book import Book
from wormbin.store.disk import Disk
from wormbin.store.place import Place

BOOK = "bins/kitchen/2026.json"
SLIP = "bins/kitchen/2026.slip.json"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store.open(tmp_path / "s")
    store.record([note("a")])
    store.record([note("b")])
    return store


def ids(store: Store) -> list[str]:
    return [line.id for line in store.entries("kitchen")]


def test_a_line_written_with_an_editor_is_there_once_it_is_meant(store: Store, tally: Counter[str]) -> None:
    path = store.folder / BOOK
    text = path.read_text()
    line = text.splitlines()[5].replace('"1": ', '"9": ').replace('"id": "a"', '"id": "by-hand"')
    line = line.replace(', "order": 1', "")  # a line without a place stands by its number in the file
    path.write_text(text.replace('\n},\n"changes"', f',\n{line}\n}},\n"changes"'))
    with pytest.raises(DamagedError, match="checksum"):
        ids(store)
    store.accept(path)
    assert ids(store) == ["a", "b", "by-hand"]
    store.record([note("c")])
    assert ids(Store.open(store.folder)) == ["a", "b", "by-hand", "c"]
    tally["outside changes"] += 1


def test_an_edit_that_keeps_size_and_time_is_noticed(store: Store, tally: Counter[str]) -> None:
    path = store.folder / BOOK
    assert ids(store) == ["a", "b"]
    before = path.stat()
    path.write_text(path.read_text().replace('"note": "a"', '"note": "z"'))
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    with pytest.raises(DamagedError):
        ids(store)
    tally["outside changes"] += 1


def test_an_older_copy_that_was_put_back_is_noticed_and_not_overwritten(store: Store, tally: Counter[str]) -> None:
    kept = {name: (store.folder / name).read_bytes() for name in (BOOK, SLIP)}
    store.record([note("c")])
    assert ids(store) == ["a", "b", "c"]
    for name, raw in kept.items():
        (store.folder / name).write_bytes(raw)
    assert ids(store) == ["a", "b", "c"], "told, and not shown"
    assert any("put back; what it lacks is kept: 1 line" in flaw.what for flaw in store.notices())
    store.record([note("d")])
    assert ids(Store.open(store.folder)) == ["a", "b", "c", "d"]
    assert store.notices() == ()
    tally["outside changes"] += 1


def test_an_older_book_under_a_newer_slip_loses_none_of_the_slip(tmp_path: Path, tally: Counter[str]) -> None:
    store = Store.open(tmp_path)
    store.record([note("n0")])
    old = (tmp_path / BOOK).read_bytes()
    for number in range(1, 80):
        store.record([note(f"n{number}")])
    assert (tmp_path / BOOK).read_bytes() != old
    (tmp_path / BOOK).write_bytes(old)
    assert len(ids(store)) == 80
    assert any("older copy" in flaw.what for flaw in store.notices())
    with pytest.raises(MissingError, match="lines that this log held cannot be found"):
        ids(Store.open(tmp_path))
    store.record([note("more")])
    assert len(ids(Store.open(tmp_path))) == 81
    tally["outside changes"] += 1


def test_a_file_that_changes_between_reading_and_replacing_stops_the_save(store: Store) -> None:
    book = Book.load(Disk(), store.folder, Place("kitchen", 2026))
    store.record([note("c")])
    with pytest.raises(ChangedError):
        book.save({})
    assert ids(store) == ["a", "b", "c"]


def test_a_store_that_goes_away_while_open_is_told_and_works_again_when_it_is_back(
    store: Store, tmp_path: Path, tally: Counter[str]
) -> None:
    shutil.move(store.folder, tmp_path / "away")
    (tmp_path / "s").write_text("something else")
    with pytest.raises(DiskError) as error:
        store.record([note("c")])
    assert error.value.do
    with pytest.raises(StoreError):
        store.entries("kitchen")
    (tmp_path / "s").unlink()
    shutil.move(tmp_path / "away", store.folder)
    store.record([note("c")])
    assert ids(store) == ["a", "b", "c"]
    tally["outside changes"] += 1


def test_a_copy_made_by_a_sync_service_is_noticed_and_merged(store: Store, tally: Counter[str]) -> None:
    other = store.folder.parent / "other"
    shutil.copytree(store.folder, other)
    there = Store.open(other)
    there.record([note("theirs")])
    there.strike("a", "mistyped", "Bo", AT)
    store.record([note("ours")])
    names = ["2026.slip.sync-conflict-20260303.json", "2026.json.conflict", "2026 (copy of Bo).json"]
    for name, source in zip(names, (SLIP, BOOK, BOOK), strict=True):
        shutil.copy(other / source, store.folder / "bins/kitchen" / name)
    assert ids(store) == ["a", "b", "ours"], "a copy is not a book"
    assert len(store.conflict_copies()) == 3
    assert sum("copy of a store file" in flaw.what for flaw in store.check().flaws) == 3
    assert store.merge_plan().new == ("theirs",)
    merged = store.merge()
    assert (merged.new, merged.joined, merged.differing) == (("theirs",), ("a",), ())
    assert sorted(ids(store)) == ["a", "b", "ours", "theirs"]
    assert store.find("a").struck is not None
    assert store.conflict_copies() == ()
    kept = sorted(path.name for path in (store.folder / "set-aside").rglob("*") if path.is_file())
    assert kept == sorted(names), "a copy is kept, not thrown away"
    tally["outside changes"] += 1


def test_a_slip_of_another_machine_is_joined_whatever_its_number(tmp_path: Path, tally: Counter[str]) -> None:
    ours = Store.open(tmp_path / "ours")
    ours.record([note("n0")])
    theirs = Store.open(Path(shutil.copytree(ours.folder, tmp_path / "theirs")))
    for number in range(3):
        theirs.record([note(f"t{number}")])
    for number in range(1, 70):
        ours.record([note(f"n{number}")])
    (ours.folder / SLIP).unlink(missing_ok=True)
    shutil.copy(theirs.folder / SLIP, ours.folder / SLIP)
    ours = Store.open(ours.folder)
    assert {"t0", "t1", "t2"} <= set(ids(ours)), "lines that stand nowhere else"
    assert any("or an older copy was put back" in flaw.what for flaw in ours.notices())
    assert not ours.check().sound
    ours.record([note("more")])
    again = Store.open(ours.folder)
    assert len(ids(again)) >= 68
    assert {"t0", "t1", "t2", "more"} <= set(ids(again))
    assert again.check().sound
    tally["outside changes"] += 1
