"""Undo goes strictly backwards, takes both halves or none, and says when it can take back no more."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.lines import AT, move, note
from wormbin.problems import RefusedError
from wormbin.records.entries import standing
from wormbin.store import DamagedError, Store
from wormbin.store.documents import KEPT

BOOK = "bins/kitchen/2026.json"


def stands(store: Store, key: str = "kitchen") -> list[str]:
    return [line.id for line in standing(store.entries(key))]


def undone(store: Store) -> int:
    """How often undo takes something back before it refuses."""
    for number in range(1000):
        try:
            store.undo("Ana", AT)
        except RefusedError:
            return number
    raise AssertionError("undo never ends")


def test_undo_goes_strictly_backwards_and_says_where_it_ends(tmp_path: Path) -> None:
    store = Store.open(tmp_path, clock=lambda: AT)
    store.record([note(f"i{number}", bin_key="cellar") for number in range(200)], did="imported")
    store.record(move("m"))
    for number in range(KEPT + 1):
        store.record([note(f"n{number}")])
    taken = [store.undo("Ana", AT).wrote for _ in range(KEPT)]
    assert taken == [(f"n{number}",) for number in range(KEPT, 0, -1)]
    with pytest.raises(RefusedError, match="reaches no further back"):
        store.undo("Ana", AT)
    assert stands(store) == ["m", "n0"]
    assert stands(store, "attic") == ["m~"], "both halves or none"
    assert len(stands(store, "cellar")) == 200, "an older change stays while a younger one is not listed any more"
    again = Store.open(tmp_path, clock=lambda: AT)
    assert again.last_change() is None
    assert [again.redo("Ana", AT).wrote for _ in range(KEPT)] == [(f"n{number}",) for number in range(1, KEPT + 1)]


def test_undo_does_not_use_up_what_it_can_take_back(tmp_path: Path) -> None:
    store = Store.open(tmp_path, clock=lambda: AT)
    for number in range(20):
        store.record([note(f"n{number}")])
    for _ in range(100):
        store.undo("Ana", AT)
        store.redo("Ana", AT)
    assert undone(store) == 20
    assert stands(store) == []
    assert [store.redo("Ana", AT).wrote for _ in range(20)] == [(f"n{number}",) for number in range(20)]


def test_a_line_taken_out_by_hand_does_not_stand_in_the_way_of_undo(tmp_path: Path) -> None:
    store = Store.open(tmp_path, clock=lambda: AT)
    store.record([note("a"), note("b")])
    store.record([note("c")])
    store.record([note(f"d{number}") for number in range(70)])
    path = tmp_path / BOOK
    rows = [row for row in path.read_text().split("\n") if '"id": "c"' not in row]
    path.write_text("\n".join(rows))
    store.accept(path)
    store = Store.open(tmp_path, clock=lambda: AT)
    assert [store.undo("Ana", AT).wrote for _ in range(2)][1] == ("a", "b")
    assert stands(store) == []


def test_undo_takes_nothing_back_whose_other_half_may_stand_in_a_damaged_book(tmp_path: Path) -> None:
    store = Store.open(tmp_path, clock=lambda: AT)
    store.record([note("a")])
    store.record(move("m"))
    (tmp_path / "bins/attic/2026.json").write_text("torn")
    store = Store.open(tmp_path, clock=lambda: AT)
    with pytest.raises(DamagedError, match="attic"):
        store.undo("Ana", AT)
    assert stands(store) == ["a", "m"]
    store.record([note("b")])
    assert store.undo("Ana", AT).wrote == ("b",), "the other books stay fully usable"
