"""Looking a store over, backing it up, bringing it back and joining copies."""

from __future__ import annotations

import random
import shutil
import sys
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.store.lines import AT, BINS, feeding, move, note
from wormbin.problems import RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Feeding, Portion, Strike
from wormbin.records.farms import Away, Bucket, Farm, OwnMaterial, Settings
from wormbin.store import Store, StoreError, backup
from wormbin.store.backup import KEPT_MONTHS, KEPT_NEWEST, kept
from wormbin.store.documents import joined, with_strike, without_strike

KITCHEN = Bin("kitchen", "Kitchen", 0.6, 0.4, 0.3, date(2025, 1, 1))


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store.open(tmp_path / "s", clock=lambda: AT)
    store.record([note("a"), note("b", when=AT.replace(year=2025)), *move("m")])
    return store


def ids(store: Store, bin_key: str = "kitchen") -> list[str]:
    return sorted(line.id for line in store.entries(bin_key))


def test_a_check_says_what_it_looked_at_and_changes_nothing(store: Store) -> None:
    store.strike("a", "mistyped", "", AT)
    store.backup()
    before = store.revision()
    report = store.check()
    assert report.sound
    assert (report.lines, report.struck, report.bins, report.backups) == (4, 1, 2, 1)
    assert "4 lines (1 struck through) of 2 bins, and 1 backup" in report.looked_at()
    assert store.revision() == before


def test_a_line_put_right_in_two_copies_is_found_once_they_are_joined(store: Store, tmp_path: Path) -> None:
    store.change_farm(lambda farm: replace(farm, bins=BINS))
    shutil.copytree(store.folder, tmp_path / "o")
    other = Store.open(tmp_path / "o", clock=lambda: AT)
    store.amend("a", note("x"))
    other.amend("a", note("y"))
    assert (store.check().flaws, other.check().flaws) == ((), ())
    store.merge(other.folder)
    (flaw,) = store.check().flaws
    assert flaw.what == "the lines x and y both put a right, and both count"
    assert not store.check().sound
    store.strike("y", "x is right", "", AT)
    assert store.check().flaws == ()


def test_a_check_finds_what_is_out_of_place(store: Store) -> None:
    folder = store.folder / "bins"
    path = folder / "kitchen/2025.json"
    raw = path.read_text().replace("2025-03-02", "2024-03-02").replace('"id": "b"', '"id": "b", "replaces": "gone"')
    path.write_text(raw)
    store.accept(path)
    twice = folder / "attic/2026.json"
    twice.write_text(twice.read_text().replace('"id": "m~"', '"id": "a"'))
    store.accept(twice)
    (folder / "attic/notes.txt").write_text("")
    (folder / "Odd Name").mkdir()
    store.change_farm(lambda farm: replace(farm, keepers=("Ana",)))
    found = [flaw.sentence() for flaw in store.check().flaws]
    for words in (
        "2025.json, line 6: the line b is of 2024, and stands in the book of 2025",
        "the line b replaces gone, which is not there",
        "the id a also stands in bins/attic/2026.json",
        "notes.txt: this file is not one of the store's",
        "Odd Name: this is not the folder of a bin",
        "the farm knows no bin with this key",
        "the line m is one half of a move, and the other half is missing",
    ):
        assert any(words in sentence for sentence in found), words


def test_a_backup_is_made_by_itself_once_a_day_and_before_the_change(tmp_path: Path) -> None:
    now = [AT]
    store = Store.open(tmp_path, clock=lambda: now[0])
    store.record([note("a")])
    assert store.backups() == ()
    for day in (1, 1, 2):
        now[0] = AT + timedelta(days=day)
        store.record([note(f"d{len(store.entries('kitchen'))}")])
    assert [name[:10] for name in store.backups()] == ["2026-03-03", "2026-03-04"]
    Store.open(tmp_path, clock=lambda: now[0]).record([note("z")])
    assert len(store.backups()) == 2
    first = Store.open(tmp_path / "backups" / store.backups()[0])
    assert ids(first) == ["a"]


def test_what_has_not_changed_is_shared_between_backups_and_never_with_the_store(store: Store) -> None:
    one = store.backup()
    store.record([note("c")])
    two = store.backup()
    assert one is not None
    assert two is not None
    past, slip = "bins/kitchen/2025.json", "bins/kitchen/2026.slip.json"
    assert (one.folder / past).stat().st_ino == (two.folder / past).stat().st_ino
    assert (one.folder / past).stat().st_ino != (store.folder / past).stat().st_ino
    assert slip in two.files
    assert slip not in one.files
    assert store.check().sound


