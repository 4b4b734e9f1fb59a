"""Causes of signs, forgotten days, a line given back to be put right, and pages to print."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, farmstead, kitchen
from wormbin.farm import log_files, logbook, recording, starts
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import (
    record_bedding,
    record_caught_up,
    record_check,
    record_feeding,
    record_harvest,
    record_move,
    record_not_known,
    record_stocking,
    record_survey,
    record_water,
    record_weighing,
)
from wormbin.farm.reports import write_page
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.proposals import BinDraft, CheckDraft
from wormbin.problems import RefusedError
from wormbin.records.entries import Entry, Feeding, Kind, Note, standing


def test_a_sign_of_dying_comes_first_and_every_sign_gets_a_cause(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    causes = recording.troubles(farm, "kitchen", CheckDraft(seen="mites, ants, dead worms", smell="sour"))
    assert causes[0].finding.code == "dying"
    assert len(causes) >= 4
    assert all(cause.finding.do and cause.log_says for cause in causes)


def test_what_the_log_speaks_for_goes_before_what_it_is_silent_on(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    record_feeding(farm, "kitchen", ["12 kg vegetable scraps"], anyway=True)
    causes = recording.troubles(farm, "kitchen", CheckDraft(seen="ants, fruit flies"))
    assert [cause.supported for cause in causes] == sorted((cause.supported for cause in causes), reverse=True)
    assert any(cause.supported and cause.log_says.startswith("speaks for it") for cause in causes)


def test_asking_for_causes_writes_nothing(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = farm.entries("kitchen")
    recording.troubles(farm, "kitchen", CheckDraft(seen="mites"))
    assert farm.entries("kitchen") == before


def test_forgotten_days_are_offered_and_caught_up_all_at_once(tmp_path: Path) -> None:
    kitchen(tmp_path)
    farm = farmstead(tmp_path, NOW + timedelta(days=21))
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
    farm = farmstead(tmp_path / "store", NOW + timedelta(days=21))
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
    farm = farmstead(tmp_path / "store", NOW + timedelta(days=21))
    (gap,) = recording.forgotten(farm, "kitchen")
    record_not_known(farm, "kitchen", gap)
    log_files.write_out(farm, tmp_path / "files")
    other = farmstead(tmp_path / "other", NOW + timedelta(days=21))
    log_files.bring_in(other, tmp_path / "files")
    assert other.entries("kitchen") == farm.entries("kitchen")
    assert recording.forgotten(other, "kitchen") == ()


def test_every_gap_is_offered_the_newest_first_by_the_name_of_what_was_fed(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    record_feeding(farm, "kitchen", ["300 g melon rind"], anyway=True)
    for days in (20, 45):
        record_check(farmstead(tmp_path, NOW + timedelta(days=days)), "kitchen", CheckDraft(squeeze="damp"))
    gaps = recording.forgotten(farmstead(tmp_path, NOW + timedelta(days=70)), "kitchen")
    assert [(gap.first - NOW.date()).days for gap in gaps] == [46, 21, 1]
    assert gaps[-1].bucket.endswith(" melon rind")


Write = Callable[[Session, dict[str, str], Heading], Recorded]


def _check(fields: dict[str, str]) -> CheckDraft:
    return CheckDraft(**{name: words for name, words in fields.items() if name in CheckDraft.__slots__})


WRITE: dict[Kind, Write] = {
    Kind.CHECK: lambda farm, said, head: record_check(farm, "kitchen", _check(said), head),
    Kind.WATERING: lambda farm, said, head: record_water(farm, "kitchen", said["amount"], head),
    Kind.WEIGHING: lambda farm, said, head: record_weighing(farm, "kitchen", said["amount"], heading=head),
    Kind.SURVEY: lambda farm, said, head: record_survey(farm, "kitchen", [said["samples"]], said["area"], head),
    Kind.FEEDING: lambda farm, said, head: record_feeding(farm, "kitchen", [said["bucket"]], heading=head, anyway=True),
    Kind.BEDDING: lambda farm, said, head: record_bedding(farm, "kitchen", [said["portions"]], head),
    Kind.HARVEST: lambda farm, said, head: record_harvest(
        farm,
        "kitchen",
        said["castings"],
        moisture=said["moisture"],
        worms_out=said["worms_out"],
        left_behind=said["left_behind"],
        heading=head,
    ),
    Kind.STOCKING: lambda farm, said, head: record_stocking(farm, "kitchen", said["worms"], heading=head),
    Kind.MOVE: lambda farm, said, head: record_move(farm, "kitchen", said["to"], said["worms"], head),
}


def test_every_kind_of_line_is_given_back_so_that_it_reads_the_same(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    starts.start(farm, BinDraft(key="other", name="Other", length="60 cm", width="40 cm", depth="30 cm", worms="200 g"))
    record_check(farm, "kitchen", CheckDraft(squeeze="sponge", left="30%", temp="21C", seen="mites, flies", ph="7"))
    record_water(farm, "kitchen", "0.5 L", Heading(note="dry"))
    record_weighing(farm, "kitchen", "6.4 kg")
    record_survey(farm, "kitchen", ["12 g", "9 g"], "225 cm2")
    record_move(farm, "kitchen", "other", "50 g")
    record_harvest(farm, "kitchen", "1 kg", moisture="70%", worms_out="20 g", left_behind="12.5%")
    seen = set()
    for entry in standing(farm.entries("kitchen")):
        if entry.kind in WRITE and entry.kind not in seen:
            seen.add(entry.kind)
            fields = dict(logbook.typed_line(farm, entry.id).fields)
            heading = Heading(when=fields["when"], note=fields.get("note", ""), replaces=entry.id)
            new = farm.store.find(WRITE[entry.kind](farm, fields, heading).ids[0])
            assert unsaid(new) == unsaid(entry)
            assert new.when == entry.when
            assert new.note == entry.note
    assert seen == set(WRITE)


def unsaid(entry: Entry) -> str:
    """What a line says, but for the words it was said in."""
    return re.sub(r"said='[^']*'", "", repr(entry.what))


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
