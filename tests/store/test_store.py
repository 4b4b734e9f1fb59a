"""What a store does for its callers: lines in, the same lines out, in the order of the log."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from tests.store.lines import AT, feeding, move, note
from wormbin.problems import RefusedError, UnclearError
from wormbin.records.bins import Bin
from wormbin.records.entries import Check, Harvest, standing
from wormbin.records.farms import Farm
from wormbin.store import ChangedError, DamagedError, Store, StoreError


def kitchen_bin(key: str = "kitchen") -> Bin:
    return Bin(key, key.title(), 0.6, 0.4, 0.3, date(2026, 1, 1))


def test_reading_creates_nothing(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "new")
    assert store.farm() == Farm()
    assert store.entries("kitchen") == ()
    assert tuple(each.year for each in store.places_of("kitchen")) == ()
    assert store.last_change() is None
    assert store.revision() == store.revision()
    with pytest.raises(RefusedError):
        store.find("abc")
    assert not (tmp_path / "new").exists()


def test_a_recorded_line_is_there_for_the_next_program(tmp_path: Path) -> None:
    line = feeding("f1")
    Store.open(tmp_path).record([line])
    assert Store.open(tmp_path).entries("kitchen") == (line,)


def test_lines_come_in_time_order_across_years(tmp_path: Path) -> None:
    lines = [note("c", when=AT), note("a", when=AT - timedelta(days=800)), note("b", when=AT - timedelta(days=400))]
    store = Store.open(tmp_path)
    store.record(lines)
    assert [line.id for line in store.entries("kitchen")] == ["a", "b", "c"]
    assert tuple(each.year for each in store.places_of("kitchen")) == (2023, 2025, 2026)


def test_a_line_belongs_to_the_year_on_its_own_clock(tmp_path: Path) -> None:
    late = note("a", when=datetime(2025, 12, 31, 23, 30, tzinfo=timezone(timedelta(hours=-8))))
    store = Store.open(tmp_path)
    store.record([late])
    assert tuple(each.year for each in store.places_of("kitchen")) == (2025,)
    assert store.entries("kitchen")[0].when.date() == date(2025, 12, 31)


def test_the_same_line_again_adds_nothing(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    assert store.record([feeding("f1")]) == (feeding("f1"),)
    before = store.revision()
    assert store.record([feeding("f1")]) == ()
    assert store.revision() == before


def test_an_id_that_stands_for_another_line_is_refused_and_nothing_is_saved(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    before = store.revision()
    with pytest.raises(RefusedError, match="an id that no other line has"):
        store.record([note("b"), note("a", text="other")])
    with pytest.raises(RefusedError):
        store.record([note("c"), note("c")])
    assert store.revision() == before
    assert len(store.entries("kitchen")) == 1


@pytest.mark.parametrize("key", ["../up", "a/b", "", "Kitchen", "con", "a" * 41, ".hidden", "a\x00b"])
def test_a_bin_key_never_becomes_a_path(tmp_path: Path, key: str) -> None:
    store = Store.open(tmp_path / "s")
    with pytest.raises(RefusedError):
        store.record([note("a", bin_key=key)])
    with pytest.raises(RefusedError):
        store.entries(key)
    with pytest.raises(RefusedError):
        store.change_farm(lambda farm: replace(farm, bins=(kitchen_bin(key),)))
    assert [each.name for each in tmp_path.rglob("*") if each.suffix == ".json"] == []


def test_a_struck_line_stays_and_no_longer_counts(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a"), note("b")])
    store.strike("a", "mistyped", "Ana", AT)
    struck = store.find("a").struck
    assert struck is not None
    assert (struck.why, struck.by, struck.at) == ("mistyped", "Ana", AT)
    assert [line.id for line in standing(store.entries("kitchen"))] == ["b"]
    with pytest.raises(RefusedError, match="not struck through yet"):
        store.strike("a", "again", "Ana", AT)


def test_a_lifted_line_counts_again_and_keeps_its_history(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    store.strike("a", "mistyped", "Ana", AT)
    store.undo("Bo", AT)
    line = store.find("a")
    assert line.struck is None
    assert [(each["did"], each["by"]) for each in line.extra["history"]] == [("struck", "Ana"), ("lifted", "Bo")]


def test_a_line_of_a_past_year_can_be_struck_without_reading_the_others(tmp_path: Path) -> None:
    Store.open(tmp_path).record([note(f"y{year}", when=AT.replace(year=year)) for year in range(2017, 2027)])
    (tmp_path / "bins/kitchen/2017.json").write_text("torn")
    store = Store.open(tmp_path)
    store.strike("y2019", "mistyped", "", AT)
    assert store.find("y2019").struck


def test_both_halves_of_a_move_are_written_and_struck_together(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record(move("m"))
    assert [line.id for line in store.entries("attic")] == ["m~"]
    store.strike("m~", "wrong bin", "", AT)
    assert standing(store.entries("kitchen")) == standing(store.entries("attic")) == ()
    with pytest.raises(RefusedError, match="both halves"):
        store.record(move("n")[:1])


def test_an_amended_line_points_to_the_one_it_replaces(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a"), note("b")])
    (written,) = store.amend("a", note("c", text="right"), by="Ana", at=AT)
    assert written.replaces == "a"
    assert [line.id for line in standing(store.entries("kitchen"))] == ["c", "b"], "where the wrong one stood"
    assert len(store.entries("kitchen")) == 3


def test_a_line_amended_into_another_bin_is_struck_in_its_own(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    store.amend("a", note("b", bin_key="attic"), by="Ana", at=AT)
    assert standing(store.entries("kitchen")) == ()
    assert [line.id for line in standing(store.entries("attic"))] == ["b"]
    store.undo("Ana", AT)
    assert [line.id for line in standing(store.entries("kitchen"))] == ["a"]
    assert standing(store.entries("attic")) == ()


def test_a_move_is_amended_by_both_halves(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record(move("m"))
    store.amend("m", move("n", kg=0.2), by="", at=AT)
    assert [line.id for line in standing(store.entries("kitchen"))] == ["n"]
    assert [line.id for line in standing(store.entries("attic"))] == ["n~"]


def test_undo_walks_back_and_redo_walks_forward(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    store.strike("a", "mistyped", "", AT)
    store.record(move("m"))
    assert store.undo("", AT).wrote == ("m", "m~")
    assert standing(store.entries("attic")) == ()
    assert store.undo("", AT).struck == ("a",)
    assert [line.id for line in standing(store.entries("kitchen"))] == ["a"]
    assert store.redo("", AT).struck == ("a",)
    assert store.undo("", AT).struck == ("a",)
    assert store.undo("", AT).wrote == ("a",)
    with pytest.raises(RefusedError, match="no change left"):
        store.undo("", AT)


def test_redo_goes_forward_as_far_as_undo_went_back(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    for each in ("a", "b", "c"):
        store.record([note(each)])
    for _ in range(3):
        store.undo("", AT)
    for wrote, stands in (("a", ["a"]), ("b", ["a", "b"])):
        assert store.redo("", AT).wrote == (wrote,)
        assert [line.id for line in standing(store.entries("kitchen"))] == stands
    assert store.undo("", AT).wrote == ("b",)
    assert [store.redo("", AT).wrote for _ in range(2)] == [("b",), ("c",)]
    assert [line.id for line in standing(Store.open(tmp_path).entries("kitchen"))] == ["a", "b", "c"]
    with pytest.raises(RefusedError, match="nothing to do again"):
        store.redo("", AT)
    assert [store.undo("", AT).wrote for _ in range(3)] == [("c",), ("b",), ("a",)]


def test_redo_is_refused_after_something_else_was_written(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    store.undo("", AT)
    store.record([note("b")])
    with pytest.raises(RefusedError):
        store.redo("", AT)


def test_undo_takes_back_what_another_program_did_last(tmp_path: Path) -> None:
    one, two = Store.open(tmp_path), Store.open(tmp_path)
    one.record([note("a")])
    two.record([note("b", bin_key="attic")])
    assert one.undo("", AT).wrote == ("b",)


def test_undo_is_right_when_the_clock_was_set_back(tmp_path: Path) -> None:
    Store.open(tmp_path, clock=lambda: AT).record([note("a")])
    Store.open(tmp_path, clock=lambda: AT - timedelta(days=1)).record([note("b", bin_key="attic")])
    assert Store.open(tmp_path).undo("", AT).wrote == ("b",)


def test_a_line_is_found_by_the_beginning_of_its_id(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("abc1"), note("abd2"), *move("x9")])
    assert store.find("ABC").id == "abc1"
    assert store.find("x").id == "x9"
    assert store.find("x9~").bin == "attic"
    with pytest.raises(UnclearError) as unclear:
        store.find("ab")
    assert unclear.value.choices == ("abc1", "abd2")
    with pytest.raises(RefusedError):
        store.find("zz")
    with pytest.raises(RefusedError):
        store.find("  ")


def test_the_farm_is_changed_on_what_is_there_now(tmp_path: Path) -> None:
    one, two = Store.open(tmp_path), Store.open(tmp_path)
    one.change_farm(lambda farm: replace(farm, bins=(*farm.bins, kitchen_bin())))
    two.change_farm(lambda farm: replace(farm, bins=(*farm.bins, kitchen_bin("attic"))))
    assert [each.key for each in one.farm().bins] == ["kitchen", "attic"]


def test_the_revision_changes_with_anything_on_the_disk(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    seen = {store.revision()}
    store.record([note("a")])
    seen.add(store.revision())
    kitchen = store.revision("kitchen")
    store.record([note("b", bin_key="attic")])
    assert store.revision("kitchen") == kitchen
    seen.add(store.revision())
    store.change_farm(lambda farm: replace(farm, keepers=("Ana",)))
    seen.add(store.revision())
    (tmp_path / "bins/kitchen/2026.json").write_text("edited")
    seen.add(store.revision())
    assert len(seen) == 5


def test_lines_are_read_again_only_when_a_file_has_changed(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    assert store.entries("kitchen") is store.entries("kitchen")
    Store.open(tmp_path).record([note("b")])
    assert len(store.entries("kitchen")) == 2


def test_files_and_folders_are_private_and_a_shared_folder_stays_shared(tmp_path: Path) -> None:
    Store.open(tmp_path / "own").record([note("a"), note("b", bin_key="attic")])
    modes = {each.stat().st_mode & 0o777 for each in (tmp_path / "own").rglob("*") if each.is_file()}
    assert modes == {0o600}
    assert {each.stat().st_mode & 0o777 for each in (tmp_path / "own").rglob("*") if each.is_dir()} == {0o700}
    shared = tmp_path / "class"
    shared.mkdir()
    shared.chmod(0o770)
    store = Store.open(shared)
    for number in range(3):
        store.record([note(f"n{number}")])
    assert {each.stat().st_mode & 0o777 for each in shared.rglob("*") if each.is_file()} == {0o660}


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "s").write_text("")
    with pytest.raises(StoreError, match="a file, not a folder"):
        Store.open(tmp_path / "s")
    with pytest.raises(StoreError):
        Store.open(tmp_path / "s" / "deeper")


def test_every_number_survives_the_disk(tmp_path: Path) -> None:
    line = replace(note("h"), what=Harvest(0.1 + 0.2, 1 / 3))
    store = Store.open(tmp_path)
    store.record([line])
    assert Store.open(tmp_path).entries("kitchen") == (line,)
    with pytest.raises(StoreError, match="cannot be written down"):
        store.record([replace(note("x"), what=Check(temp_c=float("nan")))])
    with pytest.raises(StoreError, match="cannot be written down"):
        store.record([note("y", text="half \ud800")])
    assert len(store.entries("kitchen")) == 1


def test_an_edit_by_hand_is_noticed_and_built_upon_once_it_is_meant(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a", text="before")])
    path = tmp_path / "bins/kitchen/2026.json"
    edited = path.read_text().replace("before", "edited by hand")
    path.write_text(edited)
    with pytest.raises(DamagedError, match=r"--accept bins/kitchen/2026[.]json"):
        store.record([note("b")])
    assert path.read_text() == edited
    store.accept(path)
    store.record([note("b")])
    assert [line.note for line in Store.open(tmp_path).entries("kitchen")] == ["edited by hand", "b"]
    with pytest.raises(StoreError, match="not one of the store's files"):
        store.accept(tmp_path / "other.json")


def test_only_line_ends_and_a_byte_order_mark_may_differ(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    path = tmp_path / "bins/kitchen/2026.json"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert [line.id for line in store.entries("kitchen")] == ["a"]


def test_moments_are_kept_with_their_offset(tmp_path: Path) -> None:
    moment = datetime(2026, 10, 25, 2, 30, tzinfo=timezone(timedelta(hours=2)))
    store = Store.open(tmp_path)
    store.record([note("a", when=moment), note("b", when=moment.replace(tzinfo=timezone(timedelta(hours=1))))])
    again = Store.open(tmp_path).entries("kitchen")
    assert [line.id for line in again] == ["a", "b"]
    assert [line.when.utcoffset() for line in again] == [timedelta(hours=2), timedelta(hours=1)]
    assert again[0].when.astimezone(UTC) == moment


def test_changed_error_is_a_store_error() -> None:
    assert issubclass(ChangedError, StoreError)


def test_a_line_is_put_right_once_and_then_its_right_one(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    store.amend("a", note("b"))
    for _ in range(2):
        with pytest.raises(RefusedError, match="put right by b already"):
            Store.open(tmp_path).amend("a", note("c"))
    store.amend("b", note("d", when=AT.replace(year=2025)))
    with pytest.raises(RefusedError, match="put right by d already"):
        store.amend("b", note("e"))
    assert [line.id for line in standing(store.entries("kitchen"))] == ["d"]
    store.strike("d", "no", "", AT)
    store.amend("b", note("f"))
    assert [line.id for line in standing(store.entries("kitchen"))] == ["f"]
