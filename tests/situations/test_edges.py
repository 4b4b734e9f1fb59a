"""Numbers that an answer turns on and that one log cannot hold: asked through the commands, on both sides."""

from __future__ import annotations

import json
import re

import pytest

from tests.cli.running import run
from tests.situations.kept import KEY, Base
from tests.situations.playing import Stage, ask, document


@pytest.mark.parametrize(
    ("option", "figure", "unit", "per_unit"), [("temp", "temp_c", "C", 1.0), ("depth", "contents_m", "cm", 100.0)]
)
def test_a_reading_three_half_widths_off_is_asked_about(
    stage: Stage, option: str, figure: str, unit: str, per_unit: float
) -> None:
    """The half-width is the band's own, or what the instrument may be off: 2 C, 3 cm."""
    store = stage.store(Base(), f"far-{option}")
    band = document(store, "outlook", KEY)["state"][figure]
    half = max(band["p90"] - band["p50"], band["p50"] - band["p10"], {"temp": 2.0, "depth": 0.03}[option])
    for times, code in ((3.05, 1), (2.95, 0)):
        value = (band["p50"] + times * half) * per_unit
        ran = run(store, "check", KEY, f"--{option}", f"{value:.2f} {unit}")
        assert (ran.code, "is a surprise" in ran.err) == (code, bool(code)), (times, ran.err)


def test_worms_without_feed_fall_by_the_day(stage: Stage) -> None:
    said = ask(stage.store(Base(), "bare"), "away --from 2026-06-02 --for '60 days'").text
    found = re.search(r"(\d+) days on bedding\s+may\s+cost\s+up\s+to\s+(\d+)% of\s+the\s+worms", said)
    assert found, said
    assert int(found[2]) == round(100 * (1 - 0.992 ** int(found[1])))


def test_two_writers_changes_have_numbers_of_their_own(stage: Stage) -> None:
    """The number goes on from what is on the disk, in whichever book and by whomever."""
    store = stage.store(Base(), "writers")
    assert not run(store, "start", "garage", "--length", "50cm", "--width", "40cm", "--depth", "30cm", "--yes").code
    for by, bin_, hint in (("Ana", "garage", True), ("Tom", KEY, True), ("Ana", KEY, False), ("Tom", KEY, False)):
        if not hint:
            (store / ".lock").unlink()  # the note of the last number is lost with it, and the clock stands
        assert not run(store, "fluff", bin_, "--by", by).code
    books = [json.loads(path.read_text("utf-8")) for path in sorted((store / "bins").rglob("*.json"))]
    changes = [each for book in books for each in book.get("changes", {}).values()]
    numbers = [each["number"] for each in changes if each["did"] == "recorded"]
    assert len(numbers) == 4
    assert len({each["number"] for each in changes}) == len(changes)