def test_a_backup_that_was_touched_is_found_and_not_brought_back(store: Store) -> None:
    made = store.backup()
    assert made is not None
    path = made.folder / "bins/kitchen/2026.json"
    path.write_text(path.read_text().replace('"a"', '"z"'))
    assert any("this copy is not what was copied" in flaw.what for flaw in store.check().flaws)
    with pytest.raises(StoreError, match="this backup is damaged"):
        store.restore(made.name)
    with pytest.raises(StoreError, match="there is no backup"):
        store.restore("2020-01-01T000000-01-daily")
    with pytest.raises(StoreError, match="there is no backup"):
        store.restore("../../etc")


def test_old_backups_are_thinned_out_by_month() -> None:
    days = [(year, month, day) for year in (2023, 2024, 2025) for month in range(1, 13) for day in (1, 15, 28)]
    names = tuple(f"{year}-{month:02d}-{day:02d}T080000-01-daily" for year, month, day in days)
    risky = ("2023-05-05T080000-01-before-restore",)
    stay = kept(tuple(sorted((*names, *risky))))
    assert set(names[-KEPT_NEWEST:]) <= stay
    assert sum(name[8:10] == "28" for name in stay) >= KEPT_MONTHS
    assert set(risky) <= stay
    assert len(stay) <= KEPT_NEWEST + KEPT_MONTHS + 5


def test_thinning_takes_whole_backups_away(store: Store) -> None:
    for number in range(KEPT_NEWEST + 4):
        store.record([note(f"n{number}")])
        store.backup()
    assert len(store.backups()) == KEPT_NEWEST
    assert len(list((store.folder / backup.FOLDER).iterdir())) == KEPT_NEWEST


def test_a_restore_shows_first_and_keeps_what_it_replaces(store: Store) -> None:
    made = store.backup()
    assert made is not None
    store.record([note("c", when=AT.replace(year=2024)), note("d")])
    store.strike("a", "mistyped", "", AT)
    store.change_farm(lambda _: Farm(keepers=("Ana",)))
    # Without a farm file in the backup there is nothing to bring back but an empty farm, so it is left alone.
    before = store.revision()
    planned = store.restore_plan(made.name)
    assert store.revision() == before
    gone = {entry_id for change in planned.books for entry_id in change.gone}
    assert gone == {"c", "d"}
    assert {entry_id for change in planned.books for entry_id in change.changed} == {"a"}
    assert store.restore(made.name) == planned
    assert ids(store) == ["a", "b", "m"]
    assert store.find("a").struck is None
    with pytest.raises(RefusedError):
        store.undo("", AT)
    newest = store.backups()[-1]
    assert newest.endswith("before-restore")
    store.restore(newest)
    assert ids(store) == ["a", "b", "c", "d", "m"]
    assert store.farm().keepers == ("Ana",)


def test_the_oldest_backup_is_brought_back_and_kept_though_a_newer_one_would_thin_it_out(store: Store) -> None:
    oldest = store.backup()
    assert oldest is not None
    there = ids(store)
    store.record([note("later")])
    while len(store.backups()) < KEPT_NEWEST:
        store.backup()
    assert store.backups()[0] == oldest.name
    assert oldest.name not in kept((*store.backups(), store.backups()[-1].replace("by-hand", "before-restore")))
    store.restore(oldest.name)
    assert ids(store) == there
    assert store.backups()[0] == oldest.name
    store.backup()
    assert oldest.name not in store.backups(), "no longer spared once it is brought back"


def test_the_first_change_of_a_day_thins_out_no_backup_that_is_being_brought_back(tmp_path: Path) -> None:
    now = AT
    store = Store.open(tmp_path, clock=lambda: now)
    store.record([note("a")])
    oldest = store.backup()
    assert oldest is not None
    store.record([note("later")])
    while len(store.backups()) < KEPT_NEWEST:
        store.backup()
    now = AT + timedelta(days=1)
    store.restore(oldest.name)
    assert ids(store) == ["a"]
    assert oldest.name in store.backups()


def test_one_bin_can_be_brought_back_alone(store: Store) -> None:
    made = store.backup()
    assert made is not None
    store.record([note("c"), note("k", bin_key="attic")])
    store.restore(made.name, bins=("attic",))
    assert ids(store) == ["a", "b", "c", "m"]
    assert ids(store, "attic") == ["m~"]


