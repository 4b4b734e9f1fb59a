"""Acts on a store that fault tests interrupt at every step, and what may be found of each afterwards."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from tests.faults.disks import MemoryDisk
from tests.store.lines import AT, BINS, feeding, harvest, move, note, sale
from wormbin.records.entries import Entry
from wormbin.records.farms import Farm
from wormbin.records.lots import LotLine
from wormbin.store import Store, backup
from wormbin.store.disk import Disk

ROOT = Path("/data/worms")
NOW = datetime(2026, 3, 3, 9, tzinfo=UTC)
State = tuple[tuple[Entry, ...], tuple[Entry, ...], tuple[LotLine, ...], Farm]


def opened(disk: Disk, root: Path = ROOT) -> Store:
    return Store.open(root, disk=disk, clock=lambda: NOW)


def state(store: Store) -> State:
    """All that a store holds, as a person would see it."""
    return store.entries("kitchen"), store.entries("attic"), store.lot_lines(), store.farm()


def begin(store: Store) -> None:
    """A store with two bins and some lines in two years, with a backup of the day made."""
    store.change_farm(lambda farm: replace(farm, bins=BINS, keepers=("Ana",)))
    store.record([note("a1"), feeding("a2", when=AT.replace(year=2025)), note("b1", bin_key="attic")])
    store.record(move("m1"))
    store.record([note("a3")])
    store.backup("daily")


@dataclass(frozen=True)
class Scene:
    """An act, and what must be done first so that it takes the way that its name says."""

    name: str
    act: Callable[[Store], object]
    first: Callable[[Store], object] = lambda store: None


def _fill_slip(store: Store) -> None:
    number = 0
    while True:
        store.record([note(f"f{number}")])
        slip = store.folder / "bins/kitchen/2026.slip.json"
        number += 1
        if store.disk.read(slip)[0].count(b'"id"') == 64:
            return


def _no_backups(store: Store) -> None:
    for name in store.backups():
        backup.remove(store.disk, store.folder / backup.FOLDER / name)


def _merge(store: Store) -> None:
    store.merge(ROOT.parent / "other")


def _other_copy(store: Store) -> None:
    other = opened(store.disk, ROOT.parent / "other")
    other.record([note("a1"), note("o1"), note("o2", bin_key="attic")])
    other.strike("a1", "mistyped", "Bo", AT)


def _backup(store: Store) -> None:
    store.backup()
    store.record([note("later"), note("later2", bin_key="attic")])
    store.change_farm(lambda farm: replace(farm, keepers=("Ana", "Bo")))


def _harvest(store: Store) -> None:
    store.record(harvest("h1"))
    store.record([sale("s1")])


SCENES = (
    Scene("a line into the slip", lambda store: store.record([note("n1")])),
    Scene("the first line of a day", lambda store: store.record([note("n1")]), _no_backups),
    Scene("a line that folds the slip", lambda store: store.record([note("n1")]), _fill_slip),
    Scene("the first line of a year", lambda store: store.record([note("n1", when=AT.replace(year=2027))])),
    Scene("many lines at once", lambda store: store.record([note(f"n{each}") for each in range(80)])),
    Scene("lines into several books", lambda store: store.record([note("n1"), note("n2", bin_key="attic"),
                                                                  note("n3", when=AT.replace(year=2024))])),
    Scene("a move between bins", lambda store: store.record(move("n1"))),
    Scene("a strike", lambda store: store.strike("a2", "mistyped", "Ana", AT)),
    Scene("a strike of a move", lambda store: store.strike("m1", "mistyped", "Ana", AT)),
    Scene("an amendment into another bin", lambda store: store.amend("a1", note("n1", bin_key="attic"), "Ana", AT)),
    Scene("a harvest into a lot", lambda store: store.record(harvest("h1"))),
    Scene("a strike of a harvest into a lot", lambda store: store.strike("h1", "mistyped", "Ana", AT), _harvest),
    Scene("an amendment of a harvest into a lot", lambda store: store.amend("h1", harvest("h2", kg=3.0)), _harvest),
    Scene("a sale", lambda store: store.record([sale("s2")]), _harvest),
    Scene("an undo", lambda store: store.undo("Ana", AT)),
    Scene("a change of the farm", lambda store: store.change_farm(lambda farm: replace(farm, keepers=("Bo",)))),
    Scene("a merge", _merge, _other_copy),
    Scene("a restore", lambda store: store.restore(next(n for n in store.backups() if "by-hand" in n)), _backup),
)  # fmt: skip


def prepared(scene: Scene) -> tuple[MemoryDisk, State, State]:
    """A disk on which the scene can be played, the state before, and the state after it when nothing goes wrong."""
    disk = MemoryDisk(ROOT.parent)
    store = opened(disk)
    begin(store)
    scene.first(store)
    before = state(store)
    trial = disk.copy()
    scene.act(opened(trial))
    after = state(opened(trial))
    assert before != after
    return disk, before, after
