"""The castings book beside the bins' books: both halves of a harvest go together, and all care covers it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.store.lines import AT, BINS, harvest, note, sale
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Harvest, standing
from wormbin.records.lots import Intake, Line, LotLine, standing_lots
from wormbin.store import DamagedError, NewerError, Store
from wormbin.store.file import unsealed

BOOK = "castings/2026.json"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store.open(tmp_path / "s", clock=lambda: AT)
    store.change_farm(lambda farm: replace(farm, bins=BINS))
    store.record(harvest("h"))
    return store


def again(store: Store) -> Store:
    return Store.open(store.folder, clock=lambda: AT)


def stands(store: Store) -> list[str]:
    return [line.id for line in standing_lots(store.lot_lines())]


def struck(store: Store) -> list[str]:
    lines: list[Line] = [*store.entries("kitchen"), *store.lot_lines()]
    return sorted(line.id for line in lines if line.struck is not None)


def test_a_harvest_into_a_lot_stands_in_both_books(store: Store) -> None:
    (half,) = again(store).lot_lines()
    assert (half.id, half.lot, half.what) == ("h~", "spring", Intake("kitchen", 4.0))
    assert '"book": "castings"' in (store.folder / BOOK).read_text()
    assert '"lot": "spring"' in (store.folder / "bins/kitchen/2026.json").read_text()
    assert store.check().flaws == ()


def test_one_half_alone_is_refused(store: Store) -> None:
    for alone in harvest("x"):
        with pytest.raises(RefusedError, match="both halves of it, saved together"):
            store.record([alone])
    assert stands(store) == ["h~"]


def test_strike_undo_and_redo_take_both_halves_along_whichever_is_named(store: Store) -> None:
    store.strike("h~", "mistyped", "Ana", AT)
    assert struck(store) == ["h", "h~"]
    store.undo("Ana", AT)
    assert struck(store) == []
    store.redo("Ana", AT)
    assert struck(store) == ["h", "h~"]
    store.undo("Ana", AT)
    store.undo("Ana", AT)
    assert struck(store) == ["h", "h~"], "the writing itself was taken back"
    assert struck(again(store)) == ["h", "h~"]


def test_an_amended_harvest_carries_through(store: Store) -> None:
    new, half = store.amend("h", harvest("h2", kg=3.0), "Ana", AT)
    assert (new.replaces, half.replaces) == ("h", "h~")
    assert [line.what for line in standing_lots(store.lot_lines())] == [Intake("kitchen", 3.0)]
    store.undo("Ana", AT)
    assert stands(store) == ["h~"]


def test_a_harvest_amended_to_no_lot_takes_its_castings_out_of_it(store: Store) -> None:
    store.amend("h", harvest("h2", lot=""), "Ana", AT)
    assert stands(store) == []
    assert struck(store) == ["h~"]
    assert store.entries("kitchen")[-1].what == Harvest(4.0)


def test_what_the_castings_room_refuses_is_not_saved(store: Store) -> None:
    seen: list[tuple[int, int]] = []

    def hold(before: tuple[LotLine, ...], after: tuple[LotLine, ...]) -> None:
        seen.append((len(before), len(after)))
        raise RefusedError(Problem("amount", "9 kg", "up to 4 kg"))

    store.lots_hold = hold
    revision = store.revision()
    for act in (
        lambda: store.record([sale("s", kg=9.0)]),
        lambda: store.record(harvest("h2")),
        lambda: store.strike("h", "mistyped", "", AT),
        lambda: store.amend("h", harvest("h2", kg=1.0)),
        lambda: store.undo("", AT),
    ):
        with pytest.raises(RefusedError, match="up to 4 kg"):
            act()
    assert seen == [(1, 2), (1, 2), (1, 1), (1, 2), (1, 1)]
    store.record([note("n")])
    store.record([sale("s")], ask=False)
    assert (stands(store), store.revision() != revision) == (["h~", "s"], True)


def test_lines_are_found_and_struck_by_their_ids_in_any_book(store: Store) -> None:
    store.record([sale("s123")])
    assert store.find_line("s12").id == "s123"
    assert store.find_line("h~").id == "h~"
    assert store.find_line("h").id == "h"
    with pytest.raises(RefusedError):
        store.find("s12")
    store.strike("s123", "brought back", "", AT)
    assert stands(store) == ["h~"]


def test_a_store_without_castings_is_sound_and_reading_creates_none(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "s", clock=lambda: AT)
    store.record([note("a")])
    assert store.lot_lines() == ()
    assert store.check().sound
    assert not (store.folder / "castings").exists()


def test_an_open_store_sees_what_another_program_wrote_into_the_castings_book(store: Store) -> None:
    other = again(store)
    before = store.revision()
    other.record([sale("s")])
    assert store.revision() != before
    assert stands(store) == ["h~", "s"]


def test_a_backup_holds_the_castings_book_and_brings_it_back(store: Store) -> None:
    store.record([sale("s")])
    made = store.backup()
    assert made is not None
    assert {BOOK, "castings/2026.slip.json"} <= set(made.files)
    store.record(harvest("h2", lot="autumn"))
    store.strike("s", "brought back", "", AT)
    planned = store.restore_plan(made.name)
    assert [(str(each.place), each.gone, each.changed) for each in planned.books] == [
        ("bins/kitchen/2026.json", ("h2",), ()),
        (BOOK, ("h2~",), ("s",)),
    ]
    store.restore(made.name)
    assert stands(again(store)) == ["h~", "s"]


def test_two_copies_join_exactly(store: Store, tmp_path: Path) -> None:
    other = Store.open(tmp_path / "other", clock=lambda: AT)
    other.record(harvest("h"))
    other.record([sale("o", kg=3.0)])
    store.record([sale("s", kg=3.0)])

    def never(_before: tuple[LotLine, ...], _after: tuple[LotLine, ...]) -> None:
        raise AssertionError("a merge is exact, whatever is in the lot")

    store.lots_hold = never
    assert store.merge(other.folder).new == ("o",)
    assert stands(store) == ["h~", "o", "s"]
    assert store.check().flaws == ()


def test_a_copy_made_by_a_sync_service_is_merged(store: Store, tmp_path: Path) -> None:
    other = Store.open(tmp_path / "other", clock=lambda: AT)
    other.record(harvest("h"))
    other.record([sale("o")])
    theirs = (other.folder / "castings/2026.slip.json").read_bytes()
    (store.folder / "castings/2026 (conflicted copy).json").write_bytes(theirs)
    assert len(store.conflict_copies()) == 1
    assert store.merge().new == ("o",)
    assert stands(store) == ["h~", "o"]
    assert store.conflict_copies() == ()


def edited(store: Store, path: str, old: str, new: str) -> None:
    file = store.folder / path
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))
    store.accept(file)


def flaws(store: Store) -> list[str]:
    return [flaw.sentence() for flaw in store.check().flaws]


def test_a_check_finds_halves_that_do_not_fit(store: Store) -> None:
    edited(store, BOOK, '"kg": 4.0', '"kg": 5.0')
    assert any("h is a harvest, and its line in the castings book says something else" in each for each in flaws(store))
    edited(store, BOOK, '"kg": 5.0', '"struck": {"why": "", "by": "", "at": "2026-03-02T18:10:00+00:00"}, "kg": 4.0')
    assert sum("one half of a harvest into a lot, and only one half is struck" in each for each in flaws(store)) == 2
    (store.folder / BOOK).unlink()
    assert any("one half of a harvest into a lot, and the other half is missing" in each for each in flaws(store))
    (store.folder / "castings/notes.txt").write_text("")
    assert any("notes.txt: this file is not one of the store's" in each for each in flaws(store))


def test_a_damaged_castings_book_leaves_the_bins_usable(store: Store) -> None:
    (store.folder / BOOK).write_bytes(b"{")
    with pytest.raises(DamagedError, match=r"castings/2026\.json, line 1"):
        store.lot_lines()
    assert [entry.id for entry in store.entries("kitchen")] == ["h"]
    store.record([note("n")])
    with pytest.raises(DamagedError):
        store.record(harvest("h2"))
    assert [entry.id for entry in again(store).entries("kitchen")] == ["h", "n"]
    assert not store.check().sound


def test_values_changed_by_hand_go_through_the_same_door(store: Store) -> None:
    edited(store, BOOK, '"kg": 4.0', '"kg": -4.0')
    with pytest.raises(DamagedError, match="castings: “-4 kg” does not fit"):
        store.lot_lines()


def test_a_bins_book_in_the_place_of_the_castings_is_refused(store: Store) -> None:
    (store.folder / BOOK).write_bytes((store.folder / "bins/kitchen/2026.json").read_bytes())
    with pytest.raises(DamagedError, match="this is the book of “kitchen”, 2026, and stands in the"):
        store.lot_lines()


def test_a_bin_called_castings_keeps_its_own_books(store: Store) -> None:
    store.record(harvest("c", bin_key="castings", lot="other"))
    assert [entry.id for entry in again(store).entries("castings")] == ["c"]
    assert stands(again(store)) == ["h~", "c~"]


def test_what_a_newer_program_added_survives_and_its_files_are_refused_unharmed(store: Store) -> None:
    edited(store, BOOK, '"kg": 4.0', '"kg": 4.0, "grade": "A"')
    edited(store, BOOK, '"entries": {', '"entries": {\n"7": {"id": "c1", "lot": "spring", "kind": "tasting"},')
    for number in range(70):
        store.record([sale(f"s{number}", kg=0.01)])
    text = (store.folder / BOOK).read_text()
    assert '"grade": "A"' in text
    assert '"kind": "tasting"' in text
    assert len(stands(again(store))) == 71
    (store.folder / "castings/2026.slip.json").unlink()
    newer = unsealed(text.replace('"format": 3', '"format": 4').encode())
    (store.folder / BOOK).write_bytes(newer)
    with pytest.raises(NewerError):
        again(store).record([sale("late")])
    assert (store.folder / BOOK).read_bytes() == newer


def test_a_line_amended_twice_does_not_come_back_when_its_amendment_leaves_the_book(store: Store) -> None:
    store.amend("h", harvest("h2", kg=3.0), "Ana", AT)
    store.amend("h2", harvest("h3", lot="", kg=3.0), "Ana", AT)
    assert stands(store) == []
    store.undo("Ana", AT)
    assert stands(store) == ["h2~"]
    store.record([note("n1")])
    store.amend("n1", note("n2"))
    store.amend("n2", note("n3", bin_key="attic"))
    assert [entry.id for entry in standing(store.entries("kitchen"))] == ["h2"]