def test_a_bin_brought_back_alone_has_its_own_particulars_and_materials_again_and_nothing_else(store: Store) -> None:
    then = Farm(
        (KITCHEN, replace(KITCHEN, key="attic", name="Attic")),
        ("Ana",),
        (OwnMaterial("my-leaves", "Leaves", {}), OwnMaterial("unused", "Unused", {})),
        Settings(check_every_days=3),
    )
    store.change_farm(lambda _: then)
    leaves = replace(feeding("f"), what=Feeding((Portion("my-leaves", 0.3),)))
    store.record([leaves])
    made = store.backup()
    assert made is not None
    now = Farm(
        tuple(replace(one, name="Other", ended=date(2026, 3, 9)) for one in then.bins), ("B",), (),
        Settings(check_every_days=9),
    )  # fmt: skip
    store.change_farm(lambda _: now)
    assert store.restore_plan(made.name, ("attic",)).particulars == ("attic",)
    planned = store.restore(made.name, ("attic",))
    assert (planned.materials, planned.halves) == ((), ())
    assert store.farm() == replace(now, bins=(now.bins[0], then.bins[1]))
    store.strike("f", "gone", "", AT)
    planned = store.restore(made.name, ("kitchen",))
    assert (planned.particulars, planned.materials) == (("kitchen",), ("my-leaves",))
    assert store.farm() == replace(now, bins=then.bins, materials=then.materials[:1])
    assert store.find("f").struck is None


def test_lines_whose_other_half_stays_elsewhere_are_named_before_a_bin_is_brought_back_alone(store: Store) -> None:
    made = store.backup()
    assert made is not None
    store.strike("m", "never moved", "", AT)
    planned = store.restore_plan(made.name, ("kitchen",))
    assert planned.halves == ("m",)
    assert store.restore_plan(made.name).halves == ()
    store.restore(made.name, ("kitchen",))
    assert any("only one half is struck" in flaw.what for flaw in store.check().flaws)


def test_a_damaged_book_is_brought_back_and_the_damaged_one_kept(store: Store) -> None:
    made = store.backup()
    assert made is not None
    path = store.folder / "bins/kitchen/2026.json"
    path.write_bytes(path.read_bytes()[:200])
    (change,) = store.restore_plan(made.name).books
    assert change.damaged
    store.restore(made.name)
    assert ids(store) == ["a", "b", "m"]
    (aside,) = list((store.folder / "set-aside").rglob("2026.json"))
    assert len(aside.read_bytes()) == 200
    assert store.check().sound


def test_two_copies_of_a_store_join_to_the_same_lines_either_way(store: Store, tmp_path: Path) -> None:
    shutil.copytree(store.folder, tmp_path / "o")
    other = Store.open(tmp_path / "o", clock=lambda: AT)
    store.record([note("ours")])
    store.strike("a", "mistyped", "Ana", AT + timedelta(hours=1))
    other.record([note("theirs"), note("old", when=AT.replace(year=2019))])
    other.strike("a", "other reason", "Bo", AT)
    other.undo("Bo", AT + timedelta(minutes=1))
    other.change_farm(lambda farm: replace(farm, keepers=("Bo",)))
    planned = store.merge_plan(other.folder)
    assert (planned.new, planned.joined, planned.differing, planned.keepers) == (("theirs", "old"), ("a",), (), ("Bo",))
    untouched = other.revision()
    assert store.merge(other.folder) == planned
    assert other.revision() == untouched
    other.merge(store.folder)
    assert store.entries("kitchen") == other.entries("kitchen")
    assert store.find("a").struck is not None
    assert not store.merge(other.folder).changes_anything
    assert store.undo("", AT).did == "merged"
    assert store.find("theirs").struck is not None


def test_lines_that_say_something_else_are_told_and_ours_stays(store: Store, tmp_path: Path) -> None:
    other = Store.open(tmp_path / "o")
    other.record([note("a", text="something else")])
    planned = store.merge_plan(other.folder)
    assert planned.differing == ("a",)
    assert not planned.changes_anything
    store.merge(other.folder)
    assert store.find("a").note == "a"
    with pytest.raises(StoreError, match="no store here"):
        store.merge(tmp_path / "nowhere")


def test_what_each_of_several_copies_of_the_farm_brings_is_told(store: Store, tmp_path: Path) -> None:
    store.change_farm(lambda farm: farm)
    other = Store.open(shutil.copytree(store.folder, tmp_path / "o"))
    shutil.copy(store.folder / "farm.json", store.folder / "farm (conflicted copy 2).json")
    other.change_farm(lambda farm: replace(farm, keepers=("Bo",)))
    shutil.copy(other.folder / "farm.json", store.folder / "farm (conflicted copy 1).json")
    for words in (("--try",), ()):
        ran = run(store.folder, "store", "merge", *words)
        assert (ran.code, "new keepers: Bo" in ran.out + ran.err) == (0, True), "the second one brings nothing"
    assert Store.open(store.folder).farm().keepers == ("Bo",)
    assert store.conflict_copies() == ()


