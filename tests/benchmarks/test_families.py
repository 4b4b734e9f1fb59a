"""How the families are judged, both sides of each edge; and a short look at them in every run."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.benchmarks import families, thumb
from tests.benchmarks.alarms import GRACE, Warned, judge, runs
from tests.benchmarks.families import Harvest, tables
from tests.benchmarks.made_logs import Kept, kept_bins
from tests.worlds.truth import Trouble
from wormbin.records.entries import Harvest as HarvestLine

FEW, SEED = 2, 77


@pytest.fixture(scope="module")
def few() -> tuple[Kept, ...]:
    return tuple(kept_bins(9, SEED, days=200))


def test_a_few_bins_of_each_family_are_foretold_about_as_well_as_is_claimed() -> None:
    """Bounds are loose, for nine bins say little; the tables for many are in the method page."""
    found = families.study(SEED, FEW, 0, 1)
    for name in families.QUANTITIES:
        some = [each.inside for each in found.asked if each.quantity == name]
        assert len(some) == 3 * FEW * 3
        assert sum(some) / len(some) >= 0.55, name
    assert all(each.low <= each.likely <= each.high for each in found.asked)
    assert all(0 <= each.low <= each.high <= each.beyond + 1 for each in found.harvests)
    told = tables(found, SEED, FEW)
    assert set(told) == {"families"}
    assert "| moisture, day 45 |" in "\n".join(told["families"])


def test_a_harvest_beyond_what_can_be_judged_is_held_as_later_and_nothing_more() -> None:
    late = Harvest("batches", 45, 80.0, 121.0, 121.0, 121.0, 77.0, beyond=120.0)
    assert late.inside
    assert not late.came
    assert not replace(late, low=20.0, likely=60.0, high=120.0).inside
    assert replace(late, truth=120.0).came


def test_the_rule_of_thumb_harvests_after_four_months(few: tuple[Kept, ...]) -> None:
    first = few[0].truth.days[0].on
    assert thumb.harvest_on(first, (), first) == first + timedelta(days=122)
    assert thumb.harvest_on(first, (), first + timedelta(days=300)) == first + timedelta(days=301)
    taken = [entry for each in few for entry in each.entries if isinstance(entry.what, HarvestLine)]
    on = taken[0].when.date()
    assert thumb.harvest_on(first, taken[:1], on) == on + timedelta(days=122)


def first_of(few: tuple[Kept, ...], kind: Trouble) -> tuple[Kept, date]:
    return next((kept, run.first) for kept in few for run in kept.truth.troubles(kind) if run.days >= 2)


def test_a_warning_in_time_catches_and_a_late_one_does_not(few: tuple[Kept, ...]) -> None:
    kept, began = first_of(few, Trouble.OVERFED)
    before, after = GRACE[Trouble.OVERFED]

    def caught(on: date) -> bool:
        found = judge(kept, [Warned(on, frozenset({"overfed"}))], 0)
        return next(each.caught for each in found.troubles if each.first == began and each.kind is Trouble.OVERFED)

    assert caught(began)
    assert caught(began - timedelta(days=before))
    assert caught(began + timedelta(days=after))
    assert not caught(began - timedelta(days=before + 1))
    assert not caught(began + timedelta(days=after + 1))


def test_a_warning_of_what_is_nowhere_near_is_a_false_alarm_and_one_of_a_trouble_is_not(few: tuple[Kept, ...]) -> None:
    kept, began = first_of(few, Trouble.OVERFED)
    calm, stretch = next((each, run) for each in few for run in each.truth.calm if run.days > 20)
    wrong = judge(calm, [Warned(stretch.first + timedelta(days=10), frozenset({"air-short"}))], 0)
    assert [(each.kind, each.codes) for each in wrong.alarms] == [(Trouble.AIR_SHORT, ("air-short",))]
    assert not judge(kept, [Warned(began, frozenset({"overfed"}))], 0).alarms


def test_evenings_in_a_row_are_one_alarm() -> None:
    first = date(2026, 1, 1)
    days = [first + timedelta(days=n) for n in (0, 1, 4, 9, 10)]
    assert [(run.first, run.last) for run in runs(days)] == [(days[0], days[2]), (days[3], days[4])]
