"""A bin's particulars put right and its end, through the command line; the log keeps what was so."""

from __future__ import annotations

import csv
import json
from pathlib import Path

from tests.cli.running import run, store

__all__ = ["store"]


def test_what_is_put_right_stands_in_the_log_with_what_was_so(store: Path) -> None:
    ran = run(store, "change", "kitchen", "--tare", "2.4kg", "--site-temp", "17C", "--name", "Room 12")
    assert ran.code == 0
    log = " ".join(run(store, "log", "kitchen", "--last", "1").out.split())
    assert "box alone weighs: 2.4 kg, was not said" in log
    assert "usual room temperature: 17 °C, was 20 °C" in log
    assert "called: Room 12, was Kitchen" in log
    assert "box, inside" not in log, "what nobody changed is not told"


def test_a_new_tare_is_taken_off_weighings_that_are_in_the_log(store: Path) -> None:
    """Put right is what was always so: 14.2 kg with the box is a kilogram less of contents with a kilogram more box."""
    run(store, "change", "kitchen", "--tare", "2kg")
    run(store, "weigh", "kitchen", "14.2 kg", "--with-box")
    read = []
    for tare in ("2kg", "3kg"):
        run(store, "change", "kitchen", "--tare", tare)
        said = json.loads(run(store, "report", "kitchen", "--json").out)
        weight = next(each for each in said["charts"] if each["figure"] == "weight")
        read.append(weight["read"][-1]["value"])
    assert read[0] - read[1] == 1.0


def test_nothing_and_nonsense_are_refused_and_nothing_is_saved(store: Path) -> None:
    before = run(store, "log", "kitchen").out
    assert run(store, "change", "kitchen").code == 2
    assert run(store, "change", "kitchen", "--depth", "30").code == 2
    assert run(store, "change", "kitchen", "--beddings", "melon rind").code == 2
    assert run(store, "change", "kitchen", "--feeds", "newspaper").code == 2
    assert run(store, "change", "kitchen", "--feed-days", "someday").code == 2
    assert run(store, "log", "kitchen").out == before
    assert "says so already" in run(store, "change", "kitchen", "--name", "Kitchen").out


def test_a_bins_own_feeding_days_are_those_of_its_plan(store: Path) -> None:
    run(store, "change", "kitchen", "--feed-days", "wednesday")
    row = json.loads(run(store, "round", "--json").out)["bins"][0]
    assert row["next_feeding"] == "2026-06-03", "a Wednesday"
    run(store, "change", "kitchen", "--feed-days", "none")
    assert "was Wednesday" in run(store, "log", "kitchen", "--last", "1").out


def test_a_closed_bin_leaves_the_round_and_stays_in_reports(store: Path) -> None:
    assert run(store, "close", "kitchen").code == 2
    assert run(store, "close", "kitchen", "stolen").code == 2
    ran = run(store, "close", "kitchen", "given away", "--note", "to room 12")
    assert "closed: given away (to room 12)" in ran.out
    assert json.loads(run(store, "round", "--json").out)["bins"] == []
    assert json.loads(run(store, "round", "--json", "--on", "2026-05-20").out)["bins"] != []
    assert run(store, "report", "kitchen", "--json").code == 0
    again = run(store, "close", "kitchen", "died")
    assert again.code == 2
    assert "is closed since 2026-06-01" in again.err
    assert "opened again" in run(store, "close", "kitchen", "--reopen").out
    assert json.loads(run(store, "round", "--json").out)["bins"] != []


def test_a_closed_bin_says_since_when_and_how_to_open_it(store: Path) -> None:
    run(store, "start", "attic", "--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes")
    run(store, "comparison", "kitchen", "attic", "--question", "which?", "--about", "depth", "--until", "2026-08-01")
    assert "still going" in run(store, "compare").out
    run(store, "close", "kitchen", "harvested")
    assert "still going" not in run(store, "compare").out
    for words in (("sheet",), ("away", "--for", "12 days"), ("feed", "100 g kale"), ("water", "1 L")):
        ran = run(store, words[0], "kitchen", *words[1:])
        assert ran.code == 2, words
        assert "closed since 2026-06-01. Open it again: wormbin close kitchen --reopen" in ran.err
    assert run(store, "note", "kitchen", "castings went to the garden").code == 0
    assert run(store, "feed", "kitchen", "100 g kale", "--when", "2026-05-31", "--yes").code == 0, "written late"
    run(store, "close", "attic", "died")
    told = run(store, "round").out
    assert "All bins are closed." in told
    assert "attic is closed since 2026-06-01" in told


def particulars(store: Path) -> dict[str, str]:
    """The bin's line of the file that an export writes."""
    folder = store.parent / f"out-{len(list(store.parent.iterdir()))}"
    assert run(store, "export", str(folder)).code == 0
    return next(csv.DictReader((folder / "bins.csv").read_text("utf-8-sig").splitlines()))


def test_undo_sets_back_what_a_change_and_a_closing_set_and_redo_sets_it_again(store: Path) -> None:
    as_it_was = particulars(store)
    run(store, "change", "kitchen", "--tare", "2.4kg", "--name", "Room 12", "--feed-days", "wednesday")
    changed = particulars(store)
    run(store, "close", "kitchen", "harvested")
    closed = particulars(store)
    assert len({tuple(each.values()) for each in (as_it_was, changed, closed)}) == 3
    for words, stands in (("undo", changed), ("undo", as_it_was), ("redo", changed), ("redo", closed)):
        ran = run(store, words)
        assert ran.code == 0, ran.err
        assert particulars(store) == stands
    run(store, "undo")
    assert json.loads(run(store, "round", "--json").out)["bins"] != []


def test_undo_leaves_alone_what_was_set_otherwise_since(store: Path) -> None:
    """A file brought in, or a hand, may have set the tare meanwhile: only what still stands is set back."""
    run(store, "change", "kitchen", "--tare", "2.4kg", "--name", "Room 12")
    file = store / "farm.json"
    file.write_text(file.read_text("utf-8").replace('"Room 12"', '"Room 13"'), "utf-8")
    assert run(store, "store", "check", "--accept", str(file)).code == 0
    assert run(store, "undo").code == 0
    assert particulars(store)["name"] == "Room 13"
    assert particulars(store)["tare_kg"] == ""
