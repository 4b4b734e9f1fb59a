"""A missing file is not an empty one: the farm knows which books there are and how far they had come."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from tests.store.lines import AT, BINS, note
from wormbin.store import DamagedError, MissingError, Store

BOOK = "bins/kitchen/2026.json"
SLIP = "bins/kitchen/2026.slip.json"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    store = Store.open(tmp_path / "s", clock=lambda: AT)
    store.change_farm(lambda farm: replace(farm, bins=BINS))
    store.record([note("x", bin_key="attic")])
    for number in range(80):
        store.record([note(f"n{number}")])
    return store.folder


def opened(folder: Path) -> Store:
    return Store.open(folder, clock=lambda: AT)


def test_books_without_a_farm_are_not_an_empty_farm(folder: Path) -> None:
    raw = (folder / "farm.json").read_bytes()
    (folder / "farm.json").unlink()
    store = opened(folder)
    with pytest.raises(MissingError, match="the farm's file is missing, though there are books of attic, kitchen"):
        store.farm()
    with pytest.raises(MissingError):
        store.change_farm(lambda farm: replace(farm, keepers=("Ana",)))
    with pytest.raises(MissingError):
        store.record([note("more")])
    assert not (folder / "farm.json").exists()
    assert not store.check().sound
    store.accept(folder / "farm.json")
    assert opened(folder).farm().bins == ()
    (folder / "farm.json").write_bytes(raw)
    assert len(opened(folder).farm().bins) == 2


@pytest.mark.parametrize(
    ("gone", "words"),
    [
        ((BOOK, SLIP), "this book is missing: it held"),
        ((BOOK,), "the book of this slip is missing"),
        ((SLIP,), "line that this book held"),
    ],
)
def test_a_missing_book_or_slip_is_told_and_not_taken_for_empty(
    folder: Path, gone: tuple[str, ...], words: str
) -> None:
    kept = {name: (folder / name).read_bytes() for name in gone}
    for name in gone:
        (folder / name).unlink()
    store = opened(folder)
    assert "kitchen" in store.bins_with_books()
    with pytest.raises(MissingError, match=words):
        store.entries("kitchen")
    with pytest.raises(MissingError):
        store.record([note("more")])
    assert [line.id for line in store.entries("attic")] == ["x"]
    assert not store.check().sound
    for name, raw in kept.items():
        (folder / name).write_bytes(raw)
    assert len(opened(folder).entries("kitchen")) == 80


def test_a_missing_book_is_brought_back_or_its_loss_is_accepted(folder: Path) -> None:
    made = opened(folder).backup()
    assert made is not None
    for name in (BOOK, SLIP):
        (folder / name).unlink()
    trial = Path(shutil.copytree(folder, folder.parent / "t"))
    opened(folder).restore(made.name)
    assert len(opened(folder).entries("kitchen")) == 80
    assert opened(folder).check().sound
    opened(trial).accept(trial / BOOK)
    assert opened(trial).entries("kitchen") == ()
    opened(trial).record([note("more")])
    assert opened(trial).check().sound


@pytest.mark.parametrize(("one", "other"), [(SLIP, BOOK), (BOOK, SLIP), (BOOK, "farm.json"), ("farm.json", BOOK)])
def test_a_file_says_what_it_is(folder: Path, one: str, other: str) -> None:
    shutil.copy(folder / one, folder / other)
    store = opened(folder)
    with pytest.raises(DamagedError, match="in the place of"):
        _ = (store.farm(), store.entries("kitchen"))
    assert not store.check().sound


def test_an_older_state_of_both_files_is_told_at_the_next_start(folder: Path, tmp_path: Path) -> None:
    old = Path(shutil.copytree(folder / "bins", tmp_path / "old"))
    store = opened(folder)
    for number in range(80, 150):
        store.record([note(f"n{number}")])
    shutil.copytree(old, folder / "bins", dirs_exist_ok=True)
    with pytest.raises(MissingError, match="lines that this book held cannot be found"):
        opened(folder).entries("kitchen")
    store = opened(folder)
    store.accept(folder / BOOK)
    assert len(store.entries("kitchen")) == 80
    store.record([note("more")])
    assert len(opened(folder).entries("kitchen")) == 81


def test_a_book_deleted_under_the_open_program_is_told_and_written_again(folder: Path) -> None:
    store = opened(folder)
    assert len(store.entries("kitchen")) == 80
    for name in (BOOK, SLIP):
        (folder / name).unlink()
    assert len(store.entries("kitchen")) == 80
    assert any("80 lines that it lacks" in flaw.what for flaw in store.notices())
    store.record([note("more")])
    assert len(opened(folder).entries("kitchen")) == 81


def test_the_register_may_be_missing_or_damaged(folder: Path) -> None:
    path = folder / "books.json"
    path.write_text("torn")
    store = opened(folder)
    assert len(store.entries("kitchen")) == 80
    assert any(flaw.path == path for flaw in store.notices())
    assert not store.check().sound
    path.unlink()
    store = opened(folder)
    assert len(store.entries("kitchen")) == 80
    assert store.notices() == ()
