"""Cut a file at every length, flip its bytes, zero its tail: the old lines, the new lines, or a clear refusal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.faults.disks import MemoryDisk
from tests.faults.scenes import ROOT, State, begin, opened, state
from tests.store.lines import harvest, note, sale
from wormbin.store import DamagedError, NewerError, Store, StoreError

CASTINGS = ROOT / "castings/2026.json"
FILES = (ROOT / "bins/kitchen/2026.json", ROOT / "bins/kitchen/2026.slip.json", ROOT / "farm.json", CASTINGS)


def damaged(raw: bytes, every: int) -> Iterator[tuple[str, bytes]]:
    for length in range(0, len(raw), every):
        yield "cut", raw[:length]
        yield "tail zeroed", raw[:length] + bytes(len(raw) - length)
        for mask in (0x01, 0x20, 0x80):
            yield "byte flipped", raw[:length] + bytes([raw[length] ^ mask]) + raw[length + 1 :]
    yield "zeroed", bytes(len(raw))
    yield "written twice", raw + raw
    yield "torn over", raw[: len(raw) // 2] + raw[: len(raw) // 3]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.parent.name + "-" + path.name)
def test_a_damaged_file_is_never_a_third_state(path: Path, long: bool, tally: Counter[str]) -> None:
    disk = MemoryDisk(ROOT.parent)
    store = opened(disk)
    begin(store)
    if path == CASTINGS:
        store.record(harvest("h1"))
    store.record([note("last", text="größer als “vorher” 🪱")])
    raw = disk.files()[str(path)]
    now = state(opened(disk.copy()))
    for kind, data in damaged(raw, 1 if long else 3):
        trial = disk.copy()
        trial.damage(path, data)
        tally[kind] += 1
        store = opened(trial)
        refusal = _refusal(store, lambda store: _is_now(store, now))
        if refusal is None:
            tally["read the same"] += 1
            continue
        tally["refused"] += 1
        assert str(path) in str(refusal)
        assert refusal.do
        assert _refusal(store, WRITE.get(path, write_line)), "built upon a damaged file"
        assert trial.files()[str(path)] == data, "a damaged file was overwritten"
        assert store.entries("attic") == now[1], "damage to one bin kept another from being read"
    assert tally["refused"] > 100


def change_farm(store: Store) -> object:
    return store.change_farm(lambda farm: farm)


def write_line(store: Store) -> object:
    return store.record([note("more")])


def sell(store: Store) -> object:
    return store.record([sale("more")])


WRITE: dict[Path, Callable[[Store], object]] = {ROOT / "farm.json": change_farm, CASTINGS: sell}


def _is_now(store: Store, now: State) -> None:
    assert state(store) == now, "silently wrong"


def _refusal(store: Store, act: Callable[[Store], object]) -> StoreError | None:
    try:
        act(store)
    except (DamagedError, NewerError) as error:
        return error
    return None
