"""The learning and the warnings against bins whose truth is known: a short look in every run, the whole when asked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from statistics import median

import pytest

from tests.benchmarks import study, thumb
from tests.benchmarks.alarm_tally import blamed, tallied
from tests.benchmarks.alarms import ASKED, GRACE, Warned, judge, runs
from tests.benchmarks.forecasts import Said, forecasts, without_readings
from tests.benchmarks.made_logs import Kept, kept_bins
from tests.benchmarks.tally import QUANTITIES, score
from tests.worlds.truth import Trouble
from wormbin.records.entries import Check, Harvest, Survey, Weighing

FEW, SHORT_DAYS = 12, 170
COVERED, HELD = (0.70, 0.90), 2.0 / 3.0


@pytest.fixture(scope="module")
def few() -> tuple[Kept, ...]:
    return tuple(kept_bins(FEW, 77, days=SHORT_DAYS))


@pytest.fixture(scope="module")
def said(few: tuple[Kept, ...]) -> list[Said]:
    return [each for kept in few for each in forecasts(kept, (45, 90), 60)]


def test_a_few_bins_are_foretold_about_as_well_as_is_claimed(said: list[Said]) -> None:
    """Bounds are loose, for twelve bins say little; the tight ones are those of the whole study."""
    for name in ("feed waiting", "moisture", "worms"):
        found = score(name, said)
        assert 0.55 <= found.coverage <= 1.0, (name, found)
        # No look counts the herd: what is learned of it must only not lead astray.
        assert found.error < (1.15 if name == "worms" else 1.0) * found.untaught, (name, found)
    waiting = score("feed waiting", said)
    assert waiting.against_thumb is not None
    assert waiting.against_thumb < HELD
    assert score("harvest date", said).coverage >= 0.5


def test_what_is_said_is_a_band_about_its_middle(said: list[Said]) -> None:
    assert {each.quantity for each in said} <= set(QUANTITIES)
    assert all(each.low <= each.likely <= each.high for each in said if each.quantity != "harvest date")
    for each in said:
        if each.beyond is not None:
            assert min(each.low, each.likely, each.high) >= 0
            assert max(each.low, each.likely, each.high, each.truth, each.untaught) <= each.beyond + 1


def test_a_harvest_beyond_what_can_be_judged_is_held_as_later_and_nothing_more() -> None:
    late = Said("b", 45, "harvest date", 80.0, 121.0, 121.0, 121.0, 121.0, 77.0, beyond=120.0)
    assert late.inside
    assert not late.unseen
    nothing = replace(late, low=121.0)
    assert nothing.unseen
    found = score("harvest date", [late, nothing])
    assert (found.asked, found.unseen) == (1, 1)


def test_the_untaught_model_sees_what_was_done_and_nothing_that_was_seen(few: tuple[Kept, ...]) -> None:
    for kept in few:
        plain = without_readings(kept.entries)
        assert not any(isinstance(entry.what, Check | Weighing | Survey) for entry in plain)
        assert len(plain) < len(kept.entries)


def test_the_door_refuses_some_of_what_is_mistyped_and_takes_the_rest(few: tuple[Kept, ...]) -> None:
    assert all(kept.refused < 10 for kept in few)
    assert sum(kept.refused for kept in few) >= 1


def test_the_rule_of_thumb_eats_half_the_weight_a_day_and_harvests_after_four_months(few: tuple[Kept, ...]) -> None:
    kept = few[0]
    first = kept.truth.days[0].on
    assert thumb.waiting_kg(kept.entries, first - timedelta(days=1)) == 0.0
    assert thumb.waiting_kg(kept.entries, first + timedelta(days=60)) >= 0.0
    assert thumb.harvest_on(first, (), first) == first + timedelta(days=122)
    taken = [entry for each in few for entry in each.entries if isinstance(entry.what, Harvest)]
    if taken:
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
    calm = next(day for each in few for day in [each] if any(run.days > 20 for run in day.truth.calm))
    stretch = next(run for run in calm.truth.calm if run.days > 20)
    middle = stretch.first + timedelta(days=10)
    wrong = judge(calm, [Warned(middle, frozenset({"air-short"}))], 0)
    assert [each.kind for each in wrong.alarms] == [Trouble.AIR_SHORT]
    assert blamed([wrong])["air-short"] == 1
    assert tallied([wrong], ASKED).false == 1
    assert not judge(kept, [Warned(began, frozenset({"overfed"}))], 0).alarms


def test_evenings_in_a_row_are_one_alarm() -> None:
    first = date(2026, 1, 1)
    days = [first + timedelta(days=n) for n in (0, 1, 4, 9, 10)]
    assert [(run.first, run.last) for run in runs(days)] == [(days[0], days[2]), (days[3], days[4])]


@pytest.mark.benchmark
@pytest.mark.long
def test_the_whole_study(say: Callable[[str], None]) -> None:
    """Two hundred bins, sixty of them evening by evening; the table is that of the method page."""
    found = study.run(study.tasks(study.BINS, study.ALARM_BINS, study.REPORT_SEED), 2)
    for lines in study.tables(found, study.REPORT_SEED).values():
        say("\n  ".join(lines))
    every = [each for one in found for each in one.said]
    for name in ("harvest date", "feed waiting", "moisture"):
        one = score(name, every)
        assert COVERED[0] <= one.coverage <= COVERED[1], one
        assert one.against_untaught <= HELD, one
        assert one.against_thumb is None or one.against_thumb <= HELD, one
    learned = [one.learned for one in found if one.learned is not None]
    asked = tallied(learned, ASKED)
    assert asked.share >= 0.90, asked
    assert asked.false_a_month < 1.0 / 3.0, asked
    assert median(len(one.said) for one in found) >= 20
