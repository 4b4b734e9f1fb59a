"""A harvest that says how much stayed in the bin: kept everywhere, and it teaches both ways."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen
from wormbin.farm.recording.lines import write
from wormbin.measures import mass
from wormbin.process.views import Day
from wormbin.records.entries import Harvest, Kind


def test_what_stayed_is_kept_in_log_files_and_when_a_line_is_put_right(tmp_path: Path) -> None:
    kitchen(tmp_path / "s")
    said = run(tmp_path / "s", "harvest", "kitchen", "1 kg", "--left-behind", "30%", "--yes")
    assert said.code == 0
    assert "30% of them left behind" in said.out
    assert run(tmp_path / "s", "export", str(tmp_path / "out")).code == 0
    assert "left_behind_pct" in (tmp_path / "out" / "log.csv").read_text()
    assert run(tmp_path / "again", "import", str(tmp_path / "out")).code == 0
    line = json.loads(run(tmp_path / "again", "log", "kitchen", "--kind", "harvest", "--json").out)["entries"][0]
    assert "30% of them left behind" in line["words"]
    assert run(tmp_path / "again", "amend", line["entry"], "1.1 kg", "--yes").code == 0
    assert "30% of them left behind" in run(tmp_path / "again", "log", "kitchen", "--last", "1").out


@pytest.mark.parametrize(("words", "code"), [("0", 0), ("95%", 0), ("96%", 2), ("-1", 2), ("most", 2)])
def test_what_stayed_is_a_share_that_can_be(words: str, code: int, tmp_path: Path) -> None:
    kitchen(tmp_path)
    found = run(tmp_path, "harvest", "kitchen", "500 g", f"--left-behind={words}", "--yes")
    assert found.code == code, found.err
    assert code == 0 or "castings left behind" in found.err


def harvested(folder: Path, share: float, left_behind: str) -> tuple[float, float, int]:
    """Castings before and after a harvest of ``share`` of all believed, dry kg, and how many harvests taught."""
    farm = kitchen(folder, days=120)
    before: Day = farm.scene("kitchen").past.today
    kg = share * before.castings_dry_kg.p50
    write(
        farm, "kitchen", Kind.HARVEST, {"castings": f"{kg / 0.3:.2f} kg", "moisture": "70%", "left_behind": left_behind}
    )
    past = farm.scene("kitchen").past
    taught = sum(each.quantity == "castings_kg" for each in past.judged)
    return before.castings_dry_kg.p50, past.today.castings_dry_kg.p50, taught


def test_a_small_harvest_teaches_once_it_is_known_what_stayed(tmp_path: Path) -> None:
    """35 % of what is believed was taken, and the eye says that this was 70 %: there was half of it."""
    before, unsaid, taught = harvested(tmp_path / "unsaid", 0.35, "")
    assert taught == 0
    assert unsaid == pytest.approx(0.65 * before, rel=0.02)
    before, said, taught = harvested(tmp_path / "said", 0.35, "30%")
    assert taught == 1
    assert said == pytest.approx(0.15 * before, rel=0.1)


def test_a_harvest_with_much_left_behind_teaches_that_there_was_more(tmp_path: Path) -> None:
    before, said, taught = harvested(tmp_path, 0.7, "50%")
    assert taught == 1
    assert said == pytest.approx(0.7 * before, rel=0.1)


def test_what_the_eye_saw_is_less_sure_than_a_weight_and_more_than_a_guess_of_the_rest(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=120)
    write(farm, "kitchen", Kind.HARVEST, {"castings": "1 kg", "moisture": "70%", "left_behind": "50%"})
    band = farm.scene("kitchen").past.today.castings_dry_kg
    assert 1.4 < band.p90 / band.p10 < 6.0, mass(band.p50, "metric")
    (line,) = [entry.what for entry in farm.entries("kitchen") if isinstance(entry.what, Harvest)]
    assert line.left_behind == 0.5
