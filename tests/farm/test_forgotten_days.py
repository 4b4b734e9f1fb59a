"""Causes of signs, forgotten days, a line given back to be put right, and pages to print."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import log_files, recording
from wormbin.farm.recording.lines import record_caught_up, record_feeding, record_not_known, write
from wormbin.farm.reports import write_page
from wormbin.problems import RefusedError
from wormbin.records.entries import Feeding, Kind, Note, standing


def test_a_sign_of_dying_comes_first_and_every_sign_gets_a_cause(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    causes = recording.troubles(farm, "kitchen", {"seen": "mites, ants, dead worms", "smell": "sour"})
    assert causes[0].finding.code == "dying"
    assert len(causes) >= 4
    assert all(cause.finding.do and cause.log_says for cause in causes)


def test_what_the_log_speaks_for_goes_before_what_it_is_silent_on(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    record_feeding(farm, "kitchen", ["12 kg vegetable scraps"], anyway=True)
    causes = recording.troubles(farm, "kitchen", {"seen": "ants, fruit flies"})
    assert [cause.supported for cause in causes] == sorted((cause.supported for cause in causes), reverse=True)
    assert any(cause.supported and cause.log_says.startswith("speaks for it") for cause in causes)


def test_asking_for_causes_writes_nothing(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = farm.entries("kitchen")
    recording.troubles(farm, "kitchen", {"seen": "mites"})
    assert farm.entries("kitchen") == before


def test_forgotten_days_are_offered_and_caught_up_all_at_once(tmp_path: Path) -> None:
    kitchen(tmp_path)
    farm = open_farm(tmp_path, NOW + timedelta(days=21))
    (gap,) = recording.forgotten(farm, "kitchen")
    assert gap.days[-1] == (NOW + timedelta(days=20)).date()
    assert gap.likely
    assert gap.bucket
    before = standing(farm.entries("kitchen"))
    record_caught_up(farm, "kitchen", gap.likely, gap.bucket, "ada")
    new = [entry for entry in standing(farm.entries("kitchen")) if entry not in before]
    assert [entry.when.date() for entry in new] == list(gap.likely)
    assert all(isinstance(entry.what, Feeding) and entry.by == "ada" for entry in new)


def test_a_bucket_that_is_not_understood_catches_nothing_up(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = farm.entries("kitchen")
    with pytest.raises(RefusedError):
        record_caught_up(farm, "kitchen", [NOW.date() - timedelta(days=1)], "some stuff")
    assert farm.entries("kitchen") == before


def test_not_known_is_written_as_a_note_that_invents_nothing_and_is_not_asked_again(tmp_path: Path) -> None:
    kitchen(tmp_path / "store")
    farm = open_farm(tmp_path / "store", NOW + timedelta(days=21))
    (gap,) = recording.forgotten(farm, "kitchen")
    (written,) = record_not_known(farm, "kitchen", gap).ids
    last = farm.store.find(written)
    assert last.what == Note(gap.first, gap.last)
    assert "nothing is known" in last.note
    assert recording.forgotten(farm, "kitchen") == ()
    recording.strike(farm, written, "it is known after all")
    assert recording.forgotten(farm, "kitchen") == (gap,)


def test_days_of_which_nothing_is_known_come_along_in_an_export(tmp_path: Path) -> None:
    kitchen(tmp_path / "store")
    farm = open_farm(tmp_path / "store", NOW + timedelta(days=21))
    (gap,) = recording.forgotten(farm, "kitchen")
    record_not_known(farm, "kitchen", gap)
    log_files.write_out(farm, tmp_path / "files")
    other = open_farm(tmp_path / "other", NOW + timedelta(days=21))
    log_files.bring_in(other, tmp_path / "files")
    assert other.entries("kitchen") == farm.entries("kitchen")
    assert recording.forgotten(other, "kitchen") == ()


def test_every_gap_is_offered_the_newest_first_by_the_name_of_what_was_fed(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    record_feeding(farm, "kitchen", ["300 g melon rind"], anyway=True)
    for days in (20, 45):
        write(open_farm(tmp_path, NOW + timedelta(days=days)), "kitchen", Kind.CHECK, {"squeeze": "damp"})
    gaps = recording.forgotten(open_farm(tmp_path, NOW + timedelta(days=70)), "kitchen")
    assert [(gap.first - NOW.date()).days for gap in gaps] == [46, 21, 1]
    assert gaps[-1].bucket.endswith(" melon rind")


def test_a_page_is_written_whole_and_never_over_another(tmp_path: Path) -> None:
    path = write_page(str(tmp_path / "page.txt"), ["one  ", "two"])
    assert path.read_text("utf-8") == "one\ntwo\n"
    with pytest.raises(RefusedError, match="not taken"):
        write_page(str(path), ["three"])
    assert path.read_text("utf-8") == "one\ntwo\n"


@pytest.mark.parametrize("name", ["", "  ", "no/such/folder/page.txt", "x\0y"])
def test_a_page_that_cannot_be_written_is_refused_in_one_sentence(name: str) -> None:
    with pytest.raises(RefusedError, match="file:"):
        write_page(name, ["one"])
