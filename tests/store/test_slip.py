"""A year-book is a TinyDB: its tables, queries and documents, with our storage below, or with TinyDB's own to read."""

from __future__ import annotations

from pathlib import Path

import pytest
from tinydb import Query, TinyDB, where
from tinydb.table import Document

from tests.store.lines import feeding, note
from wormbin.store import ChangedError, DamagedError, Store
from wormbin.store.file import WholeFile
from wormbin.store.slip import Slipped

BOOK = "bins/kitchen/2026.json"
SLIP = "bins/kitchen/2026.slip.json"


def shelf(folder: Path) -> TinyDB:
    return TinyDB(folder / BOOK, storage=Slipped(WholeFile))


def test_tinydb_opens_a_year_book_and_queries_it(tmp_path: Path) -> None:
    Store.open(tmp_path).record([note("a"), feeding("f1")])
    raw = (tmp_path / BOOK).read_bytes()
    with TinyDB(tmp_path / BOOK, access_mode="r") as stock, TinyDB(tmp_path / BOOK) as plain, shelf(tmp_path) as ours:
        for each in (stock, plain, ours):
            (found,) = each.table("entries").search(Query().kind == "feeding")
            assert found["id"] == "f1"
            assert found.doc_id == 2
            assert each.table("changes").count(where("wrote").any(["f1"])) == 1
    assert (tmp_path / BOOK).read_bytes() == raw, "looking changes nothing"


def test_a_slip_and_its_book_are_one_tinydb(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    for number in range(80):
        store.record([note(f"n{number}")])
    store.record([feeding("f1")])
    with shelf(tmp_path) as ours:
        lines = ours.table("entries")
        assert len(lines) == 81
        assert [each["id"] for each in lines.search(where("kind") == "feeding")] == ["f1"]
        found = lines.get(where("id") == "n3")
        assert isinstance(found, Document)
        assert lines.get(doc_id=found.doc_id) == found


def test_what_tinydb_writes_is_durable_small_and_read_by_the_store(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a"), note("b")])
    whole = (tmp_path / BOOK).read_bytes()
    with shelf(tmp_path) as ours:
        ours.table("entries").update({"note": "from a script"}, where("id") == "a")
        assert (tmp_path / BOOK).read_bytes() == whole, "a small change goes to the slip"
        assert (tmp_path / SLIP).exists()
        store.record([note("c")])
        with pytest.raises(ChangedError):
            ours.table("entries").update({"note": "too late"}, where("id") == "b")
    assert [line.note for line in Store.open(tmp_path).entries("kitchen")] == ["from a script", "b", "c"]
    with shelf(tmp_path) as ours:
        ours.table("entries").remove(where("id") == "b")
        with pytest.raises(DamagedError, match="no usable id"):
            ours.table("entries").insert({"note": "no line of a log"})
    assert not (tmp_path / SLIP).exists(), "a line that goes is folded away"
    assert [line.id for line in Store.open(tmp_path).entries("kitchen")] == ["a", "c"]


def test_tinydb_can_write_through_our_storage(tmp_path: Path) -> None:
    path = tmp_path / "any.json"
    with TinyDB(path, storage=WholeFile) as any_file:
        any_file.table("store").insert({"format": 3, "seq": 1})
        any_file.table("entries").insert_multiple([{"n": 1}, {"n": 2}])
        any_file.table("entries").update({"n": 3}, Query().n == 2)
    with TinyDB(path, storage=WholeFile) as any_file:
        assert [each["n"] for each in any_file.table("entries")] == [1, 3]


def test_an_empty_file_is_damage_and_no_file_is_nothing(tmp_path: Path) -> None:
    assert WholeFile(tmp_path / "none.json").read() is None
    (tmp_path / "empty.json").touch()
    with pytest.raises(DamagedError, match="empty, which a store file never is"):
        WholeFile(tmp_path / "empty.json").read()
