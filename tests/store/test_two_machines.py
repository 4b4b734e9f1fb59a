"""Two machines and a folder that a service copies between them, as hypothesis makes it up, beside a plain set of lines.

Whatever happens in whatever order: no line that was acknowledged is lost, and whenever a machine shows fewer lines than
it or the folder holds, it says so.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings, strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from tests.faults.disks import MemoryDisk
from tests.store.lines import AT, BINS, move, note
from wormbin.problems import RefusedError
from wormbin.records.entries import Entry
from wormbin.store import Store, StoreError

ROOT = Path("/data/worms")
KEYS = ("kitchen", "attic")
WHO = st.integers(0, 1)
ANY = st.integers(0, 10**6)
HELD = ("farm.json", "books.json", "bins/")


class TwoMachines(RuleBasedStateMachine):
    """Two disks in memory; ``base`` is what the service last made equal on both."""

    def __init__(self) -> None:
        super().__init__()
        self.disks = [MemoryDisk(ROOT.parent), MemoryDisk(ROOT.parent)]
        self.base: dict[str, bytes] = {}
        self.number = 0
        self.lines: set[str] = set()
        self.stores = [self.open(0), self.open(1)]
        self.stores[0].change_farm(lambda farm: replace(farm, bins=BINS))
        self.sync_all()

    def open(self, who: int) -> Store:
        return Store.open(ROOT, disk=self.disks[who], clock=lambda: AT)

    def fresh(self) -> str:
        self.number += 1
        return f"n{self.number}"

    def save(self, who: int, entries: tuple[Entry, ...]) -> bool:
        """Whether it was acknowledged; a book that is short, or waits to be merged, may refuse it."""
        try:
            self.stores[who].record(entries)
        except StoreError:
            assert self.is_told(who)
            return False
        self.lines |= {entry.id for entry in entries}
        return True

    @rule(who=WHO, count=st.integers(1, 3), place=ANY)
    def record(self, who: int, count: int, place: int) -> None:
        self.save(who, tuple(note(self.fresh(), bin_key=KEYS[(place + turn) % 2]) for turn in range(count)))

    @rule(who=WHO, place=ANY)
    def fold(self, who: int, place: int) -> None:
        """So many lines that the slip is folded into its book."""
        self.save(who, tuple(note(self.fresh(), bin_key=KEYS[place % 2]) for _ in range(66)))

    @rule(who=WHO)
    def move_worms(self, who: int) -> None:
        self.save(who, move(self.fresh()))

    @rule(who=WHO)
    def undo(self, who: int) -> None:
        try:
            change = self.stores[who].undo("Ana", AT)
        except RefusedError:
            return
        except StoreError:
            assert self.is_told(who)
            return
        assert self.lines.issuperset(change.ids), "undo took back what nobody wrote"

    @rule(who=WHO)
    def close_and_open(self, who: int) -> None:
        self.stores[who] = self.open(who)

    # What the service does: it copies whole files, and never looks into one

    def files(self, who: int) -> dict[str, bytes]:
        begin = f"{ROOT}/"
        found = {n.removeprefix(begin): raw for n, raw in self.disks[who].files().items() if n.startswith(begin)}
        return {n: raw for n, raw in found.items() if n.startswith(HELD) and not n.endswith((".previous", ".part"))}

    def put(self, who: int, name: str, raw: bytes) -> None:
        disk = self.disks[who]
        for folder in reversed((ROOT / name).relative_to(ROOT.parent).parents[:-1]):
            if disk.folder_stamp(ROOT.parent / folder) is None:
                disk.make_folder(ROOT.parent / folder, 0o700)
        disk.put(ROOT / name, raw)

    def copy(self, name: str) -> None:
        """Bring one file to both sides; where both changed it, the other's comes as a copy beside."""
        ours, theirs, base = self.files(0).get(name), self.files(1).get(name), self.base.get(name)
        if ours == theirs:
            pass
        elif theirs == base and ours is None:
            self.disks[1].unlink(ROOT / name)
        elif ours == base and theirs is None:
            self.disks[0].unlink(ROOT / name)
        elif ours is None or (ours == base and theirs is not None):
            self.put(0, name, theirs or b"")
        elif theirs is None or theirs == base:
            self.put(1, name, ours)
        else:
            self.number += 1
            path = Path(name)
            beside = str(path.with_name(f"{path.name.removesuffix('.json')} (conflicted copy {self.number}).json"))
            self.put(1, name, ours)
            for who in (0, 1):
                self.put(who, beside, theirs)
            self.base[beside] = theirs
        now = self.files(0).get(name)
        if now is None:
            self.base.pop(name, None)
        else:
            self.base[name] = now

    def sync_all(self) -> None:
        for name in sorted({*self.files(0), *self.files(1), *self.base}):
            self.copy(name)

    @rule()
    def sync(self) -> None:
        self.sync_all()

    @rule(seed=ANY)
    def sync_a_part(self, seed: int) -> None:
        """Some files arrive, in any order, and the others later."""
        dice = random.Random(seed)
        names = sorted({*self.files(0), *self.files(1), *self.base})
        for name in dice.sample(names, dice.randint(0, len(names))):
            self.copy(name)

    @rule(who=WHO, place=ANY)
    def an_older_copy_is_put_back_under_the_open_program(self, who: int, place: int) -> None:
        """It is not shown, and the next save writes again what it lacks."""
        key = KEYS[place % 2]
        if self.refused(who):
            return
        kept = {name: raw for name, raw in self.files(who).items() if name.startswith(f"bins/{key}/2026.")}
        if not kept or not self.save(who, (note(self.fresh(), bin_key=key),)):
            return
        before = self.shown(who)
        for name in [each for each in self.files(who) if each.startswith(f"bins/{key}/2026.")]:
            self.disks[who].unlink(ROOT / name)
        for name, raw in kept.items():
            self.put(who, name, raw)
        assert self.shown(who) == before
        assert self.is_told(who)
        assert self.save(who, (note(self.fresh(), bin_key=key),))

    @precondition(lambda self: any(store.conflict_copies() for store in self.stores))
    @rule(who=WHO)
    def merge(self, who: int) -> None:
        self.stores[who].merge()

    # What must hold

    def refused(self, who: int) -> list[StoreError]:
        found = []
        for key in KEYS:
            try:
                self.stores[who].entries(key)
            except StoreError as error:
                found.append(error)
        return found

    def shown(self, who: int) -> dict[str, bool]:
        return {line.id: line.struck is None for key in KEYS for line in self.stores[who].entries(key)}

    def is_told(self, who: int) -> bool:
        """Whether anything is said: by a refusal, or by a notice."""
        return bool(self.refused(who) or self.stores[who].notices())

    @invariant()
    def a_machine_that_shows_less_than_its_folder_holds_says_so(self) -> None:
        for who in (0, 1):
            raw = b"".join(raw for name, raw in self.files(who).items() if name.startswith("bins/"))
            held = {key for key in self.lines if f'"id": "{key}"'.encode() in raw}
            if not self.is_told(who):
                assert held <= self.shown(who).keys(), "shows less than is there, and says nothing"

    def teardown(self) -> None:
        """In the end everything is copied and merged, and each machine shows every line."""
        for _ in range(8):
            self.sync_all()
            for who in (0, 1):
                if self.stores[who].conflict_copies():
                    self.stores[who].merge()
            self.sync_all()
        for who in (0, 1):
            self.stores[who] = self.open(who)
            for key in KEYS:  # a save folds a slip of the other machine in
                self.save(who, (note(self.fresh(), bin_key=key),))
                self.sync_all()
        for who in (0, 1):
            assert not self.refused(who), "the folder was whole, and is not read"
            lost = self.lines - self.shown(who).keys()
            assert not lost, f"acknowledged and lost: {sorted(lost)}"
        assert self.shown(0) == self.shown(1), "what is struck on one machine stands on the other"


def test_two_machines_and_a_synced_folder_lose_nothing_and_tell_always(
    long: bool, turns: Callable[[int], range]
) -> None:
    run_state_machine_as_test(
        TwoMachines,
        settings=settings(
            max_examples=len(turns(1000 if long else 25)),
            stateful_step_count=25,
            deadline=None,
            phases=(Phase.explicit, Phase.reuse, Phase.generate),
            suppress_health_check=list(HealthCheck),
        ),
    )
