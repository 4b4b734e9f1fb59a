"""What the log teaches: against an outside fit of the same log, under outliers, with many readings and with none."""

from __future__ import annotations

from math import exp, log
from typing import Any, cast

import pytest
from scipy.optimize import least_squares

from tests.process.a_bin import TABLE, entry, fed, household, log_of, moment_of, started
from wormbin.process import abreast, flows, pools
from wormbin.process.ensemble import Doubts, Drift
from wormbin.process.parameters import DEFAULT
from wormbin.process.pools import LEFT, VOLATILE, WORMS
from wormbin.process.replay import Replay, replay
from wormbin.process.run import Run, moment
from wormbin.process.seeing import see
from wormbin.records.entries import Check, Entry, Fluff, MoistureBy, Sample, Squeeze, Stocking, Survey, Weighing

STILL = Doubts(
    half=1e-9, fibres=1e-9, microbes=1e-9, yields=1e-9, holding=1e-9, growth=1e-9, amounts=1e-9, harms=1e-9,
    drift=Drift(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
)  # fmt: skip
"""A bin that does not change, of which only rate, drying and herd are unknown: what an outside fit can be held to."""
FED = [*started(), *fed(1, 61)]
CHECK_DAYS = [day for day in range(3, 61) if day % 7 in (3, 6)]


def lived(log_rate: float, log_drying: float, log_worms: float) -> list[tuple[float, float]]:
    """What is left and how moist a handful is on each check day, in a bin with just these factors."""
    run = Run.begin(household(), TABLE, household().started, DEFAULT, STILL)
    run.c, run.own, run.k = run.c[:, :, :1], run.own[:, :1], run.k[:, :, :1]
    run.own[[flows.RATE, flows.DRYING]] = [[log_rate], [log_drying]]
    out = []
    for number in range(61):
        day = moment_of(number).date()
        if number in CHECK_DAYS:
            abreast.gone([run.forward(moment(moment_of(number, 17)))])
            spread = run.last_feed[1] if run.last_feed else [0.0] * 4
            left = float(spread @ run.likely[LEFT:VOLATILE, 0]) / (sum(spread) or 1.0)
            holds = run.settle()[flows.HOLDS : flows.APPETITE]
            out.append((left, float(pools.handful(run.c, holds)[0, 0])))
        for line in (each for each in FED if each.when.date() == day):
            abreast.gone([run.forward(moment(line.when))])
            if isinstance(line.what, Stocking):
                run.c[WORMS] += line.what.worms_kg * exp(log_worms)
            else:
                run.act(line)
        abreast.gone([run.forward(day.toordinal() + 1.0)])
    return out


def read_log(seen: list[tuple[float, float]]) -> list[Entry]:
    """The log with an oven reading and the share left on each check day."""
    checks = [
        entry(f"k{day}", day, Check(moisture=wet, moisture_by=MoistureBy.OVEN, left=left), 17)
        for day, (left, wet) in zip(CHECK_DAYS, seen, strict=True)
    ]
    return [*FED, *checks]


@pytest.mark.parametrize(("rate", "drying"), [(0.6, 1.5), (1.7, 0.7)])
def test_factors_agree_with_a_map_fit_of_the_same_log(rate: float, drying: float) -> None:
    """The mode of prior times likelihood by scipy.optimize.least_squares, factors within 10 %."""
    seen = lived(log(rate), log(drying), 0.0)

    def misfit(x: list[float]) -> list[float]:
        gone = lived(*x)
        off = [(a - b) / 0.15 for (a, _), (b, _) in zip(gone, seen, strict=True)]
        off += [(a - b) / 0.015 for (_, a), (_, b) in zip(gone, seen, strict=True)]
        return [*off, x[0] / STILL.rate, x[1] / STILL.drying, x[2] / STILL.worms_weighed]

    fit = cast(Any, least_squares)(misfit, [0.0, 0.0, 0.0], diff_step=1e-3)
    found = replay(household(), read_log(seen), TABLE, moment_of(60), doubts=STILL)
    assert found.learned.drying.p50 == pytest.approx(exp(fit.x[1]), rel=0.10)
    assert found.learned.rate.p50 == pytest.approx(exp(fit.x[0]), rel=0.10)


def learned_rate(found: Replay) -> float:
    return found.learned.rate.p50


def test_a_slow_bin_is_learned_from_what_is_left() -> None:
    slow = replay(household(), log_of(45, left=0.85), TABLE, moment_of(45))
    quick = replay(household(), log_of(45, left=0.05), TABLE, moment_of(45))
    assert learned_rate(slow) < 0.9 < 1.15 < learned_rate(quick)
    assert slow.today.feed_waiting_kg.p50 > 3 * quick.today.feed_waiting_kg.p50
    prior = replay(household(), log_of(45, left=None), TABLE, moment_of(45))
    assert slow.learned.rate.width / slow.learned.rate.p50 < prior.learned.rate.width / prior.learned.rate.p50


def test_one_wild_reading_is_questioned_and_hardly_believed() -> None:
    plain = log_of(40)
    wild = [*plain, entry("w", 40, Check(moisture=0.21, moisture_by=MoistureBy.OVEN), 12)]
    before, after = (replay(household(), each, TABLE, moment_of(40)) for each in (plain, wild))
    judged = next(each for each in after.judged if each.entry == "ew")
    assert judged.questioned
    assert judged.weight < 0.25
    assert abs(after.today.moisture.p50 - before.today.moisture.p50) < 0.12
    assert all(each.weight > 0.5 for each in after.judged if each.quantity == "moisture" and each.entry != "ew")


def test_several_readings_of_one_day_narrow_the_band_and_their_spread_counts() -> None:
    def moist(*values: float) -> float:
        pupils = [
            entry(f"p{i}", 40, Check(moisture=value, moisture_by=MoistureBy.METER), 12)
            for i, value in enumerate(values)
        ]
        return replay(household(), [*log_of(40), *pupils], TABLE, moment_of(40)).today.moisture.width

    assert moist(0.78, 0.79, 0.77, 0.78) < moist(0.78) < moist()
    assert moist(0.78, 0.79, 0.77, 0.78) < moist(0.60, 0.96, 0.70, 0.86)


def test_an_oven_test_beside_it_teaches_how_a_meter_reads() -> None:
    def paired(day: int) -> Entry:
        return entry(f"o{day}", day, Check(moisture=0.78, moisture_by=MoistureBy.OVEN), 12)

    def meter(day: int, value: float) -> Entry:
        return entry(f"m{day}", day, Check(moisture=value, moisture_by=MoistureBy.METER), 12)

    untaught = replay(household(), [*log_of(40, left=None), meter(40, 0.93)], TABLE, moment_of(40))
    taught = replay(
        household(), [*log_of(40, left=None), paired(20), meter(20, 0.93), meter(40, 0.93)], TABLE, moment_of(40)
    )
    bias = taught.run.biases["meter"]
    assert bias.paired == 1
    assert bias.mean == pytest.approx(0.15, abs=0.05)
    assert taught.judged[-1].spread < untaught.judged[-1].spread


def test_bands_widen_without_readings_and_narrow_with_them() -> None:
    watched = replay(household(), log_of(60), TABLE, moment_of(60))
    unseen = [each for each in log_of(60) if not (isinstance(each.what, Check) and each.when > moment_of(20))]
    left_alone = replay(household(), unseen, TABLE, moment_of(60))
    for quantity in ("moisture", "feed_waiting_kg", "temp_c"):
        assert getattr(left_alone.today, quantity).width > getattr(watched.today, quantity).width


def test_a_survey_and_a_weighing_and_a_ruler_each_narrow_what_they_read() -> None:
    plain = log_of(50)
    base = replay(household(), plain, TABLE, moment_of(50))
    surveyed = replay(
        household(),
        [*plain, entry("s", 50, Survey(tuple(Sample(0.0225, kg) for kg in (0.05, 0.03, 0.06, 0.05))), 12)],
        TABLE,
        moment_of(50),
    )
    weighed = replay(household(), [*plain, entry("w", 50, Weighing(base.today.total_kg.p50), 12)], TABLE, moment_of(50))
    ruled = replay(household(), [*plain, entry("r", 50, Check(contents_m=0.11), 12)], TABLE, moment_of(50))
    assert surveyed.today.worms_kg.width < base.today.worms_kg.width
    assert surveyed.learned.worms_apart
    assert weighed.today.total_kg.width < 0.5 * base.today.total_kg.width
    deep, said = ruled.today.contents_m, base.today.contents_m
    assert deep.width / deep.p50 < said.width / said.p50
    assert abs(ruled.today.contents_m.p50 - 0.11) < abs(base.today.contents_m.p50 - 0.11) + 1e-9


def test_two_surprises_in_a_row_are_believed_where_one_is_not() -> None:
    plain = log_of(42, left=0.1)
    one = [*plain, entry("x", 42, Check(left=1.0), 19)]
    two = [
        *plain,
        entry("y", 42, Check(left=1.0), 12),
        entry("z", 42, Fluff(), 13),
        entry("x", 42, Check(left=1.0), 19),
    ]
    waits = [replay(household(), each, TABLE, moment_of(42)).today.feed_waiting_kg.p50 for each in (plain, one, two)]
    assert waits[2] > 1.5 * waits[1]
    assert waits[1] > 0.99 * waits[0]


def test_dripping_never_pumps_water_into_a_bin() -> None:
    dripping = [entry(f"d{day}", day, Check(squeeze=Squeeze.DRIPPING), 12) for day in range(20, 60)]
    dry_bin = household(drainage=False)
    plain = replay(dry_bin, log_of(60), TABLE, moment_of(60))
    dripped = replay(dry_bin, [*log_of(60), *dripping], TABLE, moment_of(60))
    assert dripped.today.total_kg.p50 < 1.5 * plain.today.total_kg.p50
    assert dripped.today.moisture.p50 > plain.today.moisture.p50


def test_a_thermometer_moves_the_bin_off_its_site_and_fades() -> None:
    cold = [entry("t", 40, Check(temp_c=12.0), 12)]
    bin_ = household()
    lines = [*started(), *fed(1, 90)]
    plain = replay(bin_, lines, TABLE, moment_of(41)).today.temp_c
    just = replay(bin_, [*lines, *cold], TABLE, moment_of(41)).today.temp_c
    later = replay(bin_, [*lines, *cold], TABLE, moment_of(89)).today.temp_c
    assert just.p50 < plain.p50 - 5
    assert just.width < plain.width
    assert just.p50 < later.p50 < plain.p50


def test_see_is_the_only_way_readings_come_in() -> None:
    found = replay(household(), log_of(30), TABLE, moment_of(30))
    count = len(found.judged)
    see(found.run, [entry("z", 30, Check(left=0.2), 20)])
    assert len(found.run.judged) == count + 1
