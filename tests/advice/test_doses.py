"""Amounts rest on a reading, are never much at once, and no finer than a kitchen can measure."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, strategies as st

from tests.advice.cases import (
    BIN,
    CALM_LOG,
    SCRAPS,
    SETTINGS,
    TODAY,
    Shelf,
    a_case,
    a_day,
    ahead_of,
    band,
    fed,
    looked,
    piled,
    stocked,
)
from tests.cli.running import run
from tests.farm.a_farm import kitchen
from wormbin.advice.bedding import kg_of_water
from wormbin.advice.case import Case
from wormbin.advice.doses import AT_MOST, drain, felt, take_out, take_out_kg, water
from wormbin.advice.finding import Doing
from wormbin.advice.judgement import findings
from wormbin.advice.wording import poured, scooped
from wormbin.figures import Band
from wormbin.materials.material import Pace
from wormbin.process.views import Layers
from wormbin.records.entries import Entry, Squeeze
from wormbin.records.farms import Units

SAID = re.compile(r"(\d+(?:\.\d+)?) (mL|L|g|kg)\b")
IN_KG = {"mL": 0.001, "L": 1.0, "g": 0.001, "kg": 1.0}


def said_kg(text: str) -> float:
    """The first amount in a step, kg or L."""
    found = SAID.search(text)
    assert found is not None, text
    return float(found[1]) * IN_KG[found[2]]


def read_ago(days: int, **what: Any) -> tuple[Entry, ...]:
    return (*CALM_LOG[:-1], looked(TODAY - timedelta(days=days), **what))


DRY: dict[str, Any] = {"moisture": Band(0.64, 0.66, 0.68)}
FELT = read_ago(0, squeeze=Squeeze.DAMP)


@pytest.mark.parametrize(
    ("entries", "told"),
    [
        (read_ago(5, squeeze=Squeeze.SPONGE), True),
        (read_ago(6, squeeze=Squeeze.SPONGE), False),
        (read_ago(5, moisture=0.7), True),
        (read_ago(0, temp_c=20.0, left=0.1), False),
        ((), False),
    ],
)
def test_a_dose_rests_on_a_reading_of_moisture_of_the_last_five_days(entries: tuple[Entry, ...], told: bool) -> None:
    case = a_case(entries=entries, **DRY)
    assert felt(case) is told
    step = water(case, 0.78)
    assert (step.kind is Doing.WATER) is told
    assert (SAID.search(step.text) is not None) is told
    if not told:
        assert step.kind is Doing.MEASURE
        assert step.text.startswith("squeeze a handful from 9 cm down")


def test_water_is_counted_on_the_wet_end_of_the_band() -> None:
    """8 kg at 76 %, the wet end, to 78 %: 8 * 0.02 / 0.22 = 0.73 kg, and not 2.9 kg as by the middle."""
    wide = a_case(entries=FELT, moisture=Band(0.60, 0.70, 0.76))
    assert water(wide, 0.78).strength == pytest.approx(8 * 0.02 / 0.22)
    assert kg_of_water(8.0, 0.70, 0.78) > 2.9
    assert water(wide, 0.78).text == "add 750 mL of water, sprinkled all over. Squeeze again tomorrow"


@given(st.floats(0.5, 60.0), st.floats(0.3, 0.9), st.floats(0.0, 0.1), st.floats(0.7, 0.9))
def test_never_more_than_a_tenth_of_the_contents_goes_in_at_once(
    total: float, wet: float, spread: float, aim: float
) -> None:
    step = water(a_case(entries=FELT, total_kg=Band.exactly(total), moisture=Band(wet, wet, wet + spread)), aim)
    assert step.strength <= max(AT_MOST * total, 0.05) + 1e-9
    assert step.strength <= max(kg_of_water(total, wet + spread, aim), 0.05) + 1e-9
    if SAID.search(step.text):
        assert said_kg(step.text) <= 1.3 * AT_MOST * total + 1e-9, "rounded to what a jug shows"
        assert step.text.endswith("Squeeze again tomorrow")


@pytest.mark.parametrize(("wet_end", "litres"), [(0.7787, False), (0.7785, True)])
def test_under_a_few_spoons_no_amount_of_water_is_told(wet_end: float, litres: bool) -> None:
    """8 kg to 78 %: 50 mL are wanting at 77.86 %."""
    step = water(a_case(entries=FELT, moisture=Band(0.7, 0.75, wet_end)), 0.78)
    assert ("mL" in step.text) is litres
    if not litres:
        assert step.text == "spray the dry top lightly. Squeeze again tomorrow"


def test_water_at_the_base_is_let_out_by_amount_only_where_it_was_seen_and_felt() -> None:
    wet = a_case(entries=FELT, standing_water_kg=Band.exactly(0.6))
    assert drain(wet, seen=True).text == "open the drain and let out about 600 mL of water. Squeeze again tomorrow"
    undrained = replace(wet, bin=replace(BIN, drainage=False))
    assert drain(undrained, seen=True).text.startswith("tip or draw off about 600 mL")
    for case, seen in ((wet, False), (replace(wet, entries=CALM_LOG), True)):
        assert SAID.search(drain(case, seen=seen).text) is None
    assert drain(wet, seen=False).kind is Doing.LOOK


@pytest.mark.parametrize(("kg", "told"), [(0.049, None), (0.05, 0.05), (0.8, 0.8), (3.0, 0.8)])
def test_a_tenth_of_the_contents_is_the_most_that_is_let_out_and_a_few_spoons_the_least(
    kg: float, told: float | None
) -> None:
    step = drain(a_case(entries=FELT, standing_water_kg=Band.exactly(kg)), seen=True)
    assert (said_kg(step.text) if SAID.search(step.text) else None) == told


# What is taken out again.


def heap(kg: float, work: float, ago: int = 0, material: str = SCRAPS.key) -> Case:
    log = (stocked(), fed(0.3, TODAY - timedelta(days=20)), fed(0.3, TODAY - timedelta(days=ago), material))
    table = Shelf((*Shelf().rows, replace(SCRAPS, key="manure", pace=Pace.AGED)))
    return a_case(entries=log, table=table, worms_kg=band(5.0), **piled(work, kg))


def where(case: Case) -> str:
    (step,) = take_out(case)
    return step.text.partition(" of food. ")[2]


BUCKET = "Put it in a bucket with dry bedding, a second bin or a hot heap"


@pytest.mark.parametrize(("work", "told"), [(13.9, False), (14.0, True)])
def test_feed_is_taken_out_where_two_weeks_work_waits_down_to_five_days(work: float, told: bool) -> None:
    case = heap(work / 10, work)
    assert (take_out(case) != ()) is told
    if told:
        # 1.4 kg are 14 days' work, and the first half a kg two: five days are 0.5 + 0.9 * 3 / 12
        assert take_out_kg(case) == pytest.approx(1.4 - (0.5 + 0.9 * 3 / 12))


@pytest.mark.parametrize(("kg", "words"), [(0.49, "Freeze it"), (0.51, BUCKET)])
def test_a_kitchen_freezer_takes_up_to_half_a_kilogram(kg: float, words: str) -> None:
    """A third lies thicker than 4 cm: a third of what waits."""
    case = replace(heap(3 * kg, 10.0), bin=BIN)
    thick = replace(case.today, layers=Layers(0.06, 0.1, 0.1, 0.0))
    assert take_out_kg(replace(case, today=thick)) == pytest.approx(kg)
    assert where(replace(case, today=thick)) == words


@pytest.mark.parametrize(("ago", "words"), [(2, "Freeze it"), (3, BUCKET)])
def test_only_fresh_feed_is_frozen(ago: int, words: str) -> None:
    assert where(heap(0.6, 20.0, ago)) == words


def test_manure_never_goes_into_the_freezer() -> None:
    assert where(heap(0.6, 20.0)) == "Freeze it"
    assert where(heap(0.6, 20.0, material="manure")) == BUCKET


@pytest.mark.parametrize(("kg", "told"), [(0.058, False), (0.062, True)])
def test_under_a_handful_nothing_is_taken_out(kg: float, told: bool) -> None:
    """A third of it lies thicker than 4 cm: 20 g are a handful."""
    case = heap(kg, 1.0)
    case = replace(case, today=replace(case.today, layers=Layers(0.06, 0.1, 0.1, 0.0)))
    assert (take_out(case) != ()) is told


def test_more_than_a_week_by_the_book_or_too_much_that_is_sour_is_taken_out() -> None:
    def out(kg: float, material: str, worms: float, ago: int = 0) -> float:
        log = (stocked(), fed(kg, TODAY - timedelta(days=ago), material))
        return take_out_kg(a_case(entries=log, worms_kg=band(worms), **piled(8.0, kg)))

    # half the weight of 200 g of worms a day is 0.7 kg a week
    assert out(1.0, SCRAPS.key, 0.2) == pytest.approx(0.3)
    assert out(1.0, SCRAPS.key, 0.2, ago=3) == 0.0
    # over a seventh (0.15) of the 8 kg in the bin
    assert out(1.19, "citrus-peel", 2.0) == 0.0
    assert out(1.21, "citrus-peel", 2.0) == pytest.approx(1.21)


def test_one_figure_is_taken_out_whichever_finding_asks() -> None:
    """Overfed by 16 days' work, 33 degrees of its own heat, and 8 cm thick: the largest is told by all."""
    log = (stocked(), fed(3.0, TODAY - timedelta(days=3)), looked(TODAY - timedelta(days=4), squeeze=Squeeze.SPONGE))
    hot: dict[str, Any] = {"temp_c": Band.exactly(33.0), "heat_rise_c": Band.exactly(12.0)}
    case = a_case(entries=log, layers=Layers(0.08, 0.1, 0.1, 0.0), worms_kg=band(5.0), **hot, **piled(16.0, 4.0))
    asked = {each.code: [step.text for step in each.actions if step.kind is Doing.TAKE_OUT] for each in findings(case)}
    assert {code for code, steps in asked.items() if steps} >= {"overfed", "too-hot", "thick-layer"}
    told = {step for steps in asked.values() for step in steps}
    # all but five days' work, 1.25 kg, of 4 kg; by heat (33 - 27) / 12, and by thickness half, 2 kg
    assert take_out_kg(case) == pytest.approx(2.75)
    assert told == {f"take out about 3 kg of food. {BUCKET}"}


