"""An older store is read as it is, upgraded by the first change after a backup; a newer one is refused unharmed."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from tests.store.lines import AT, note
from wormbin.records.entries import Check, standing
from wormbin.store import NewerError, Store
from wormbin.store.file import FORMAT, STEPS

KEPT = Path(__file__).parent / "format_1"


@pytest.fixture
def old(tmp_path: Path) -> Path:
    return Path(shutil.copytree(KEPT, tmp_path / "s"))


def contents(root: Path) -> dict[str, bytes]:
    return {str(path.relative_to(root)): path.read_bytes() for path in root.rglob("*") if path.is_file()}


def test_there_is_a_step_from_every_older_format() -> None:
    assert sorted(STEPS) == list(range(1, FORMAT))


def test_an_older_store_is_read_without_being_changed(old: Path) -> None:
    before = contents(old)
    store = Store.open(old)
    first, _second, third = store.entries("kitchen")
    assert first.what == Check(moisture=0.82, left=0.30)
    assert third.struck is not None
    assert (third.struck.why, third.struck.by) == ("300 g, not 3 kg", "Ana")
    assert third.extra == {"weather": "warm"}
    assert store.farm().bins[0].extra == {"lid": "oak"}
    assert store.farm().settings.units == "us"
    assert store.check().sound
    assert contents(old) == before


def test_the_first_change_upgrades_the_file_after_a_backup(old: Path) -> None:
    before = contents(old)
    store = Store.open(old)
    lines = store.entries("kitchen")
    store.record([note("new", when=AT.replace(year=2025))])
    assert b'"format": 3' in (old / "bins/kitchen/2025.json").read_bytes()
    assert Store.open(old).entries("kitchen")[1:] == lines
    name = next(each for each in store.backups() if each.endswith("before-format-3"))
    kept = contents(old / "backups" / name)
    assert {file: kept[file] for file in before} == before
    store.change_farm(lambda farm: replace(farm, keepers=("Ana", "Bo")))
    assert b'"format": 3' in (old / "farm.json").read_bytes()
    assert Store.open(old).farm().bins[0].extra == {"lid": "oak"}
    assert sum("before-format" in each for each in store.backups()) == 1
    store.restore(name)
    assert Store.open(old).entries("kitchen") == lines


def test_a_newer_store_is_refused_unharmed(old: Path) -> None:
    for path in (old / "bins/kitchen/2025.json", old / "farm.json"):
        path.write_text(path.read_text().replace('"format": 1', '"format": 4'))
    before = contents(old)
    store = Store.open(old)
    for act in (
        lambda: store.entries("kitchen"),
        lambda: store.farm(),
        lambda: store.record([note("new", when=AT.replace(year=2025))]),
        lambda: store.change_farm(lambda farm: farm),
    ):
        with pytest.raises(NewerError, match="a newer wormbin wrote this"):
            act()
    assert {file: raw for file, raw in contents(old).items() if file in before} == before


def test_what_a_newer_program_added_survives(tmp_path: Path) -> None:
    store = Store.open(tmp_path)
    store.record([note("a")])
    path = tmp_path / "bins/kitchen/2026.json"
    text = path.read_text().replace('"note": "a"', '"note": "a", "mood": {"worms": "happy"}')
    newer = '"7": {"id": "c1", "bin": "kitchen", "kind": "curing", "days": 9},'
    text = text.replace('"entries": {', '"entries": {\n' + newer)
    path.write_text(text)
    store.accept(path)
    assert [line.id for line in store.entries("kitchen")] == ["a"]
    for number in range(70):
        store.record([note(f"n{number}")])
    raw = path.read_text()
    assert '"mood": {"worms": "happy"}' in raw
    assert '"kind": "curing", "days": 9' in raw
    flaws = [flaw.what for flaw in store.check().flaws]
    assert any("c1 is of the kind “curing”" in what for what in flaws)
    assert any("mood" in what for what in flaws)


def test_a_store_of_the_second_format_is_read_with_its_slips_and_what_undo_took_back(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(KEPT.with_name("format_2"), tmp_path / "s"))
    before = contents(folder)
    store = Store.open(folder, clock=lambda: AT)
    stands = {entry.id for key in ("kitchen", "attic") for entry in standing(store.entries(key))}
    assert stands == {"old", "m", "m~", "h", "b"}
    assert [line.id for line in store.lot_lines()] == ["h~", "s"]
    assert store.check().flaws == ()
    assert [change.wrote for change in store.changes() if change.back] == [("c",)]
    last = store.last_change()
    assert last is not None
    assert last.wrote == ("b",), "done again, so it is the last one"
    assert contents(folder) == before
    assert store.redo("Ana", AT).wrote == ("c",)
    assert [store.undo("Ana", AT).ids for _ in range(3)] == [("c",), ("b",), ("a",)]
    assert {entry.id for entry in standing(Store.open(folder).entries("kitchen"))} == {"a", "old", "m", "h"}
    assert b'"format": 3' in (folder / "bins/kitchen/2026.json").read_bytes()
    assert b'"format": 2' in (folder / "bins/kitchen/2025.json").read_bytes()
    assert Store.open(folder).check().sound
