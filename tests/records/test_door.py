"""The door tells everything that is wrong, in clear sentences, and lets through what is right with its text cleaned."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from wormbin.problems import RefusedError
from wormbin.records.bins import Bin
from wormbin.records.door import admit_bin, admit_entry, admit_material, admit_settings, farm_problems
from wormbin.records.entries import (
    Bedding,
    Check,
    Entry,
    Feeding,
    Fluff,
    Harvest,
    Move,
    Note,
    Portion,
    Sample,
    Stocking,
    Survey,
    Watering,
    Weighing,
    What,
)
from wormbin.records.farms import Away, Bucket, Farm, OnHand, OwnMaterial, Settings

NOW = datetime(2026, 3, 10, 9, tzinfo=UTC)
KITCHEN = Bin("kitchen", "Kitchen", 0.6, 0.4, 0.3, date(2026, 1, 1))
ATTIC = replace(KITCHEN, key="attic", name="Attic", compartments=3)
BINS = (KITCHEN, ATTIC)


def line(what: What, **more: Any) -> Entry:
    fields: dict[str, Any] = {"id": "abc", "bin": "kitchen", "when": NOW, **more}
    return Entry(what=what, **fields)


RIGHT: list[What] = [
    Feeding((Portion("coffee-grounds", 0.11, "1 cup"),)),
    Bedding((Portion("cardboard", 0.5, moisture=0.7),)),
    Watering(1.0),
    Check(moisture=0.8, temp_c=-5.0, left=0.0, contents_m=0.40, ph=7.0),
    Check(seen=("mites",)),
    Stocking(-0.5),
    Weighing(12.0, with_box=True),
    Survey((Sample(0.0225, 0.046), Sample(0.0225, worms_count=0))),
    Move(0.1, "attic"),
    Fluff(),
    Harvest(2.0, 0.65, 0.01),
]

WRONG: list[tuple[What, str]] = [
    (Feeding(()), "feed: nothing yet"),
    (Feeding((Portion("coffee-grounds", 0.0),)), "amount of coffee-grounds: “0 kg” does not fit"),
    (Feeding((Portion("coffee-grounds", float("nan")),)), "“nan kg” does not fit"),
    (Feeding((Portion("coffee-grounds", float("inf")),)), "“inf kg” does not fit"),
    (Feeding((Portion("gravel", 0.1),)), "material: “gravel” does not fit"),
    (Feeding((Portion("", 0.1),)), "material: nothing yet"),
    (Bedding((Portion("cardboard", 0.5, moisture=1.2),)), "moisture of cardboard: “120 %” does not fit"),
    (Watering(-1.0), "water: “-1 kg” does not fit"),
    (Check(), "check: nothing yet"),
    (Check(moisture=82.0), "moisture: “8200 %” does not fit. Write 0 to 100 %"),
    (Check(temp_c=-20.1), "temperature: “-20.1 °C” does not fit. Write -20 to 70 °C"),
    (Check(temp_c=70.5), "temperature: “70.5 °C” does not fit"),
    (Check(left=-0.1), "left of the last feeding: “-10 %” does not fit"),
    (Check(contents_m=18.0), "depth of the contents: “1800 cm” does not fit. Write 0 to 300 cm"),
    (
        Check(contents_m=0.45),
        "“45 cm” does not fit. Write 0 to 40 cm. The box is 30 cm deep, and a heap stands up to 10 cm above its",
    ),
    (Check(contents_m=0.401), "“40.1 cm” does not fit. Write 0 to 40 cm"),
    (Check(ph=14.5), "pH: “14.5” does not fit"),
    (Check(smell="s" * 101), "up to 100 letters"),
    (Stocking(0.0), "worms: “0 kg” does not fit"),
    (Stocking(0.1, worms_count=0), "a count from 1 up"),
    (Survey((Sample(0.0225, worms_count=-1),)), "a count from 0 up"),
    (Survey((Sample(0.0225, worms_count=10**30),)), "up to 10,000,000"),
    (Survey(()), "samples: nothing yet"),
    (Survey((Sample(0.0, 0.1),)), "area of sample 1: “0 cm2” does not fit. Write more than 0 to 2400 cm2"),
    (Survey((Sample(0.01),)), "a mass or a count of worms"),
    (Move(0.1, "kitchen"), "another bin than kitchen"),
    (Move(0.1, "cellar"), "one of your bins: attic, kitchen"),
    (Note(), "note: nothing yet"),
    (Harvest(-1.0), "castings: “-1 kg” does not fit"),
    (Harvest(1.0, 1.5), "moisture: “150 %” does not fit"),
]


@pytest.mark.parametrize("what", RIGHT, ids=lambda what: type(what).__name__)
def test_what_is_right_passes_unchanged(what: What) -> None:
    entry = line(what)
    assert admit_entry(entry, BINS, NOW, ("coffee-grounds", "cardboard")) == entry


@pytest.mark.parametrize(("what", "sentence"), WRONG, ids=[f"{type(w).__name__}-{s[:24]}" for w, s in WRONG])
def test_what_is_wrong_is_told_in_a_clear_sentence(what: What, sentence: str) -> None:
    with pytest.raises(RefusedError) as refused:
        admit_entry(line(what), BINS, NOW, ("coffee-grounds", "cardboard"))
    assert sentence in str(refused.value)
    assert all(problem.allowed for problem in refused.value.problems)


@pytest.mark.parametrize(
    ("when", "right"),
    [
        (NOW + timedelta(hours=24), True),
        (NOW + timedelta(hours=25), False),
        (datetime(1990, 1, 1, tzinfo=UTC), True),
        (datetime(1989, 12, 31, tzinfo=UTC), False),
        (datetime(2026, 3, 1), False),  # noqa: DTZ001 - a time without an offset is what is refused
        (datetime(2024, 2, 29, tzinfo=UTC), True),
    ],
)
def test_a_line_lies_between_1990_and_tomorrow(when: datetime, right: bool) -> None:
    entry = line(Fluff(), when=when)
    if right:
        assert admit_entry(entry, BINS, NOW) == entry
    else:
        with pytest.raises(RefusedError, match="when: "):
            admit_entry(entry, BINS, NOW)


def test_everything_that_is_wrong_is_told_at_once() -> None:
    entry = line(Check(moisture=82.0, ph=70.0), bin="nowhere", compartment=9, by="x" * 101)
    with pytest.raises(RefusedError) as refused:
        admit_entry(entry, BINS, NOW)
    assert [problem.field for problem in refused.value.problems] == ["bin", "compartment", "moisture", "pH", "by"]


def test_a_compartment_lies_within_its_bin() -> None:
    assert admit_entry(line(Fluff(), bin="attic", compartment=3), BINS, NOW).compartment == 3
    with pytest.raises(RefusedError, match="a number from 1 to 1"):
        admit_entry(line(Fluff(), compartment=2), BINS, NOW)


def test_text_is_only_text() -> None:
    entry = line(Check(smell="\x1b[31mearthy\x07", seen=("a\tb",)), note="one\r\ntwo\x00\u202e", by=" Ana\ud800 ")
    admitted = admit_entry(entry, BINS, NOW)
    assert admitted.what == Check(smell="[31mearthy", seen=("a b",))
    assert admitted.note == "one\ntwo"
    assert admitted.by == "Ana"
    kept = "[b]x[/b] 🪱 שלום 👩‍🌾"
    assert admit_entry(line(Note(), note=kept), BINS, NOW).note == kept


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"key": "../x"}, "bin: “../x” does not fit"),
        ({"key": "attic"}, "a name in commands that no other bin has"),
        ({"name": ""}, "name: nothing yet"),
        ({"length_m": 0.0}, "length: “0 cm” does not fit"),
        ({"length_m": None}, "length and width, or the area"),
        ({"depth_m": 30.0}, "depth: “3000 cm” does not fit"),
        ({"compartments": 6}, "a number from 1 to 5"),
        ({"site_temp_c": 72.0}, "temperature of the site: “72 °C” does not fit"),
        ({"started": date(1980, 1, 1)}, "started: “1980-01-01” does not fit"),
        ({"ended": date(2025, 1, 1)}, "ended: “2025-01-01” does not fit"),
        ({"harvest_share": 80.0}, "share at harvest"),
    ],
)
def test_a_bin_that_cannot_be_is_refused(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(RefusedError) as refused:
        admit_bin(replace(KITCHEN, **change), (ATTIC,), NOW)
    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"moisture_low": 75.0}, "lowest moisture: “7500 %” does not fit"),
        ({"moisture_low": 0.9, "moisture_high": 0.8}, "a lowest value below the highest"),
        ({"feed_days": ("MO", "MONDAY")}, "weekdays, each once"),
        ({"check_every_days": 0}, "days between checks"),
        ({"away": (Away(date(2026, 5, 2), date(2026, 5, 1)),)}, "a last day that is not before the first"),
        ({"on_hand": (OnHand("cardboard", 1.0, 2.0),)}, "cardboard shredded: “2 kg” does not fit. Write 0 to 1 kg"),
        ({"buckets": (Bucket("", ()),)}, "a name and what is in it"),
        ({"tares": {"tub": -1.0}}, "tare of tub"),
    ],
)
def test_settings_that_cannot_be_are_refused(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(RefusedError) as refused:
        admit_settings(replace(Settings(), **change))
    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"nitrogen_pct": 20.1}, "nitrogen_pct: “20.1” does not fit"),
        ({"nitrogen_pct": "much"}, "a number from 0 to 20"),
        ({"pace": "brisk"}, "one of quick, steady"),
        ({"colour": "brown"}, "value: “colour” does not fit"),
    ],
)
def test_a_material_that_cannot_be_is_refused(values: dict[str, float | str], sentence: str) -> None:
    with pytest.raises(RefusedError) as refused:
        admit_material(OwnMaterial("tea-leaves", "Tea leaves", values))
    assert sentence in str(refused.value)


def test_a_right_farm_passes() -> None:
    farm = Farm(BINS, ("Ana",), (OwnMaterial("tea", "Tea", {"nitrogen_pct": 3.0, "role": "keep out"}),))
    assert farm_problems(farm, NOW) == ()
    twice = farm_problems(replace(farm, materials=farm.materials * 2), NOW)
    assert ["only one own material" in str(problem) for problem in twice] == [True]