def test_heat_to_come_asks_for_the_same_figure_as_what_lies_too_thick() -> None:
    today = a_day(layers=Layers(0.06, 0.1, 0.1, 0.0), feed_waiting_kg=band(6.0))
    coming = ahead_of(today, temp_c=Band(30.0, 32.0, 34.0), heat_rise_c=Band.exactly(10.0))
    found = findings(replace(a_case([today], entries=CALM_LOG), unfed=coming))
    told = {each.code: step.text for each in found for step in each.actions if step.kind is Doing.TAKE_OUT}
    assert {"heat-to-come", "thick-layer"} <= set(told)
    assert set(told.values()) == {f"take out about 3 kg of food. {BUCKET}"}


# What a kitchen can measure.


@given(st.floats(0.02, 50.0))
def test_amounts_are_told_in_two_digits_of_which_the_second_is_nought_or_five(kg: float) -> None:
    for said in (scooped(kg, "metric"), poured(kg, "metric")):
        value = said_kg(said)
        digits = f"{value:.6g}".replace(".", "").strip("0")
        assert len(digits) <= 2
        assert len(digits) < 2 or digits[1] == "5", said
        assert value == pytest.approx(kg, rel=0.34)


def test_amounts_in_pounds_and_quarts_are_as_round() -> None:
    assert scooped(0.0023, "us") != scooped(0.0, "us")
    assert scooped(0.45359237, "us") == "1 lb"
    assert poured(0.946353, "us") == "1 qt"
    case = a_case(entries=FELT, settings=replace(SETTINGS, units=Units.US), **DRY)
    assert re.search(r"add [\d.]+ (qt|cups?) of water", water(case, 0.78).text)


# Through the command that a keeper uses.


def test_a_dry_bin_is_felt_for_before_water_is_told_and_after_it_by_amount(tmp_path: Path) -> None:
    folder = tmp_path / "store"
    kitchen(folder)
    for hour in ("09", "12"):
        ran = run(folder, "check", "kitchen", "--squeeze", "dry", "--when", f"2026-06-01T{hour}:00", "--yes")
        assert ran.code == 0, ran.err
    told = " ".join(run(folder, "round").out.split())
    assert "too dry: dry today, and 2 looks agree" in told
    assert re.search(r"(add \d+ mL of water|add [\d.]+ L of water|spray the dry top)", told)
    shutil.rmtree(folder)
    kitchen(folder)
    unread = " ".join(run(folder, "--on", "2026-06-20", "round").out.split())
    assert not re.search(r"add [\d.]+ (mL|L) of water", unread)
