"""A missing file is not an empty one: the farm knows which books there are and how far they had come."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from tests.cli.running import run
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
    with pytest.raises(
        MissingError, match="the file of bins, keepers and settings is missing, though there are logs of attic, kitchen"
    ):
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
        ((BOOK, SLIP), "this log is missing: it held"),
        ((BOOK,), "this log is missing: only the file"),
        ((SLIP,), "line that this log held"),
    ],
)
def test_a_missing_book_or_slip_is_told_and_not_taken_for_empty(
    folder: Path, gone: tuple[str, ...], words: str
) -> None:
    kept = {name: (folder / name).read_bytes() for name in gone}
    for name in gone:
        (folder / name).unlink()
        (folder / f"{name}.previous").unlink(missing_ok=True)
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


@pytest.mark.parametrize(("way_out", "also_list"), [("accept", True), ("restore", True), ("bring back", False)])
def test_an_older_farm_file_put_back_is_told_until_it_is_meant(folder: Path, way_out: str, also_list: bool) -> None:
    path, register = folder / "farm.json", folder / "books.json"
    older, older_list = path.read_bytes(), register.read_bytes()
    assert run(folder, "settings", "feed-days", "monday").code == 0
    assert run(folder, "store", "backup").code == 0
    newest = path.read_bytes()
    path.write_bytes(older)
    if also_list:
        register.write_bytes(older_list)
    ran = run(folder, "keepers")
    assert "the file of bins, keepers and settings is an older copy" in ran.err
    assert ran.code == 0, "what is there can be used"
    ran = run(folder, "keepers", "--add", "Ana")
    assert (ran.code, "the file of bins, keepers and settings is an older copy" in ran.err) == (3, True), (
        "nothing is built upon it"
    )
    assert run(folder, "note", "kitchen", "lines are written as before").code == 0
    assert (run(folder, "store", "check").code, path.read_bytes()) == (3, older)
    if way_out == "accept":
        assert run(folder, "store", "check", "--accept", "farm.json").code == 0
        assert opened(folder).farm().settings.feed_days == ("MO", "TH")
    elif way_out == "restore":
        assert run(folder, "store", "restore", opened(folder).backups()[-1], "--yes").code == 0
        assert opened(folder).farm().settings.feed_days == ("MO",)
    else:
        path.write_bytes(newest)
    assert run(folder, "store", "check").code == 0
    assert run(folder, "keepers", "--add", "Ben").code == 0
    assert "older copy" not in run(folder, "keepers").err


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
    with pytest.raises(MissingError, match="lines that this log held cannot be found"):
        opened(folder).entries("kitchen")
    store = opened(folder)
    store.accept(folder / BOOK)
    assert len(store.entries("kitchen")) == 80
    store.record([note("more")])
    assert len(opened(folder).entries("kitchen")) == 81


@pytest.mark.parametrize("saves_ago", [1, 2, 5, 13, None])
def test_an_older_slip_put_back_while_nothing_runs_is_told(folder: Path, saves_ago: int | None) -> None:
    """What stood in it before its last save is kept; only that last save cannot be known, and is said to be missing."""
    store, states = opened(folder), []
    for number in range(80, 85):
        states.append((folder / SLIP).read_bytes())
        store.record([note(f"n{number}")])
    if saves_ago is None:
        (folder / SLIP).unlink()
    else:
        (folder / SLIP).write_bytes(states[-min(saves_ago, 5)])
    trial = Path(shutil.copytree(folder, folder.parent / "t"))
    there = opened(folder)
    assert [line.id for line in there.entries("kitchen")] == [f"n{number}" for number in range(84)]
    (told,) = there.notices()
    assert told.what.startswith("the file of the newest lines is an older copy, or gone: the last save is missing")
    assert not there.check().sound
    there.record([note("more")])
    assert there.notices() == (told,), "told until the program ends, as no later save brings it back"
    assert len(opened(folder).entries("kitchen")) == 85
    assert opened(folder).check().sound
    opened(trial).accept(trial / SLIP)
    for _ in range(2):
        assert (opened(trial).notices(), opened(trial).check().sound) == ((), True)
        opened(trial).record([note("meant")])
    assert len(opened(trial).entries("kitchen")) == 1 + (66 if saves_ago is None else 85 - min(saves_ago, 5))


def test_a_strike_that_an_older_slip_lacks_is_kept(folder: Path) -> None:
    older = (folder / SLIP).read_bytes()
    store = opened(folder)
    store.strike("n3", "mistyped", "Ana", AT)
    store.record([note("last")])
    (folder / SLIP).write_bytes(older)
    assert opened(folder).find("n3").struck is not None


def test_what_a_crash_or_a_fold_or_a_restore_leaves_beside_is_no_older_slip(folder: Path) -> None:
    shutil.copy(folder / f"{SLIP}.previous", folder / "kept")
    (folder / f"{SLIP}.previous").unlink()
    (folder / f"{SLIP}.previous").hardlink_to(folder / SLIP)
    assert opened(folder).check().sound, "a save that was cut short after its second step"
    made = opened(folder).backup()
    assert made is not None
    for number in range(80, 140):
        opened(folder).record([note(f"n{number}")])
        assert opened(folder).check().sound
    opened(folder).restore(made.name)
    assert opened(folder).check().sound
    assert len(opened(folder).entries("kitchen")) == 80


def test_a_book_deleted_under_the_open_program_is_told_and_written_again(folder: Path) -> None:
    store = opened(folder)
    assert len(store.entries("kitchen")) == 80
    for name in (BOOK, SLIP):
        (folder / name).unlink()
    assert len(store.entries("kitchen")) == 80
    assert any("is kept: 80 lines" in flaw.what for flaw in store.notices())
    store.record([note("more")])
    assert len(opened(folder).entries("kitchen")) == 81


def test_the_register_may_be_missing_or_damaged(folder: Path) -> None:
    path = folder / "books.json"
    path.write_text("torn")
    store = opened(folder)
    assert len(store.entries("kitchen")) == 80
    assert any(flaw.path == path for flaw in store.notices())
    assert not store.check().sound
    store.record([note(f"m{number}") for number in range(70)])
    assert path.read_text() == "torn", "what cannot be read is not written over"
    store.accept(path)
    store = opened(folder)
    assert len(store.entries("kitchen")) == 150
    assert (store.notices(), store.check().sound) == ((), True)


def test_a_bin_deleted_together_with_the_list_of_books_is_told_until_it_is_meant(folder: Path) -> None:
    shutil.rmtree(folder / "bins/attic")
    (folder / "books.json").unlink()
    opened(folder).record([note("more")])
    for words in (("harvests",), ("log", "kitchen"), ("store", "check")):
        ran = run(folder, *words)
        assert ("the list of all logs is missing" in " ".join((ran.out + ran.err).split()), ran.code) == (
            True,
            3 * (words[0] == "store"),
        ), words
        assert "nothing is here of attic" in " ".join((ran.out + ran.err).split())
    assert not (folder / "books.json").exists(), "it is not made anew by itself"
    assert run(folder, "store", "check", "--accept", "books.json").code == 0
    assert "missing" not in (ran := run(folder, "harvests")).out + ran.err
    opened(folder).record([note(f"m{number}") for number in range(70)])
    assert opened(folder).check().sound
    shutil.rmtree(folder / "bins/kitchen")
    assert not opened(folder).check().sound, "the new one knows what it held"


# The desk: half-filled forms come back; what was worked out counts only for the log that it came from


def test_a_half_filled_form_is_there_at_the_next_start(tmp_path: Path) -> None:
    Store.open(tmp_path).desk.keep_form("feeding-kitchen", {"amount": "300 g me", "note": "größer"})
    desk = Store.open(tmp_path).desk
    assert desk.forms() == ("feeding-kitchen",)
    assert desk.form("feeding-kitchen") == {"amount": "300 g me", "note": "größer"}
    desk.keep_form("feeding-kitchen", {"amount": "300 g melon"})
    desk.drop_form("feeding-kitchen")
    assert desk.form("feeding-kitchen") is None
    desk.drop_form("feeding-kitchen")
    assert list((tmp_path / "drafts").iterdir()) == []


def test_a_form_that_cannot_be_read_is_as_good_as_none(tmp_path: Path) -> None:
    desk = Store.open(tmp_path).desk
    desk.keep_form("check", {"smell": "earthy"})
    (tmp_path / "drafts/check.json").write_text("torn")
    assert desk.form("check") is None
    with pytest.raises(ValueError, match="cannot be the name"):
        desk.keep_form("../../x", {})


def test_what_was_worked_out_counts_only_for_its_log(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "s")
    assert not store.desk.keep_worked_out("kitchen", store.revision("kitchen"), {"rate": 1.2})
    assert not (tmp_path / "s").exists()
    store.record([note("a")])
    before = store.revision("kitchen")
    whole = store.revision()
    assert store.desk.keep_worked_out("kitchen", before, {"rate": 1.2})
    assert Store.open(tmp_path / "s").desk.worked_out("kitchen", before) == {"rate": 1.2}
    assert store.revision() == whole, "what is derived is no change of the log"
    store.record([note("b")])
    assert store.desk.worked_out("kitchen", store.revision("kitchen")) is None
    assert store.check().sound
