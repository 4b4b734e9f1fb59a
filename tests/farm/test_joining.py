"""Two bins joined, through the command line: what is in one stands in the other, and both keep their logs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.cli.running import run, store

__all__ = ["store"]
ATTIC = ("start", "attic", "--length", "60cm", "--width", "40cm", "--depth", "30cm", "--worms", "300 g", "--yes")
HELD = ("total_kg", "dry_kg", "castings_dry_kg", "worms_kg", "feed_waiting_kg")


def state(store: Path, key: str) -> dict[str, Any]:
    held: dict[str, Any] = json.loads(run(store, "outlook", key, "--json").out)["state"]
    return {name: held[name]["p50"] for name in HELD}


def answers(store: Path) -> list[str]:
    return [run(store, *words).out for words in (("round", "--json"), *(("log", key) for key in ("kitchen", "attic")))]


def test_what_was_in_two_bins_is_in_one_and_undo_takes_both_halves_back(store: Path) -> None:
    run(store, *ATTIC)
    before, mine, theirs = answers(store), state(store, "kitchen"), state(store, "attic")
    ran = run(store, "join", "kitchen", "attic", "--note", "room is let")
    assert ran.code == 0, ran.err
    assert "Kitchen is closed" in ran.out
    joined = state(store, "attic")
    for name in HELD:
        assert abs(joined[name] - mine[name] - theirs[name]) < 0.02 * (mine[name] + theirs[name]) + 0.005, name
    kitchen, attic = (" ".join(run(store, "log", key, "--last", "0").out.split()) for key in ("kitchen", "attic"))
    assert "closed: joined to attic" in kitchen
    assert "room is let" in kitchen
    assert "as worked out, worms among it" in attic
    assert "about " in attic, "an estimate is no reading"
    assert [each["bin"] for each in json.loads(run(store, "round", "--json").out)["bins"]] == ["attic"]
    assert run(store, "report", "kitchen", "--json").code == 0
    assert run(store, "undo").code == 0
    assert answers(store)[0] == before[0]
    assert [state(store, key) for key in ("kitchen", "attic")] == [mine, theirs]
    assert run(store, "redo").code == 0
    assert state(store, "attic") == joined


def test_what_went_over_counts_as_it_was_weighed(store: Path) -> None:
    run(store, *ATTIC)
    theirs = state(store, "attic")["total_kg"]
    assert run(store, "join", "kitchen", "attic", "--weighed", "4 kg").code == 0
    assert abs(state(store, "attic")["total_kg"] - theirs - 4.0) < 0.1


def test_a_bin_that_cannot_be_joined_is_refused_and_nothing_is_saved(store: Path) -> None:
    run(store, *ATTIC)
    before = answers(store)
    for words in (("kitchen",), ("cellar",), ("attic", "--weighed", "4 L"), ()):
        assert run(store, "join", "kitchen", *words).code == 2, words
    assert answers(store) == before
    run(store, "close", "attic", "died")
    ran = run(store, "join", "kitchen", "attic")
    assert ran.code == 2
    assert "attic is closed since 2026-06-01" in ran.err
