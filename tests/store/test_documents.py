"""Lines of one moment stand in the order in which they were written down: in the store, in copies, in files."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.store.lines import AT, feeding, note
from wormbin.records.entries import Check, Entry, Fluff, in_time_order, standing
from wormbin.store.store import Store

IDS = ("m", "c", "z", "a", "k")


def ids(store: Store, key: str = "kitchen") -> list[str]:
    """The ids of a bin's lines, read anew."""
    return [entry.id for entry in Store(store.folder, store.disk, store.clock).entries(key)]


def written(folder: Path, *lines: Entry) -> Store:
    """A store in which each of these was saved by itself."""
    store = Store.open(folder)
    for line in lines:
        store.record([line])
    return store


def test_lines_of_one_moment_stand_as_they_were_written(tmp_path: Path) -> None:
    store = written(tmp_path, *(note(each) for each in IDS))
    assert ids(store) == list(IDS)
    assert [entry.order for entry in store.entries("kitchen")] == [1, 2, 3, 4, 5]


def test_what_was_done_may_come_before_what_was_seen_when_it_was_written_so(tmp_path: Path) -> None:
    store = written(
        tmp_path, feeding("f"), replace(note("c"), what=Check(temp_c=20.0)), replace(note("b"), what=Fluff())
    )
    assert ids(store) == ["f", "c", "b"]
    assert [entry.id for entry in standing(store.entries("kitchen"))] == ["f", "c", "b"]


def test_lines_saved_at_one_stroke_begin_with_what_was_seen(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([feeding("f"), note("n"), replace(note("c"), what=Check(temp_c=20.0)), note("a")])
    assert ids(store) == ["c", "f", "n", "a"]


def test_a_day_without_a_time_keeps_what_was_seen_first_then_what_was_written_first(tmp_path: Path) -> None:
    noon = datetime(2026, 3, 2, 12, tzinfo=UTC)
    of_day = [replace(line, when=noon, day_only=True) for line in (note("n"), feeding("f"), note("b"), feeding("e"))]
    checked = replace(note("z"), when=noon, what=Check(temp_c=20.0), day_only=True)
    store = written(tmp_path, *of_day, checked, replace(note("x"), when=noon))
    assert ids(store) == ["x", "z", "f", "e", "n", "b"]
    assert [entry.day_only for entry in Store.open(tmp_path).entries("kitchen")] == [False, *[True] * 5]


def test_the_order_outlives_a_fold_a_backup_and_a_restore(tmp_path: Path) -> None:
    store = written(tmp_path, *(note(each) for each in IDS))
    made = store.backup()
    assert made is not None
    for number in range(70):
        store.record([note(f"t{number:02}", when=AT + timedelta(minutes=number + 1))])
    assert ids(store)[:5] == list(IDS)
    store.restore(made.name)
    assert ids(store) == list(IDS)


def test_struck_and_lifted_a_line_keeps_its_place(tmp_path: Path) -> None:
    store = written(tmp_path, *(note(each) for each in IDS))
    store.strike("c", "wrong", "", AT)
    store.undo("", AT + timedelta(hours=1))
    store.redo("", AT + timedelta(hours=2))
    assert ids(store) == list(IDS)


def test_a_right_line_stands_where_the_wrong_one_stood_unless_it_is_of_another_moment(tmp_path: Path) -> None:
    store = written(tmp_path, *(note(each) for each in IDS))
    store.amend("m", note("x"))
    store.amend("c", note("y", when=AT + timedelta(minutes=1)))
    assert [entry.id for entry in standing(store.entries("kitchen"))] == ["x", "z", "a", "k", "y"]


def test_copies_join_to_one_order_either_way(tmp_path: Path) -> None:
    ours, theirs = (
        written(tmp_path / "a", note("m"), note("c")),
        written(tmp_path / "b", note("z"), note("b"), note("a")),
    )
    ours.merge(theirs.folder)
    assert ids(ours) == ["m", "z", "b", "c", "a"], "first with first, second with second; then by id"
    theirs.merge(ours.folder)
    assert ids(theirs) == ids(ours)


def test_one_line_counted_differently_in_two_copies_gets_the_lower_place_in_both(tmp_path: Path) -> None:
    ours, theirs = written(tmp_path / "a", note("m"), note("c")), written(tmp_path / "b", note("c"), note("m"))
    assert ours.merge(theirs.folder).differing == ()
    theirs.merge(ours.folder)
    assert ids(ours) == ids(theirs)
    assert [entry.order for entry in ours.entries("kitchen")] == [1, 1]


def test_the_same_line_again_is_passed_over_wherever_it_stands(tmp_path: Path) -> None:
    store = written(tmp_path, note("m"), note("c"))
    assert store.record([note("c"), note("m")]) == ()
    assert ids(store) == ["m", "c"]


def test_a_book_without_places_is_read_in_the_order_of_its_lines_and_not_changed(tmp_path: Path) -> None:
    written(tmp_path, *(note(each) for each in IDS))
    path = tmp_path / "bins/kitchen/2026.json"
    tables = {}
    for part in (path, path.with_name("2026.slip.json")):
        tables[part] = json.loads(part.read_text("utf-8"))
        for document in tables[part]["entries"].values():
            del document["order"]
        del tables[part]["store"]["1"]["sum"]
        part.write_text(json.dumps(tables[part]), "utf-8")
    before = {part: part.read_bytes() for part in tables}
    again = Store.open(tmp_path)
    assert [entry.id for entry in again.entries("kitchen")] == list(IDS)
    assert {part: part.read_bytes() for part in tables} == before
    again.record([note("b")])
    assert ids(again) == [*IDS, "b"]


@pytest.mark.parametrize("order", ["7", -1, True, 1.5, 10**13])
def test_a_place_that_is_none_is_refused_with_its_line(tmp_path: Path, order: object) -> None:
    written(tmp_path, note("m"))
    path = tmp_path / "bins/kitchen/2026.json"
    text = json.loads(path.read_text("utf-8"))
    text["entries"]["1"]["order"] = order
    del text["store"]["1"]["sum"]
    path.write_text(json.dumps(text), "utf-8")
    with pytest.raises(Exception, match="order"):
        Store.open(tmp_path).entries("kitchen")


def test_lines_that_are_not_written_down_yet_have_one_order_too() -> None:
    lines = [note("b"), note("a"), feeding("z"), replace(note("c"), what=Check(temp_c=20.0))]
    assert [entry.id for entry in in_time_order(lines)] == ["c", "z", "a", "b"]
    assert in_time_order(lines) == in_time_order(lines[::-1])
