"""The report from the command line: the file it writes, what it will not write over, and its figures."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.running import run


def test_it_writes_one_file_and_says_so(store: Path, tmp_path: Path) -> None:
    out = tmp_path / "kitchen.html"
    ran = run(store, "report", "kitchen", "--out", str(out))
    assert (ran.code, ran.out) == (0, "")
    assert "report of Kitchen, 2026-04-22 to 2026-06-01, written to" in ran.err
    assert out.read_text("utf-8").rstrip().endswith("</html>")
    assert run(store, "report", "kitchen", "--out", str(out)).code == 0, "a newer report replaces an older one"


def test_names_are_warned_of_and_left_out_of_what_several_read_too(store: Path, tmp_path: Path) -> None:
    out = tmp_path / "kitchen.html"
    for name, wet in (("Cleo", "77"), ("Dora", "79")):
        run(store, "check", "kitchen", "--moisture", wet, "--by", name, "--when", "2026-06-01", "--yes")
    assert "Cleo, Dora" in run(store, "report", "kitchen", "--out", str(out)).err
    assert "Cleo" in out.read_text("utf-8")
    bare = run(store, "report", "kitchen", "--out", str(out), "--names", "none")
    assert "Nobody is named in it" in bare.err
    assert "Cleo" not in out.read_text("utf-8")


def test_another_file_is_kept_until_somebody_says_yes(store: Path, tmp_path: Path) -> None:
    out = tmp_path / "diary.html"
    out.write_text("my diary", "utf-8")
    ran = run(store, "report", "kitchen", "--out", str(out))
    assert ran.code == 1
    assert "is there already, and is no report of a bin" in ran.err
    assert "Nothing was written. Choose another name, or add --yes" in ran.err
    assert out.read_text("utf-8") == "my diary"
    assert run(store, "report", "kitchen", "--out", str(out), "--yes").code == 0
    assert out.read_text("utf-8").startswith("<!DOCTYPE html>")


def test_a_folder_that_is_none_is_told(store: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", "utf-8")
    ran = run(store, "report", "kitchen", "--out", str(tmp_path / "file" / "k.html"))
    assert ran.code == 3
    assert "Nothing was changed. Choose another, or look at it." in ran.err


def test_json_has_the_figures_of_the_outlook(store: Path, tmp_path: Path) -> None:
    out = tmp_path / "k.html"
    ran = run(store, "report", "kitchen", "--json", "--out", str(out))
    assert out.exists()
    said, outlook = json.loads(ran.out), json.loads(run(store, "outlook", "kitchen", "--json").out)
    assert said["file"] == str(out)
    assert said["state"] == outlook["state"]
    assert {name: said["harvest"][name] for name in outlook["harvest"]} == outlook["harvest"]
    moisture = next(each for each in said["charts"] if each["figure"] == "moisture")
    assert moisture["worked_out"][-1] == {"date": "2026-06-01", "value": outlook["state"]["moisture"]}
    ahead = {each["date"]: each["moisture"] for each in outlook["series"]}
    assert all(each["value"] == ahead[each["date"]] for each in moisture["ahead"])
    assert moisture["ahead"]
