"""With US units no amount in metric ones is printed, and the other way round; what was said in the others is turned."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm import rounds
from wormbin.farm.lots import Lots
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.settings import change_setting
from wormbin.measures import system_of
from wormbin.records.entries import Kind
from wormbin.records.kinds.castings import LotKind

_FIGURE = r"(?<![\w.#])\d[\d.,]*\s?"
METRIC = re.compile(
    rf"{_FIGURE}(?:mg|g|kg|t|mL|ml|cL|dL|L|l|mm|cm|m|cm2|m2|m3|C|kg/m[23]|g/m[23])\b|°C"
    r"|\b(?:litres?|grams?|kilos?|kilograms?|centimetres?|metres?)\b"
)
US = re.compile(
    rf"{_FIGURE}(?:oz|lbs?|in|ft|yd|qt|gal|pt|in2|ft2|F|lb/ft[23])\b(?! all\b)|°F"
    r"|\b(?:ounces?|pounds?|inch(?:es)?|feet|gallons?|quarts?)\b"
)
BOTH = re.compile(r"\d+ C \(\d+ F\)")
"""A caution that is told in both, whichever are printed."""
ASKED = (
    ("round",), ("outlook", "kitchen", "--days", "30"), ("log", "kitchen", "--last", "0", "--struck"), ("harvests",),
    ("sheet", "kitchen"), ("away", "kitchen", "--from", "2026-06-03", "--until", "2026-06-20"),
    ("calendar", "--out", "-"), ("settings",), ("materials",), ("castings",), ("castings", "show", "may"),
    ("castings", "stock"), ("castings", "yields"), ("castings", "plan", "--kg", "9", "--by", "2026-08-01"),
)  # fmt: skip
WITH_AMOUNTS = {
    "us": (
        ("feed", "kitchen", "3 oz kale", "--try"), ("feed", "kitchen", "9 lb kale"),
        ("start", "attic", "--length", "2 ft", "--width", "16 in", "--depth", "12 in", "--worms", "1 lb"),
        ("mix", "2 lb coffee grounds", "--add", "shredded cardboard"), ("mix", "2 lb kale", "1 lb dry leaves"),
        ("survey", "kitchen", "0.4 oz", "0.3 oz", "--sample", "36 in2", "--try"),
        ("check", "kitchen", "--temp", "120F"), ("harvest", "kitchen", "1 lb"), ("weigh", "kitchen", "17 lb"),
    ),
    "metric": (
        ("feed", "kitchen", "90 g kale", "--try"), ("feed", "kitchen", "4 kg kale"),
        ("start", "attic", "--length", "60 cm", "--width", "40 cm", "--depth", "30 cm", "--worms", "500 g"),
        ("mix", "1 kg coffee grounds", "--add", "shredded cardboard"), ("mix", "1 kg kale", "500 g dry leaves"),
        ("survey", "kitchen", "12 g", "9 g", "--sample", "225 cm2", "--try"),
        ("check", "kitchen", "--temp", "50C"), ("harvest", "kitchen", "500 g"), ("weigh", "kitchen", "8 kg"),
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def said_in_both(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log in which every kind of line was said once in metric and once in US units."""
    folder = tmp_path_factory.mktemp("units") / "store"
    kitchen(folder, days=15)
    farm = open_farm(folder)
    for feed, bedding, water, weight, castings, worms, area, ruler, warm in (
        ("300 g", "50 g", "500 mL", "9 kg", "500 g", "20 g", "225 cm2", "20 cm", "21C"),
        ("9 oz", "2 oz", "1 pt", "19 lb", "1 lb", "1 oz", "36 in2", "8 in", "70F"),
    ):
        record_feeding(farm, "kitchen", [f"{feed} melon rind", "1 cup coffee grounds"], anyway=True)
        write(farm, "kitchen", Kind.BEDDING, {"portions": "; ".join([f"{bedding} newspaper"])})
        write(farm, "kitchen", Kind.WATERING, {"amount": water})
        write(farm, "kitchen", Kind.DRAINING, {"amount": water})
        write(farm, "kitchen", Kind.WEIGHING, {"amount": weight})
        write(farm, "kitchen", Kind.HARVEST, {"castings": castings, "worms_out": worms})
        write(farm, "kitchen", Kind.STOCKING, {"worms": worms})
        write(farm, "kitchen", Kind.SURVEY, {"samples": "; ".join([worms, worms]), "area": area})
        write(farm, "kitchen", Kind.CHECK, {"depth": ruler, "temp": warm})
    for castings in ("2 kg", "3 lb"):
        write(farm, "kitchen", Kind.HARVEST, {"castings": castings, "lot": "may"})
    Lots(farm).write("may", LotKind.STEP, {"step": "stock"})
    for amount in ("100 g", "3 oz"):
        Lots(farm).write("may", LotKind.SALE, {"amount": amount})
        Lots(farm).write("may", LotKind.USE, {"amount": amount})
    for name, words in (
        ("on-hand", "1.2 kg newspaper"), ("on-hand", "2 lb straw"), ("tare", "tub: 240 g"), ("tare", "pail: 9 oz"),
        ("bucket", "a: 150 g kale, 2 cups coffee grounds"), ("bucket", "b: 5 oz kale"),
        ("measure", "handful 40 g"), ("measure", "scoop coffee grounds: 3 oz"),
    ):  # fmt: skip
        change_setting(farm, name, words)
    rounds.view(farm)
    return folder


