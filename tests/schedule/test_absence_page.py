"""The away page of a bin that is wet or held says each thing once, and nothing against it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.schedule.lines import BIN
from tests.schedule.test_absence import SATURDAY, ahead
from wormbin.figures import Band, Level
from wormbin.records.farms import Settings
from wormbin.schedule.absence import AbsencePlan, Amiss, absence_plan

STEPS = ("add 180 g dry shredded cardboard", "no feed until about 28 November")
WET = Amiss(Level.ACT, ("3.1 L of water stands at the base",), STEPS, wet=True, hold=True, said=True, bedding_kg=0.18)


def page(amiss: Amiss, moisture: float) -> AbsencePlan:
    rows = [replace(day, moisture=Band.exactly(moisture)) for day in ahead(40, waiting=0.0)]
    last = SATURDAY + timedelta(days=11)
    return absence_plan(BIN, rows[0], rows[1:], Settings(), SATURDAY, last, feed_kg=0.0, amiss=amiss)


def test_bedding_of_the_first_step_is_counted_in_the_bedding_of_the_second() -> None:
    plain, wet = page(Amiss(), 0.8), page(WET, 0.8)
    assert wet.bedding_kg == pytest.approx(plain.bedding_kg - 0.18)
    assert any("more of dry bedding" in line for line in wet.before)
    assert page(replace(WET, bedding_kg=5.0), 0.8).bedding_kg == 0.0
    assert not any("lay" in line.split() for line in page(replace(WET, bedding_kg=5.0), 0.8).before)


def test_feeding_is_stopped_once_and_a_wet_bin_is_not_closed() -> None:
    said = " / ".join(page(WET, 0.8).before)
    assert said.count("feed") == 1
    assert "feed nothing more" in " / ".join(page(replace(WET, said=False), 0.8).before)
    assert "close the cover" not in said
    assert "ajar" in said
    assert "close the cover" in " / ".join(page(Amiss(), 0.8).before)


def test_moisture_that_is_under_the_limit_already_does_not_fall_under_it() -> None:
    (step,) = (each for each in page(WET, 0.69).steps if each.code == "water-short")
    assert step.what.startswith("moisture stands at 69% already, under 70%")
    assert "only if it crumbles" in step.what
