from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from wormbin.records import habits
from wormbin.records.entries import Check, Entry, Feeding, Note, Portion, Stocking, What

START = date(2026, 3, 2)


def line(what: What, day: int, hour: int = 12) -> Entry:
    when = datetime.combine(START + timedelta(days=day), time(hour), UTC)
    return Entry(f"{what.__class__.__name__}-{day}-{hour}", "kitchen", when, what)


def fed(kg: float, day: int, material: str = "scraps", hour: int = 12) -> Entry:
    return line(Feeding((Portion(material, kg),)), day, hour)


def on(day: int) -> date:
    return START + timedelta(days=day)


def test_feedings_of_one_day_are_one_meal() -> None:
    log = [fed(0.3, 0), fed(0.2, 0, hour=18), fed(0.4, 3)]
    assert [day for day, _kg in habits.feedings(log)] == [on(0), on(3)]
    assert [kg for _day, kg in habits.feedings(log)] == pytest.approx([0.5, 0.4])
    assert len(habits.feedings(log, on(1))) == 1
    assert habits.fed_kg(log, on(1), on(3)) == pytest.approx(0.4)


def test_one_large_bucket_is_no_habit() -> None:
    log = [fed(0.5, day) for day in (0, 3, 7, 10)] + [fed(5.0, 14)]
    assert habits.usual_meal_kg(log, on(14)) == pytest.approx(0.5)
    assert habits.usual_gap_days(log, on(14)) == pytest.approx(3.5)


def test_too_few_feedings_make_no_gap() -> None:
    assert habits.usual_gap_days([fed(1.0, 0), fed(1.0, 3)], on(9)) is None
    assert habits.usual_meal_kg([], on(9)) is None


def test_only_the_latest_feedings_make_the_habit() -> None:
    log = [fed(2.0, day) for day in range(0, 20, 2)] + [fed(0.5, day) for day in range(20, 40, 2)]
    assert habits.usual_meal_kg(log, on(40)) == pytest.approx(0.5)
    assert habits.usual_meal_kg(log, on(19)) == pytest.approx(2.0)


def test_the_usual_material_is_the_one_given_most_of_lately() -> None:
    log = [fed(9.0, 0, "manure"), fed(0.5, 70, "scraps"), fed(0.4, 72, "coffee"), fed(0.3, 75, "coffee")]
    assert habits.usual_material(log, on(80)) == "coffee"
    assert habits.usual_material(log, on(60)) == "manure"
    assert habits.usual_material([], on(80)) == ""


def test_worms_taken_out_are_no_stocking() -> None:
    log = [line(Stocking(-0.1), 0), line(Stocking(0.4), 2), line(Stocking(0.4), 9)]
    assert habits.stocked_on(log) == on(2)
    assert habits.stocked_on(log[:1]) is None


def test_the_last_of_each_is_found_up_to_a_day_and_a_note_is_no_look() -> None:
    log = [line(Check(left=0.2), 1), fed(0.5, 2), line(Check(left=0.4), 5), line(Note(), 9)]
    assert habits.last_check(log, on(4)) == log[0]
    assert habits.last_feeding(log, on(1)) is None
    assert habits.last_feeding(log, on(9)) == log[1]
    assert habits.last_looked(log, on(9)) == on(5)
    assert habits.last_looked([], on(9)) is None
