"""A whole life of a store, as hypothesis makes it up: whatever happens in any order, a plain list says the same."""

from __future__ import annotations

import random
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings, strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from tests.faults.disks import CrashAt, CrashError, MemoryDisk, WatchedDisk
from tests.store.lines import AT, feeding, harvest, move, note, sale
from tests.store.plain_list import LOTS, Line, Model, listed, mass_of
from wormbin.castings.holding import hold
from wormbin.castings.lot import lots
from wormbin.exchange.folders import Doors, Incoming, read_folder, write_folder
from wormbin.materials.table import default_table
from wormbin.problems import RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, standing
from wormbin.records.farms import Farm
from wormbin.records.lots import Line as AnyLine, LotLine, standing_lots
from wormbin.store import Store
from wormbin.store.disk import Disk
from wormbin.store.file import parse, unsealed

ROOT = Path("/data/worms")
BINS = ("kitchen", "attic")
FARM = Farm(bins=tuple(Bin(key, key, 0.6, 0.4, 0.3, date(2023, 1, 1)) for key in BINS))
ACTS = st.sampled_from(["record", "move", "harvest", "strike", "undo"])
YEARS = st.sampled_from([2024, 2025, 2026])
ANY = st.integers(0, 10**6)


class WholeLife(RuleBasedStateMachine):
    """A store on a disk in memory, and a plain list beside it."""

    def __init__(self) -> None:
        super().__init__()
        self.disk = MemoryDisk(ROOT.parent)
        self.now = AT
        self.number = 0
        self.model = Model()
        self.store = self.open(self.disk)
        self.other = self.open(self.disk)
        self.kept: dict[str, Model] = {}
        self.edited: set[str] = set()
        self.outside = Path(tempfile.mkdtemp(prefix="wormbin-life-"))
        self.exports: list[Path] = []

    def teardown(self) -> None:
        shutil.rmtree(self.outside, ignore_errors=True)

    def open(self, disk: Disk) -> Store:
        store = Store.open(ROOT, disk=disk, clock=lambda: self.now)
        store.lots_hold = lambda before, after: hold(before, after, "metric")
        return store

    def fresh(self) -> str:
        self.number += 1
        return f"n{self.number}"

    def standing_ids(self) -> list[str]:
        return self.model.standing_ids()

    def pick(self, place: int, ids: list[str]) -> str:
        return ids[place % len(ids)]

    # What keepers do, each as an act on a store and the same act on the list

    def writing(self, entries: tuple[AnyLine, ...]) -> tuple[Callable[[Store], object], Callable[[Model], None]]:
        def on_list(model: Model) -> None:
            model.write(entries)
            model.done.append((tuple(entry.id for entry in entries), ()))

        return lambda store: store.record(entries), on_list

    def striking(self, entry_id: str) -> tuple[Callable[[Store], object], Callable[[Model], None]]:
        def on_list(model: Model) -> None:
            ids = tuple(each for each in model.halves(entry_id) if not model.lines[each].struck)
            model.strike(ids)
            model.done.append(((), ids))

        return lambda store: store.strike(entry_id, "mistyped", "Ana", self.now), on_list

    def put_right(self, ids: tuple[str, ...]) -> bool:
        """Whether a line that counts stands for one of these already: half of a pair, when the other was lifted."""
        return any(line.replaces in ids and not line.struck for line in self.model.lines.values() if line.replaces)

    def do(self, act: tuple[Callable[[Store], object], Callable[[Model], None]], may: bool = True) -> None:
        """Do it on both; or see it refused: it may not be, or more would have gone out of a lot than is in it."""
        after = self.model.copy()
        act[1](after)
        if may and self.model.may_become(after):
            act[0](self.store)
            self.model = after
            return
        try:
            act[0](self.store)
        except RefusedError:
            return
        raise AssertionError("more went out of a lot than was in it, or a line was put right twice")

    def lines(self, count: int, year: int, place: int) -> tuple[Entry, ...]:
        names = [self.fresh() for _ in range(count)]
        when = AT.replace(year=year)
        return tuple(
            feeding(name, bin_key=BINS[(place + turn) % 2], when=when, kg=0.1 * (turn + 1))
            for turn, name in enumerate(names)
        )

    @rule(count=st.integers(1, 3), year=YEARS, place=ANY)
    def record(self, count: int, year: int, place: int) -> None:
        self.do(self.writing(self.lines(count, year, place)))

    @rule(count=st.integers(60, 80), year=YEARS)
    def record_many(self, count: int, year: int) -> None:
        self.do(self.writing(tuple(note(self.fresh(), when=AT.replace(year=year)) for _ in range(count))))

    @rule(count=st.integers(1, 3), year=YEARS, place=ANY)
    def another_program_records(self, count: int, year: int, place: int) -> None:
        act = self.writing(self.lines(count, year, place))
        act[0](self.other)
        act[1](self.model)

    @rule()
    def move_worms(self) -> None:
        self.do(self.writing(move(self.fresh())))

    @rule(place=ANY, kg=st.sampled_from([1.0, 3.0]))
    def harvest_into_a_lot(self, place: int, kg: float) -> None:
        self.do(self.writing(harvest(self.fresh(), lot=LOTS[place % 2], kg=kg, bin_key=BINS[place // 2 % 2])))

    @precondition(lambda self: any(line.flow > 0 for line in self.model.lines.values()))
    @rule(place=ANY, kg=st.sampled_from([0.5, 2.0]))
    def sell(self, place: int, kg: float) -> None:
        there = [lot.name for lot in lots(self.store.lot_lines())]
        if there:
            self.do(self.writing((sale(self.fresh(), lot=there[place % len(there)], kg=kg),)))

    @precondition(lambda self: any(line.flow > 0 for line in self.model.lines.values()))
    @rule(place=ANY, kg=st.sampled_from([1.0, 4.0]))
    def amend_a_harvest(self, place: int, kg: float) -> None:
        """The amount of a harvest is put right, and what is in its lot with it."""
        ids = [key for key in self.standing_ids() if f"{key}~" in self.model.lines and self.model.lines[f"{key}~"].lot]
        if not ids:
            return
        old = self.pick(place, ids)
        half = self.model.lines[f"{old}~"]
        news = harvest(self.fresh(), lot=half.lot, kg=kg, bin_key=self.model.lines[old].bin)

        def on_list(model: Model) -> None:
            model.write(tuple(replace(new, replaces=key) for new, key in zip(news, (old, half.id), strict=True)))
            model.done.append((tuple(new.id for new in news), ()))

        if not half.struck:
            may = not self.put_right(self.model.halves(old))
            self.do((lambda store: store.amend(old, news, "Ana", self.now), on_list), may)

    @precondition(lambda self: self.standing_ids())
    @rule(place=ANY)
    def strike(self, place: int) -> None:
        self.do(self.striking(self.pick(place, self.standing_ids())))

    @precondition(lambda self: self.standing_ids())
    @rule(place=ANY, elsewhere=st.booleans())
    def amend(self, place: int, elsewhere: bool) -> None:
        old = self.model.lines[self.pick(place, self.standing_ids())]
        bin_key = old.bin if old.bin and not elsewhere else next(each for each in BINS if each != old.bin)
        right = note(self.fresh(), bin_key=bin_key, text="right")
        olds = [each for each in self.model.halves(old.id) if not self.model.lines[each].struck]
        same = next((each for each in olds if self.model.lines[each].bin == bin_key), "")
        left = tuple(each for each in olds if each != same)
        struck = (*left, *self.model.amended(left))

        def on_list(model: Model) -> None:
            model.write((replace(right, replaces=same),))
            model.strike(struck)
            model.done.append(((right.id,), struck))

        may = not self.put_right(self.model.halves(old.id))
        self.do((lambda store: store.amend(old.id, right, "Ana", self.now), on_list), may)

    @precondition(lambda self: self.model.done)
    @rule()
    def undo(self) -> None:
        self.do((lambda store: store.undo("Ana", self.now), lambda model: model.undo()))

    @precondition(lambda self: not self.model.done)
    @rule()
    def undo_nothing(self) -> None:
        try:
            self.store.undo("Ana", self.now)
        except RefusedError:
            return
        raise AssertionError("something was taken back that nobody did")

    @rule(place=ANY, year=YEARS)
    def undo_of_do_is_identity(self, place: int, year: int) -> None:
        before = [standing(self.store.entries(key)) for key in BINS]
        self.store.record(self.lines(2, year, place))
        self.store.undo("Ana", self.now)
        assert [standing(self.store.entries(key)) for key in BINS] == before
        for key in BINS:
            for entry in self.store.entries(key):
                if entry.id not in self.model.lines:
                    self.model.write((entry,))
                    self.model.strike((entry.id,))

    @rule()
    def reopen(self) -> None:
        self.store, self.other = self.open(self.disk), self.open(self.disk)

    @rule(hours=st.integers(-30, 60))
    def time_goes(self, hours: int) -> None:
        self.now += timedelta(hours=hours)
        if self.now < datetime(2025, 1, 1, tzinfo=UTC):
            self.now = AT

    @rule()
    def backup(self) -> None:
        made = self.store.backup()
        assert (made is not None) == bool(self.model.lines)
        if made is not None:
            self.kept[made.name] = self.model.copy()

    @precondition(lambda self: bool(set(self.kept) & set(self.store.backups())))
    @rule(place=ANY)
    def restore(self, place: int) -> None:
        name = self.pick(place, sorted(set(self.kept) & set(self.store.backups())))
        planned = self.store.restore_plan(name)
        assert self.store.restore(name) == planned
        self.model.lines = dict(self.kept[name].lines)
        self.exports.clear()  # they tell of another history now
        if planned.books:
            self.model.done = []

    @precondition(lambda self: self.model.lines)
    @rule(place=ANY)
    def outside_edit(self, place: int) -> None:
        """An editor changes the words of a line, in whichever file it stands, and says that this is meant."""
        line = self.model.lines[self.pick(place, sorted(self.model.lines))]
        self.number += 1
        self.edited.add(line.id)
        self.exports.clear()  # an edited line is no longer the one that was written out
        old, new = f'"id": "{line.id}"', f'"id": "{line.id}", "mended{self.number}": true'
        files = self.disk.files()
        for name in sorted(files, key=lambda name: ".slip." not in name):
            live = ("/bins/" in name or "/castings/" in name) and "backups" not in name and name.endswith(".json")
            if live and old.encode() in files[name]:
                self.disk.damage(Path(name), unsealed(files[name]).replace(f"{old},".encode(), f"{new},".encode(), 1))
                break

    @rule(count=st.integers(1, 2), year=YEARS, place=ANY)
    def another_copy_is_merged(self, count: int, year: int, place: int) -> None:
        copy = Store.open(ROOT.parent / "copy", disk=self.disk, clock=lambda: self.now)
        entries = self.lines(count, year, place)
        copy.record(entries)
        merged = self.store.merge(copy.folder)
        assert {entry.id for entry in entries} <= set(merged.new)
        assert set(merged.differing) <= self.edited
        news = [copy.find(entry_id) for entry_id in merged.new]
        self.model.write(tuple(news))
        self.model.done.append((merged.new, ()))

    @rule(year=YEARS, place=ANY)
    def a_copy_of_a_sync_service_is_merged(self, year: int, place: int) -> None:
        """What another machine wrote into a book arrives as a file beside ours."""
        copy = Store.open(ROOT.parent / f"laptop{self.number}", disk=self.disk, clock=lambda: self.now)
        entries = self.lines(2, year, place)
        copy.record(entries)
        touched = sorted({entry.bin for entry in entries})
        if any(self.disk.folder_stamp(ROOT / "bins" / bin_key) is None for bin_key in touched):
            return  # a service copies into a folder that is there
        for bin_key in touched:
            theirs = copy.folder / "bins" / bin_key / f"{year}.json"
            self.disk.put(ROOT / "bins" / bin_key / f"{year} (conflicted copy).json", self.disk.read(theirs)[0])
        assert not any(entry.id in self.model.lines for entry in entries)
        merged = self.store.merge()
        assert set(merged.new) == {entry.id for entry in entries}
        assert self.store.conflict_copies() == ()
        self.model.write(entries)
        self.model.done.append((merged.new, ()))

    # Out as CSV, and in again

    def brought(self, folder: Path, held: tuple[AnyLine, ...]) -> Incoming:
        doors = Doors(lambda one: one, lambda entry, _one: entry)
        entries = tuple(line for line in held if isinstance(line, Entry))
        lot_lines = tuple(line for line in held if isinstance(line, LotLine))
        return read_folder(folder, FARM, lambda: entries, default_table(), doors, lambda: lot_lines)

    def held(self) -> tuple[AnyLine, ...]:
        entries = [entry for key in BINS for entry in self.store.entries(key)]
        return (*entries, *self.store.lot_lines())

    @precondition(lambda self: self.model.lines)
    @rule()
    def export(self) -> None:
        folder = self.outside / f"e{self.number}"
        self.number += 1
        write_folder(folder, FARM, self.store.entries, lots=self.store.lot_lines())
        fresh = Store.open(ROOT.parent / folder.name, disk=self.disk, clock=lambda: self.now)
        found = self.brought(folder, ())
        fresh.record(found.lines, did="imported", joins=found.joins)
        assert fresh.lot_lines() == self.store.lot_lines(), "an import of an export is another store"
        for key in BINS:
            assert fresh.entries(key) == self.store.entries(key), "an import of an export is another store"
        self.exports.append(folder)

    @precondition(lambda self: self.exports)
    @rule(place=ANY)
    def an_older_export_is_imported(self, place: int) -> None:
        """It holds nothing that the store does not know better, whatever was struck, lifted or amended since."""
        found = self.brought(self.exports[place % len(self.exports)], self.held())
        assert found.lines == ()
        before = self.held()
        self.store.record(found.lines, did="imported", joins=found.joins, ask=False)
        assert self.held() == before

    @precondition(lambda self: self.standing_ids())
    @rule(place=ANY)
    def strikes_of_another_copy_are_imported(self, place: int) -> None:
        """Another machine struck a line and wrote a new one; its files bring both in one change."""
        copy = Store.open(ROOT.parent / f"other{self.number}", disk=self.disk, clock=lambda: self.now)
        held = self.held()
        copy.record(held)
        struck = self.pick(place, self.standing_ids())
        copy.strike(struck, "mistyped", "Bo", self.now)
        (new,) = self.lines(1, 2026, place)
        copy.record([new])
        folder = self.outside / f"o{self.number}"
        write_folder(folder, FARM, copy.entries, lots=copy.lot_lines())
        found = self.brought(folder, held)
        assert found.lines == (new,)
        ids = self.model.halves(struck)
        standing_halves = tuple(each for each in ids if not self.model.lines[each].struck)
        self.store.record(found.lines, did="imported", joins=found.joins, ask=False)
        self.model.write((new,))
        self.model.strike(standing_halves)
        self.model.done.append(((new.id,), standing_halves))

    @rule(
        step=st.integers(1, 60),
        kind=st.sampled_from(["record", "move", "harvest", "strike", "undo"]),
        place=ANY,
        year=YEARS,
    )
    def crash(self, step: int, kind: str, place: int, year: int) -> None:
        """The power goes in the middle of an act; afterwards it is wholly done, or not at all."""
        if kind == "strike" and self.standing_ids():
            act = self.striking(self.pick(place, self.standing_ids()))
        elif kind == "undo" and self.model.done:
            act = (lambda store: store.undo("Ana", self.now), lambda model: model.undo())
        elif kind == "move":
            act = self.writing(move(self.fresh()))
        elif kind == "harvest":
            act = self.writing(harvest(self.fresh(), lot=LOTS[place % 2], kg=2.0))
        else:
            act = self.writing(self.lines(3, year, place))
        after = self.model.copy()
        act[1](after)
        if not self.model.may_become(after):
            return
        store = self.open(WatchedDisk(self.disk, CrashAt(step)))
        acknowledged = True
        try:
            act[0](store)
        except CrashError:
            acknowledged = False
        self.disk = self.disk.after_crash(random.Random(place))
        self.reopen()
        if acknowledged or self.found() == _lines(after):
            self.model = after
        assert self.found() == _lines(self.model), "half done, or acknowledged and lost"

    def found(self) -> set[Line]:
        held = self.held()
        assert len({line.id for line in held}) == len(held), "two lines have one id"
        return {listed(line) for line in held}

    @invariant()
    def the_store_says_what_the_list_says(self) -> None:
        assert self.found() == _lines(self.model)

    @invariant()
    def what_stands_and_its_mass_agree(self) -> None:
        stands: list[AnyLine] = [entry for key in BINS for entry in standing(self.store.entries(key))]
        stands += standing_lots(self.store.lot_lines())
        assert sorted(entry.id for entry in stands) == sorted(self.standing_ids())
        total = sum(self.model.lines[entry_id].kg for entry_id in self.standing_ids())
        assert abs(sum(mass_of(entry) for entry in stands) - total) < 1e-9

    @invariant()
    def a_lot_holds_what_was_harvested_into_it_less_what_was_sold(self) -> None:
        for lot in lots(self.store.lot_lines()):
            assert abs(lot.kg - self.model.in_lot(lot.name)) < 1e-9
            assert abs(lot.kg - (lot.harvested_kg - lot.sold_kg - lot.used_kg)) < 1e-9

    @invariant()
    def both_programs_see_the_same(self) -> None:
        for key in BINS:
            assert self.store.entries(key) == self.other.entries(key)
        assert self.store.lot_lines() == self.other.lot_lines()

    @invariant()
    def every_file_can_be_read(self) -> None:
        for name, raw in self.disk.files().items():
            if name.endswith(".json"):
                parse(raw, Path(name))
        assert self.store.check().sound


def _lines(model: Model) -> set[Line]:
    return set(model.lines.values())


def test_a_store_lives_as_a_plain_list_does(long: bool) -> None:
    run_state_machine_as_test(
        WholeLife,
        settings=settings(
            max_examples=1000 if long else settings().max_examples,
            stateful_step_count=60 if long else 25,
            deadline=None,
            phases=(Phase.explicit, Phase.reuse, Phase.generate),
            suppress_health_check=list(HealthCheck),
        ),
    )
