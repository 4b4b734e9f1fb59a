"""The store kept from the command line: looked over, mended, copied, brought back, joined."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from tests.cli.running import run
from tests.farm.a_farm import open_farm
from wormbin.farm.recording.lines import write
from wormbin.records.entries import Kind


def lines_of(store: Path) -> list[str]:
    return [each["words"] for each in json.loads(run(store, "log", "kitchen", "--last", "0", "--json").out)["entries"]]


def backed_up(store: Path) -> str:
    assert run(store, "store", "backup").code == 0
    return sorted(path.name for path in (store / "backups").iterdir())[-1]


def test_a_restore_without_anybody_to_ask_shows_what_would_change_and_changes_nothing(store: Path) -> None:
    name = backed_up(store)
    run(store, "note", "kitchen", "written later")
    before = lines_of(store)
    for words in ((), ("--json",)):
        ran = run(store, "store", "restore", name, *words)
        assert ran.code == 1
        assert "kitchen 2026: 0 lines back, 1 gone, 0 changed" in ran.err
        assert "--yes brings the backup back" in ran.err
        assert bool(ran.out) == bool(words)
        assert not words or json.loads(ran.out)["changed"] is False
    assert lines_of(store) == before
    assert run(store, "store", "restore", name, "--try").code == 0
    assert lines_of(store) == before
    done = run(store, "store", "restore", name, "--yes", "--json")
    assert (done.code, json.loads(done.out)["changed"]) == (0, True)
    assert lines_of(store) == before[:-1]
    newest = sorted(path.name for path in (store / "backups").iterdir())[-1]
    assert newest.endswith("before-restore"), "what it replaced is kept"
    again = run(store, "store", "restore", name, "--yes")
    assert (again.code, "nothing changes" in again.out) == (0, True)


def test_a_restore_names_the_castings(store: Path) -> None:
    name = backed_up(store)
    write(open_farm(store), "kitchen", Kind.HARVEST, {"castings": "500 g", "moisture": "70", "lot": "may"})
    assert "castings 2026: 0 lines back, 1 gone" in run(store, "store", "restore", name, "--try").out


def test_one_bins_log_is_brought_back_alone(store: Path) -> None:
    name = backed_up(store)
    run(store, "start", "attic", "--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes")
    run(store, "note", "kitchen", "written later")
    before = lines_of(store)
    shown = run(store, "store", "restore", name, "--bin", "kitchen", "--try").out
    assert f"kitchen alone, out of {name}, would be brought back" in " ".join(shown.split())
    assert run(store, "store", "restore", name, "--bin", "kitchen", "--yes").code == 0
    again = run(store, "store", "restore", name, "--bin", "kitchen", "--yes")
    assert "kitchen is as it was in" in again.out
    assert lines_of(store) == before[:-1]
    assert run(store, "log", "attic").out, "another bin stays"


def test_a_restore_without_a_name_names_the_backups_there_are(store: Path) -> None:
    name = backed_up(store)
    ran = run(store, "store", "restore")
    assert (ran.code, ran.out) == (2, "")
    assert name in ran.err


def test_a_mended_file_is_taken_as_it_is_and_a_torn_one_is_not(store: Path) -> None:
    run(store, "note", "kitchen", "written wrung")
    slip = next((store / "bins" / "kitchen").glob("*.slip.json"), store / "bins/kitchen/2026.json")
    slip.write_text(slip.read_text("utf-8").replace("written wrung", "written wrong"), "utf-8")
    ran = run(store, "store", "check")
    assert ran.code == 3
    assert slip.name in ran.out
    assert "--accept" in ran.out, "the way out is named"
    inside = slip.relative_to(store)
    for path in (str(slip), str(inside)):
        ran = run(store, "store", "check", "--accept", path)
        assert (ran.code, f"{slip.name} is taken as it now is." in ran.out) == (0, True), ran.err
    assert run(store, "log", "kitchen", "--last", "1").out.count("written wrong") == 1
    slip.write_text(slip.read_text("utf-8")[:-40], "utf-8")
    torn = slip.read_bytes()
    ran = run(store, "store", "check", "--accept", str(slip))
    assert (ran.code, ran.out) == (3, "")
    assert slip.read_bytes() == torn


def test_only_a_file_of_the_store_is_accepted(store: Path, tmp_path: Path) -> None:
    other = tmp_path / "2026.json"
    other.write_text("{}")
    for path in (str(other), "nowhere.json", "../2026.json"):
        ran = run(store, "store", "check", "--accept", path)
        assert (ran.code, ran.out) == (2, ""), path
    assert run(store, "store", "check", "--accept", str(store / "cache")).code == 3
    assert other.read_text() == "{}"


def test_another_copy_is_joined_and_taken_back(store: Path, tmp_path: Path) -> None:
    shutil.copytree(store, tmp_path / "laptop")
    run(tmp_path / "laptop", "note", "kitchen", "written on the laptop")
    run(tmp_path / "laptop", "keepers", "--add", "Bo")
    before = lines_of(store)
    tried = run(store, "store", "merge", str(tmp_path / "laptop"), "--try")
    assert (tried.code, lines_of(store)) == (0, before)
    assert "1 line to take over; nothing was changed" in tried.out
    assert run(store, "store", "merge", str(tmp_path / "laptop")).code == 0
    assert "new keepers: Bo" in tried.out
    assert len(lines_of(store)) == len(before) + 1
    again = run(store, "store", "merge", str(tmp_path / "laptop"), "--json")
    assert json.loads(again.out)["changed"] is False
    assert run(store, "undo").code == 0
    assert "written on the laptop" not in run(store, "log", "kitchen", "--last", "0").out


def test_a_conflict_copy_is_noticed_in_the_round_and_merged(store: Path) -> None:
    ran = run(store, "store", "merge")
    assert (ran.code, ran.out) == (2, "")
    assert "wormbin store merge FOLDER" in ran.err
    run(store, "note", "kitchen", "written at both")
    book = store / "bins" / "kitchen"
    slip = next(book.glob("*.slip.json"))
    copy = book / "2026.slip (conflicted copy 2026-06-01).json"
    shutil.copy(slip, copy)
    run(store, "undo")
    assert "2026.slip (conflicted copy" in run(store, "round").out
    assert "wormbin store merge --try" in " ".join(run(store, "round").out.split())
    before = lines_of(store)
    assert copy.name in run(store, "store", "merge", "--try").out
    assert copy.exists()
    ran = run(store, "store", "merge")
    assert ran.code == 0
    assert "moved to set-aside" in ran.out
    assert not copy.exists()
    assert list((store / "set-aside").rglob(copy.name)), "the copy is kept"
    assert lines_of(store) == before, "the same line twice is one line, and what was struck stays struck"
    assert "conflicted" not in run(store, "round").out


def test_options_that_do_not_go_together_are_said_so(store: Path) -> None:
    for words in (
        ("backup", "--accept", "x"), ("merge", "--yes"), ("check", "--bin", "kitchen"), ("check", "--try"),
        ("backup", "somewhere"), ("check", "somewhere"),
    ):  # fmt: skip
        ran = run(store, "store", *words)
        assert (ran.code, ran.out) == (2, ""), words
        assert "Try: wormbin store" in ran.err


def test_a_day_takes_the_newest_backup_of_that_day_and_says_which(store: Path) -> None:
    first = backed_up(store)
    run(store, "note", "kitchen", "written later")
    newest = backed_up(store)
    assert first != newest
    day = newest[:10]
    assert first.startswith(day)
    tried = run(store, "store", "restore", day, "--try")
    assert tried.code == 0, tried.err
    assert newest in tried.out
    run(store, "note", "kitchen", "later still")
    assert run(store, "store", "restore", day, "--yes").code == 0
    assert newest in run(store, "store", "restore", day, "--try").out
    vague = run(store, "store", "restore", day[:7], "--try")
    assert vague.code != 0
    assert newest in vague.err