@pytest.mark.parametrize(("units", "foreign"), [("us", METRIC), ("metric", US)], ids=["us", "metric"])
def test_no_amount_is_printed_in_the_other_units(said_in_both: Path, units: str, foreign: re.Pattern[str]) -> None:
    leaks = []
    for words in (*ASKED, *WITH_AMOUNTS[units]):
        ran = run(said_in_both, *words, "--units", units)
        assert ran.out or ran.err, words
        leaks += [
            f"{' '.join(words)}: {line.strip()}"
            for line in (ran.out + ran.err).splitlines()
            if foreign.search(BOTH.sub("", line))
        ]
    assert leaks == []


def test_an_amount_said_in_the_other_units_is_turned_and_household_measures_stay(said_in_both: Path) -> None:
    metric, us = (
        run(said_in_both, "log", "kitchen", "--last", "0", "--units", units).out for units in ("metric", "us")
    )
    assert "fed 300 g melon rind, 1 cup coffee grounds" in metric
    assert "fed 9 oz melon rind, 1 cup coffee grounds" in us
    assert "fed 260 g melon rind" in metric
    assert "fed 11 oz melon rind" in us
    assert "watered 500 mL" in metric
    assert "watered 2.1 cups" in us
    assert "of 225 cm2: 20 g, 20 g" in metric
    assert "of 36 in2: 1 oz, 1 oz" in us


def test_the_settings_are_said_in_words_that_read_back(said_in_both: Path) -> None:
    for units, buckets in (
        ("metric", "a: 150 g kale, 2 cups coffee-grounds; b: 140 g kale"),
        ("us", "a: 5.3 oz kale, 2 cups coffee-grounds; b: 5 oz kale"),
    ):
        assert buckets in run(said_in_both, "settings", "bucket", "--units", units).out
    for units in ("metric", "us"):
        for name in ("on-hand", "tare", "bucket", "measure"):
            shown = run(said_in_both, "settings", name, "--units", units).out.split("  ", 1)[1].strip()
            for words in shown.split("; "):
                assert run(said_in_both, "settings", name, words).code == 0, (name, words)


def test_what_is_allowed_is_told_in_the_units_that_are_printed(said_in_both: Path) -> None:
    deep = ("check", "kitchen", "--depth", "300cm", "--units")
    assert "“300 cm” does not fit. Write 0 to 15.5 in. The box is 12 in deep" in run(said_in_both, *deep, "us").err
    assert (
        "Write 0 to 40 cm. The box is 30 cm deep, and a heap stands up to 10 cm above its rim"
        in run(said_in_both, *deep, "metric").err
    )


@pytest.mark.parametrize(
    ("said", "system"),
    [("300 g", "metric"), ("1.5 kg", "metric"), ("500 mL", "metric"), ("2 lbs", "us"), ("1/2 gallon", "us"),
     ("70F", "us"), ("2 cups", ""), ("3 tbsp", ""), ("a handful", ""), ("40", ""), ("", "")],
)  # fmt: skip
def test_the_system_of_an_amount_is_known_by_its_unit(said: str, system: str) -> None:
    assert system_of(said) == system