def test_joining_does_not_depend_on_order() -> None:
    dice = random.Random(5)
    base = {"id": "a", "bin": "kitchen", "when": AT.isoformat(), "kind": "note", "note": "n"}
    for _ in range(300):
        copies = []
        for name in ("Ana", "Bo", "Cy"):
            document = dict(base)
            for _ in range(dice.randint(0, 3)):
                moment = AT + timedelta(minutes=dice.randint(0, 5))
                if "struck" in document:
                    document = without_strike(document, name, moment)
                else:
                    document = with_strike(document, "why", name, moment)
            copies.append(document)
        one, two, three = copies
        assert joined(one, two) == joined(two, one)
        assert joined(joined(one, two), three) == joined(one, joined(two, three))
        assert joined(one, joined(one, two)) == joined(one, two)


def test_strikes_of_another_copy_come_with_its_lines_in_one_step(store: Store) -> None:
    before = store.find("m")
    struck = replace(before, struck=Strike("twice", "Bo", AT))
    written = store.record([note("new")], did="imported", joins=[struck])
    assert [entry.id for entry in written] == ["new"]
    assert [store.find(name).struck for name in ("m", "m~")] == [struck.struck] * 2
    change = store.last_change()
    assert change is not None
    assert (change.wrote, set(change.struck)) == (("new",), {"m", "m~"})
    store.undo("", AT)
    assert store.find("m").struck is None
    assert store.find("new").struck is not None
    # The other copy is older than the lifting: what happened since stays.
    store.record([], joins=[struck])
    assert store.find("m").struck is None


def test_a_line_that_says_something_else_is_not_joined_and_nothing_is_saved(store: Store) -> None:
    revision = store.revision()
    with pytest.raises(RefusedError, match="an id that no other line has"):
        store.record([note("new")], joins=[replace(note("a", text="other"), struck=Strike("x", "", AT))])
    assert store.revision() == revision


def test_settings_of_two_copies_are_put_together_or_told(store: Store, tmp_path: Path) -> None:
    other = Store.open(tmp_path / "o", clock=lambda: AT)
    summer, winter = Away(date(2026, 7, 1), date(2026, 7, 9)), Away(date(2026, 12, 20), date(2027, 1, 2))
    ours = Settings(feed_days=("TU",), away=(summer,), tares={"tub": 0.2}, buckets=(Bucket("a", ("1 kg kale",)),))
    theirs = Settings(
        feed_days=("SA",), away=(winter,), tares={"tub": 0.3, "box": 0.5}, check_every_days=5,
        buckets=(Bucket("b", ("1 kg kale",)),),
    )  # fmt: skip
    store.change_farm(lambda farm: replace(farm, settings=ours))
    other.change_farm(lambda farm: replace(farm, settings=theirs))
    planned = store.merge_plan(other.folder)
    assert planned.settings
    assert set(planned.differing) == {"setting feed days", "setting tares tub"}
    store.merge(other.folder)
    assert store.farm().settings == replace(
        ours, away=(summer, winter), tares={"tub": 0.2, "box": 0.5}, check_every_days=5,
        buckets=(*ours.buckets, *theirs.buckets),
    )  # fmt: skip


def test_half_written_files_beside_the_log_are_swept_at_the_next_start(store: Store) -> None:
    store.desk.keep_form("check-kitchen", {"temp": "21"})
    for folder in ("", "drafts", "cache", "bins/kitchen"):
        (store.folder / folder).mkdir(exist_ok=True)
        (store.folder / folder / f".x.json.{2**22 + 1}-00ff.part").write_text("half")
    Store.open(store.folder)
    assert not list(store.folder.rglob("*.part"))
    assert store.desk.form("check-kitchen") == {"temp": "21"}


@pytest.mark.skipif(sys.platform == "win32", reason="asks whether a process runs")
def test_what_is_just_being_written_without_the_lock_is_left_alone_by_another_start(store: Store) -> None:
    """A form is kept while another thread of the program opens the store: its half-written file is not swept."""
    store.desk.keep_form("check-kitchen", {"temp": "21"})
    replace_file = store.disk.replace

    def opened_meanwhile(old: Path, new: Path) -> None:
        Store.open(store.folder)
        replace_file(old, new)

    store.disk.replace = opened_meanwhile  # type: ignore[method-assign]
    store.desk.keep_form("check-kitchen", {"temp": "22"})
    assert store.desk.form("check-kitchen") == {"temp": "22"}


def test_what_counts_wrongly_is_not_sound(store: Store) -> None:
    assert store.check().sound
    path = store.folder / "bins/kitchen/2026.json"
    line = next(row for row in path.read_text().split("\n") if '"id": "m"' in row)
    struck = line.replace('"id": "m"', '"id": "m", "struck": {"why": "x", "by": "", "at": "2026-03-02T19:00:00+00:00"}')
    path.write_text(path.read_text().replace(line, struck))
    store.accept(path)
    report = store.check()
    assert any("only one half is struck" in flaw.what for flaw in report.flaws)
    assert not report.sound
