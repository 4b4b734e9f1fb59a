"""Carbon, nitrogen, ash, water and dry matter stay in the books over any log, whatever the keeper writes."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings, strategies as st

from tests.process.a_bin import START, TABLE, household, moment_of
from wormbin.process.inside import Balance
from wormbin.process.outlook import look_ahead
from wormbin.process.pools import RISE
from wormbin.process.replay import replay
from wormbin.process.views import Planned
from wormbin.records.bins import Cover, Method
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Fluff,
    Harvest,
    MoistureBy,
    Move,
    Note,
    Portion,
    Sample,
    Squeeze,
    Stocking,
    Survey,
    Watering,
    Weighing,
    What,
)

SHARE = st.floats(0.0, 1.0)
KG = st.sampled_from([1e-6, 0.001, 0.05, 0.4, 1.0, 7.5, 60.0])
PORTIONS = st.lists(
    st.builds(Portion, st.sampled_from([*TABLE, "forgotten"]), KG, moisture=st.none() | st.floats(0.0, 0.98)),
    min_size=1,
    max_size=3,
).map(tuple)
SAMPLES = st.lists(
    st.builds(Sample, st.floats(0.005, 0.5), st.none() | KG, st.none() | st.integers(0, 900)), min_size=1, max_size=4
).map(tuple)
CHECKS = st.builds(
    Check,
    st.none() | SHARE,
    st.none() | st.sampled_from(list(MoistureBy)),
    st.none() | st.sampled_from(list(Squeeze)),
    st.none() | st.floats(-10, 60),
    st.none() | SHARE,
    st.none() | st.floats(0.0, 0.6),
)
WHAT: st.SearchStrategy[What] = st.one_of(
    st.builds(Feeding, PORTIONS),
    st.builds(Bedding, PORTIONS),
    st.builds(Watering, KG),
    st.builds(Draining, KG),
    st.builds(Stocking, st.sampled_from([-50.0, -0.2, 0.001, 0.3, 2.0]), st.none() | st.just(300)),
    st.builds(Move, KG, st.just("other"), st.booleans()),
    st.builds(Harvest, KG, st.none() | SHARE, st.none() | KG),
    st.builds(Weighing, KG),
    st.builds(Survey, SAMPLES),
    CHECKS,
    st.just(Fluff()),
    st.just(Note()),
)
LINES = st.lists(
    st.tuples(st.floats(-3.0, 20.0), st.sampled_from([0.0, 9.0, 18.0, 23.99]), WHAT, st.integers(0, 6)), max_size=25
)


def assert_closed(balance: Balance, put: float) -> None:
    scale = 1e-9 * max(1e-3, put)
    lost = {
        "dry": balance.burned, "carbon": balance.carbon_dioxide, "nitrogen": balance.ammonia, "ash": 0.0,
        "water": balance.evaporated + balance.drained - balance.made,
    }  # fmt: skip
    for name, gone in lost.items():
        went_in, taken, corrected, there = (
            getattr(each, name) for each in (balance.put_in, balance.taken_out, balance.corrected, balance.there)
        )
        assert abs(went_in - taken + corrected - gone - there) <= scale, name


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    lines=LINES,
    parts=st.integers(1, 5),
    sideways=st.booleans(),
    cover=st.sampled_from(list(Cover)),
    drains=st.booleans(),
)
def test_whatever_is_written_the_books_close(
    lines: list[tuple[float, float, What, int]], parts: int, sideways: bool, cover: Cover, drains: bool
) -> None:
    bin_ = household(
        compartments=parts, method=Method.SIDEWAYS if sideways else Method.UPWARD, cover=cover, drainage=drains
    )
    entries = [
        Entry(f"x{i}", "kitchen", moment_of(int(day), hour), what, compartment=where)
        for i, (day, hour, what, where) in enumerate(lines)
    ]
    found = replay(bin_, entries, TABLE, moment_of(21))
    books = found.balance
    put = sum(abs(getattr(books.put_in, n)) + abs(getattr(books.corrected, n)) for n in ("dry", "water"))
    assert_closed(books, put)
    assert found.run.c[:RISE].min() >= -1e-12
    for day in found.days:
        assert 0.0 <= day.moisture.p10 <= day.moisture.p50 <= day.moisture.p90 <= 1.0
        assert day.feed_waiting_kg.p10 >= 0.0
        assert 0.0 <= day.castings_share.p50 <= 1.0


def test_the_books_close_over_a_year_of_usual_keeping_and_a_look_ahead() -> None:
    from tests.process.a_bin import log_of

    found = replay(household(), log_of(365), TABLE, moment_of(365))
    assert_closed(found.balance, found.balance.put_in.dry + found.balance.put_in.water)
    assert found.balance.burned > 0.3 * found.balance.put_in.dry
    ahead = look_ahead(found, [Planned(START.replace(year=START.year + 1, month=1, day=20), 0.8, 0.2, 0.1)], 30)
    assert len(ahead.days) == 30


def test_a_reading_that_changes_what_is_believed_shows_in_the_books() -> None:
    from tests.process.a_bin import entry, log_of

    plain = replay(household(), log_of(20, left=None), TABLE, moment_of(20))
    weighed = replay(household(), [*log_of(20, left=None), entry("w", 20, Weighing(15.0), 12)], TABLE, moment_of(20))
    assert abs(weighed.balance.corrected.water - plain.balance.corrected.water) > 0.1
    assert_closed(weighed.balance, weighed.balance.put_in.dry + weighed.balance.put_in.water)
