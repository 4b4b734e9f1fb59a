"""Sheets for a spreadsheet lesson, read back as a spreadsheet reads them (RFC 4180, a UTF-8 mark, days of ISO 8601)."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

from tests.cli.running import run, store

__all__ = ["store"]


def sheet(folder: Path, name: str) -> list[dict[str, str]]:
    raw = (folder / f"{name}.csv").read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf"), "the mark by which a spreadsheet knows UTF-8"
    return list(csv.DictReader(raw.decode("utf-8-sig").splitlines()))


def test_every_quantity_has_a_sheet_of_readings_and_bands(store: Path, tmp_path: Path) -> None:
    run(store, "check", "kitchen", "--depth", "12cm", "--by", "Ana", "--when", "2026-05-30", "--yes")
    ran = run(store, "export", str(tmp_path / "lesson"), "--lesson")
    assert ran.code == 0, ran.err
    names = {each.stem for each in (tmp_path / "lesson").iterdir()}
    assert names == {
        "moisture", "temperature", "feed-waiting", "feed-left", "castings-share", "worms", "depth", "weight", "words"
    }  # fmt: skip
    depth = sheet(tmp_path / "lesson", "depth")
    (read,) = [each for each in depth if each["read or worked out"] == "read"]
    assert (read["day"], read["value (cm)"], read["who"], read["low (cm)"]) == ("2026-05-30", "12", "Ana", "")
    made = [each for each in depth if each["read or worked out"] == "worked out"]
    assert [date.fromisoformat(each["day"]) for each in made] == sorted({date.fromisoformat(e["day"]) for e in made})
    assert all(float(e["low (cm)"]) <= float(e["value (cm)"]) <= float(e["high (cm)"]) for e in made)
    assert len(made) >= 40, "a row for each day of the bin"
    assert {each["value (%)"] for each in sheet(tmp_path / "lesson", "feed-left")} == {"20"}


def test_a_squeeze_is_told_from_a_meter(store: Path, tmp_path: Path) -> None:
    run(store, "check", "kitchen", "--squeeze", "sponge", "--when", "2026-05-29", "--yes")
    run(store, "check", "kitchen", "--moisture", "77", "--moisture-by", "meter", "--when", "2026-05-30", "--yes")
    run(store, "export", str(tmp_path / "lesson"), "--lesson")
    read = {each["day"]: each["read or worked out"] for each in sheet(tmp_path / "lesson", "moisture")
            if each["who"] or each["low (%)"] == ""}  # fmt: skip
    assert (read["2026-05-29"], read["2026-05-30"]) == ("read, squeeze", "read, meter")


def test_the_sheets_are_in_the_units_that_are_set(store: Path, tmp_path: Path) -> None:
    run(store, "settings", "units", "us")
    run(store, "export", str(tmp_path / "lesson"), "--lesson")
    read = [each for each in sheet(tmp_path / "lesson", "temperature") if each["read or worked out"] == "read"]
    assert {each["value (°F)"] for each in read} == {"69.8"}, "21 C is 69.8 F"


def test_somebody_elses_file_is_not_written_over(store: Path, tmp_path: Path) -> None:
    (tmp_path / "depth.csv").write_text("my own notes")
    assert run(store, "export", str(tmp_path), "--lesson").code == 2
    assert (tmp_path / "depth.csv").read_text() == "my own notes"
    assert run(store, "export", str(tmp_path), "--lesson", "--yes").code == 0
    again = run(store, "export", str(tmp_path), "--lesson")
    assert again.code == 2, "somebody may have worked in them"
    assert "words.txt already" in again.err


def test_bins_stand_side_by_side_too_and_small_masses_are_in_grams(store: Path, tmp_path: Path) -> None:
    assert run(store, "start", "leaf", "--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes").code == 0
    run(store, "check", "leaf", "--temp", "18 C", "--yes")
    assert run(store, "export", str(tmp_path / "l"), "--lesson").code == 0
    beside = sheet(tmp_path / "l", "temperature-side-by-side")
    assert beside[-1]["leaf, read (°C)"] == "18"
    assert {"day", "Kitchen, worked out (°C)"} <= set(beside[-1])
    worms = sheet(tmp_path / "l", "worms")
    assert all(len(each["value (g)"].strip("0").replace(".", "")) <= 2 for each in worms if each["low (g)"])
