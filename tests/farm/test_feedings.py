"""A feeding before it is saved: the advised bucket with its own bedding, and what was given on days that are over."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import feedings, logbook
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.figures import Level
from wormbin.measures import parse_amount_of
from wormbin.records.entries import Kind


def _kg(words: str) -> float:
    amount, _rest = parse_amount_of(words)
    return amount.kg()


def test_the_advised_bucket_takes_the_bedding_of_what_is_taken_and_not_of_the_whole_bucket(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    view = feedings.preview(farm, "kitchen", ["20 kg melon rind"])
    instead = feedings.advised_bucket(farm, view)
    taken = sum(_kg(words) for words in instead.portions)
    assert 0 < taken < 2
    whole = sum(each.kg for each in view.proposal.beddings)
    bedding = sum(_kg(words) for words in instead.bedding.split(", ") if words)
    assert bedding < 3 * whole * taken / view.total_kg
    named = [words for words in instead.bedding.split(", ") if words]
    then = feedings.preview(farm, "kitchen", instead.portions, bedding=named, water=instead.water)
    assert not then.too_much
    assert then.moisture_after.p50 > then.moisture_before.p50 - 0.05


def test_what_was_fed_on_a_day_that_is_over_tells_what_it_was_and_is_never_held(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    heading = Heading(when="2026-05-20T09:00")
    view = feedings.preview(farm, "kitchen", ["9 kg melon rind"], heading=heading)
    on_the_day = feedings.preview(open_farm(tmp_path, NOW.replace(month=5, day=20)), "kitchen", ["9 kg melon rind"])
    assert view.level is on_the_day.level is Level.ACT
    assert on_the_day.too_much
    assert not view.too_much
    assert view.verdict.startswith("a record of 2026-05-20: too much for that day, up to ")
    assert "freeze" not in view.verdict
    little = feedings.preview(farm, "kitchen", ["50 g melon rind"], heading=heading)
    assert little.level is Level.STEADY
    assert little.verdict == "a record of 2026-05-20: right for that day"
    assert record_feeding(farm, "kitchen", ["9 kg melon rind"], heading=heading).ids


def test_an_old_feeding_is_put_right_without_being_held(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    old = next(line for line in logbook.lines(farm, "kitchen") if line.kind == "feeding")
    heading = Heading(when=old.when.isoformat(), replaces=old.entry)
    assert record_feeding(farm, "kitchen", ["5 kg melon rind"], heading=heading).ids


def test_a_feeding_put_right_is_judged_as_of_its_own_time_and_not_by_a_later_check(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    before = Heading(when="2026-06-01T08:00")
    line = record_feeding(farm, "kitchen", ["100 g melon rind"], heading=before, anyway=True).ids[0]
    right = Heading(when="2026-06-01T08:00", replaces=line)
    first = feedings.preview(farm, "kitchen", ["120 g melon rind"], heading=right)
    write(farm, "kitchen", Kind.CHECK, {"left": "90%"}, Heading(when="2026-06-01T12:00"))
    assert feedings.preview(farm, "kitchen", ["120 g melon rind"], heading=right).up_to_kg == pytest.approx(
        first.up_to_kg
    )
