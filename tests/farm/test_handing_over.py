"""A bin handed over and taken in elsewhere: its log, its lots, a page; nothing of the farm's other bins is needed."""

from __future__ import annotations

import json
from pathlib import Path
from zipfile import ZipFile

from tests.cli.running import run, store

__all__ = ["store"]
ATTIC = ("start", "attic", "--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes")


def test_a_bin_goes_over_whole_and_alone(store: Path, tmp_path: Path) -> None:
    run(store, *ATTIC)
    run(store, "move", "kitchen", "attic", "50 g", "--yes")
    run(store, "harvest", "kitchen", "1 kg", "--lot", "may", "--yes")
    run(store, "comparison", "kitchen", "attic", "--question", "which?", "--about", "depth", "--until", "2026-08-01")
    file = tmp_path / "kitchen.zip"
    assert run(store, "hand-over", "kitchen", "--out", str(file)).code == 0
    assert run(store, "hand-over", "kitchen", "--out", str(file)).code == 2, "nothing is written over unasked"
    names = {"about.html", "bins.csv", "castings.csv", "log.csv", "materials.csv", "settings.csv"}
    assert set(ZipFile(file).namelist()) == names
    other = tmp_path / "other"
    ran = run(other, "take-in", str(file))
    assert ran.code == 0, ran.err
    ours, theirs = (json.loads(run(each, "outlook", "kitchen", "--json").out)["state"] for each in (store, other))
    assert theirs == ours, "the same log comes to the same bin"
    assert "may" in run(other, "castings", "list").out
    log = " ".join(run(other, "log", "kitchen", "--last", "0").out.split())
    assert "moved to attic" in log
    assert "compared with attic until 2026-08-01: which?" in log
    assert json.loads(run(other, "round", "--json").out)["bins"][0]["bin"] == "kitchen"


def test_a_name_that_is_taken_is_asked_for_anew(store: Path, tmp_path: Path) -> None:
    file = tmp_path / "kitchen.zip"
    run(store, "hand-over", "kitchen", "--out", str(file))
    held = run(store, "take-in", str(file))
    assert held.code == 2
    assert "--as kitchen-2" in held.err
    other = tmp_path / "other"
    assert run(other, *ATTIC[:1], "kitchen", *ATTIC[2:]).code == 0
    ran = run(other, "take-in", str(file), "--as", "room-12")
    assert ran.code == 0, ran.err
    assert "Ana" in run(other, "log", "room-12").out
    assert run(other, "take-in", str(file), "--as", "Room 12!").code == 2


def test_what_is_no_such_file_is_refused_and_changes_nothing(store: Path, tmp_path: Path) -> None:
    before = run(store, "round", "--json").out
    (tmp_path / "a.zip").write_bytes(b"no zip at all")
    with ZipFile(tmp_path / "b.zip", "w") as file:
        file.writestr("../log.csv", "when,bin,kind\n")
    for name in ("a.zip", "b.zip", "none.zip"):
        ran = run(store, "take-in", str(tmp_path / name))
        assert ran.code == 2
        assert "hand-over wrote" in ran.err
    assert run(store, "round", "--json").out == before


def test_who_is_on_the_list_stays_here_and_who_wrote_goes_as_is_said(store: Path, tmp_path: Path) -> None:
    run(store, "keepers", "--add", "Cleo, Dora")
    run(store, "settings", "school-days", "daily")
    run(store, "settings", "pupil-away", "Dora: today")
    written = json.loads(run(store, "note", "kitchen", "smells well", "--by", "Cleo", "--json").out)
    run(store, "strike", written["entries"][0], "--why", "twice", "--by", "Cleo")
    for names, there, gone in (
        ("full", ("Cleo",), ("Dora",)),
        ("initials", ("C.",), ("Cleo", "Dora")),
        ("none", (), ("Cleo", "C.", "Dora")),
    ):
        file = tmp_path / f"{names}.zip"
        ran = run(store, "hand-over", "kitchen", "--out", str(file), "--names", names)
        assert ran.code == 0, ran.err
        with ZipFile(file) as held:
            text = "\n".join(held.read(each).decode() for each in held.namelist() if each.endswith(".csv"))
        for each in there:
            assert each in text
            assert each in ran.out
        assert not [each for each in gone if each in text + ran.out]
        assert run(tmp_path / names, "take-in", str(file)).code == 0
