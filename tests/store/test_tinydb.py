"""A store file is a TinyDB file: TinyDB reads it, with our storage and with its own, and finds the lines in it."""

from __future__ import annotations

from pathlib import Path

import pytest
from tinydb import Query, TinyDB

from tests.store.lines import feeding, note
from wormbin.store import DamagedError, Store
from wormbin.store.storage import WholeFile


def test_tinydb_opens_a_year_book_and_queries_it(tmp_path: Path) -> None:
    Store.open(tmp_path).record([note("a"), feeding("f1")])
    path = tmp_path / "bins/kitchen/2026.json"
    with TinyDB(path, access_mode="r") as stock, TinyDB(path, storage=WholeFile) as ours:
        for shelf in (stock, ours):
            (found,) = shelf.table("entries").search(Query().kind == "feeding")
            assert found["id"] == "f1"
            assert found.doc_id == 2


def test_tinydb_can_write_through_our_storage(tmp_path: Path) -> None:
    path = tmp_path / "any.json"
    with TinyDB(path, storage=WholeFile) as shelf:
        shelf.table("store").insert({"format": 2, "seq": 1})
        shelf.table("entries").insert_multiple([{"n": 1}, {"n": 2}])
        shelf.table("entries").update({"n": 3}, Query().n == 2)
    with TinyDB(path, storage=WholeFile) as shelf:
        assert [each["n"] for each in shelf.table("entries")] == [1, 3]


def test_an_empty_file_is_damage_and_no_file_is_nothing(tmp_path: Path) -> None:
    assert WholeFile(tmp_path / "none.json").read() is None
    (tmp_path / "empty.json").touch()
    with pytest.raises(DamagedError, match="empty, which a store file never is"):
        WholeFile(tmp_path / "empty.json").read()
