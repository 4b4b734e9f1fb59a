"""Slips at the command line: what is said of them, and where a held feeding's figures go."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import run

BOX = ("--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes")


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("slips")
    run(folder, "start", "kitchen", *BOX, "--started", "2026-05-20")
    return folder


@pytest.mark.parametrize(
    "words",
    [
        "feed kitchen 300g+kale", "feed kitchen 300g+kale --yes", "check kitchen --temp 21C", "fluff kitchen",
        "bedding kitchen 200g+kale", "water kitchen 1L", "drain kitchen 1L", "weigh kitchen 5kg", "stock kitchen 50g",
        "survey kitchen 9g --sample 9cm2", "move kitchen kitchen 5g", "harvest kitchen 1kg", "note kitchen hot",
        "castings sell may 1kg", "castings step may stock", "castings weigh may --mass 1kg", "castings use may 1kg",
    ],
)  # fmt: skip
@pytest.mark.parametrize("before", [True, False])
def test_a_command_that_writes_names_the_option_for_its_day_in_the_place_of_on(
    store: Path, words: str, before: bool
) -> None:
    log = run(store, "log", "kitchen", "--last", "0").out
    said = [word.replace("+", " ") for word in words.split()]
    ran = run(store, *(("--on", "2026-05-25", *said) if before else (*said, "--on", "2026-05-25")))
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.splitlines()[1] == "Say the day that it was with --when 2026-05-25."
    assert run(store, "log", "kitchen", "--last", "0").out == log


@pytest.mark.parametrize(
    ("words", "way"),
    [
        ("start attic --length 60cm --width 40cm --depth 30cm --yes", "with --started 2026-05-25"),
        ("undo", "Leave --on out"), ("redo", "Leave --on out"), ("strike a --why b", "Leave --on out"),
        ("settings units us", "Leave --on out"), ("keepers --add Ana", "Leave --on out"),
        ("import x", "Leave --on out"), ("store backup", "Leave --on out"),
    ],
)  # fmt: skip
def test_a_command_that_writes_today_has_no_day_to_ask_of(store: Path, words: str, way: str) -> None:
    ran = run(store, *words.split(), "--on", "2026-05-25")
    assert ran.code == 2
    assert way in ran.err
    assert "attic" not in run(store, "round").out


def test_what_only_asks_may_be_asked_as_of_a_day(store: Path) -> None:
    day = ("--on", "2026-05-25")
    assert run(store, "feed", "kitchen", "100 g kale", "--try", *day).code == 0
    assert run(store, "start", "attic", *BOX[:-1], *day).code == 0
    assert run(store, "settings", *day).code == 0


def test_a_bin_begins_on_the_day_that_is_said(store: Path) -> None:
    assert "Wed 20 May 2026" in run(store, "log", "kitchen").out or "2026-05-20" in run(store, "log", "kitchen").out
    assert "  day 0  " in run(store, "--on", "2026-05-20", "outlook", "kitchen", "--days", "5").out


def test_an_empty_store_says_that_there_is_no_bin_to_harvest(tmp_path: Path) -> None:
    assert run(tmp_path, "harvests").out.startswith("No bins yet.")


@pytest.mark.parametrize(
    ("words", "said", "unsaid"),
    [
        (("away", "kitchen", "--for", "12"), "for: “12” does not fit", "until"),
        (("feed", "kitchen", "50 g cofee grounds"), "Did you mean coffee-grounds?", "meat"),
        (("feed", "kitchen", "50 g kohlrabi"), "wormbin materials lists them", "did you mean"),
        (("feed", "kitchen", "0 g melon rind"), "“0 g melon rind” does not fit", "e+06"),
        (("water", "kitchen", "0 L"), "1,000,000 kg", "e+06"),
        (("chek", "kitchen"), "No command chek. Did you mean check", "choose from"),
        (("check", "kitchen", "--left", "30"), "no feed can be left", "what is it left of"),
    ],
)
def test_a_slip_is_answered_with_what_was_typed_and_the_way_out(
    store: Path, words: tuple[str, ...], said: str, unsaid: str
) -> None:
    ran = run(store, *words)
    assert ran.code != 0
    assert said in ran.err
    assert unsaid not in ran.err


def test_a_held_feeding_has_its_figures_on_standard_output_and_the_refusal_beside_it(store: Path) -> None:
    ran = run(store, "feed", "kitchen", "9 kg melon rind")
    assert ran.code == 1
    assert ran.out == run(store, "feed", "kitchen", "9 kg melon rind", "--try").out
    assert "Nothing was saved" in ran.err
    assert "air reaches" not in ran.err


def test_an_amendment_that_says_nothing_is_no_amendment(store: Path) -> None:
    line = json.loads(run(store, "log", "kitchen", "--json").out)["entries"][-1]["entry"]
    ran = run(store, "amend", line)
    assert (ran.code, ran.out) == (2, "")
    assert "what is right instead?" in ran.err
    assert json.loads(run(store, "log", "kitchen", "--json").out)["entries"][-1]["entry"] == line


def test_a_day_before_the_bin_is_named_as_it_was_said(store: Path) -> None:
    ran = run(store, "note", "kitchen", "x", "--when", "2025-01-01")
    assert "when: “2025-01-01” does not fit" in ran.err
    assert (
        "when: “300 days ago (2025-08-05)” does not fit"
        in run(store, "note", "kitchen", "x", "--when", "300 days ago").err
    )


def test_an_amended_move_needs_only_its_amount_and_missing_words_are_no_traceback(store: Path) -> None:
    assert run(store, "start", "attic", *BOX, "--worms", "400 g").code == 0
    assert run(store, "start", "cellar", *BOX).code == 0
    assert run(store, "move", "attic", "cellar", "100 g").code == 0
    (line,) = [
        each["entry"]
        for each in json.loads(run(store, "log", "attic", "--json").out)["entries"]
        if each["kind"] == "move"
    ]
    assert run(store, "amend", line, "60 g").code == 0
    assert "worms moved to cellar: 60 g" in run(store, "log", "attic", "--last", "1").out
    assert "worms moved in from attic: 60 g" in run(store, "log", "cellar", "--last", "1").out
    assert run(store, "check", "attic", "--squeeze", "damp").code == 0
    check = json.loads(run(store, "log", "attic", "--json").out)["entries"][-1]["entry"]
    ran = run(store, "amend", check, "--squeze", "dry")
    assert (ran.code, "Traceback" in ran.err) == (2, False)
    assert "No option --squeze. Did you mean --squeeze?" in ran.err


def test_a_bin_that_can_take_nothing_has_no_share_of_that(tmp_path: Path) -> None:
    """Over next to nothing it came out as thousands of millions."""
    run(tmp_path, "start", "kitchen", *BOX)
    run(tmp_path, "stock", "kitchen", "500 g", "--out", "--yes")
    said = json.loads(run(tmp_path, "feed", "kitchen", "1 kg kale", "--try", "--json").out)
    assert said["feed_up_to_kg"] == 0
    assert said["share"] is None


def test_a_heap_above_the_rim_is_asked_about_and_more_than_that_cannot_be(store: Path) -> None:
    assert "35 cm of contents in a box of 30 cm" in run(store, "check", "kitchen", "--depth", "35 cm").err
    for depth, allowed in (("45 cm", "0 to 40 cm. The box is 30 cm deep"), ("18 in", "The box is 12 in deep")):
        ran = run(store, "check", "kitchen", "--depth", depth, "--yes", "--units", "us" if "in" in depth else "metric")
        assert ran.code == 2
        assert allowed in ran.err


def test_meat_that_did_go_in_is_held_back_once_and_then_stands_in_the_log(tmp_path: Path) -> None:
    run(tmp_path, "start", "kitchen", *BOX)
    ran = run(tmp_path, "feed", "kitchen", "20 g meat")
    assert ran.code == 1
    assert "No meat: it rots and draws flies and rats" in ran.err
    assert "Nothing was saved. Already in? --yes writes it down." in ran.err
    assert run(tmp_path, "bedding", "kitchen", "20 g glossy board").code == 1
    assert run(tmp_path, "feed", "kitchen", "20 g meat", "--yes").code == 0
    assert "20 g meat" in run(tmp_path, "log", "kitchen", "--last", "1").out
    assert run(tmp_path, "round").code == 0
