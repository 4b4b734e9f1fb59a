"""Days of which nobody knows: done about as usual, in wide doubt, and the same however the replay got there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from random import Random
from statistics import fmean

import numpy as np
import pytest

from tests.benchmarks.families import QUANTITIES, after_silence
from tests.process.a_bin import START, TABLE, entry, household, log_of, moment_of, started
from tests.process.test_balance import assert_closed
from tests.worlds.families.keeper import FAMILIES
from wormbin.process.belief import Belief
from wormbin.process.replay import Replay, replay
from wormbin.records.entries import Check, Entry, Feeding, Note, Portion, Squeeze, Watering
from wormbin.records.farms import Away

QUIET = log_of(60)
"""Fed and looked at twice a week until day 60, and not a word since."""


def replayed(lines: Sequence[Entry], day: float, away: tuple[Away, ...] = ()) -> Replay:
    return replay(household(), lines, TABLE, moment_of(day, 6.0), away=away)


def mark(first: int, last: int) -> Entry:
    return entry("u", 99, Note(START + timedelta(days=first), START + timedelta(days=last)))


def test_a_silence_is_taken_to_have_gone_on_about_as_usual() -> None:
    silent, kept = replayed(QUIET, 100), replayed(log_of(99), 100)
    assert [(each.first, each.last) for each in silent.silences] == [
        (START + timedelta(days=61), START + timedelta(days=99))
    ]
    for name in ("moisture", "worms_kg", "castings_dry_kg", "feed_waiting_kg"):
        guessed, known = getattr(silent.today, name), getattr(kept.today, name)
        assert guessed.p10 < known.p50 < guessed.p90, name
        assert guessed.width > 1.3 * known.width, name


def test_an_absence_is_known_and_nothing_was_done_in_it() -> None:
    away = (Away(START + timedelta(days=61), START + timedelta(days=99), bin="kitchen"),)
    gone = replayed(QUIET, 100, away)
    assert gone.silences == ()
    assert gone.today.feed_waiting_kg.p90 < 0.1 * replayed(QUIET, 100).today.feed_waiting_kg.p50


def test_a_marked_stretch_is_read_at_any_length() -> None:
    plain, marked = replayed(QUIET, 65), replayed([*QUIET, mark(61, 64)], 100)
    told = {each.on: each for each in marked.days}[START + timedelta(days=64)]
    known = {each.on: each for each in plain.days}[START + timedelta(days=64)]
    assert plain.silences == ()
    assert told.feed_waiting_kg.width > 1.5 * known.feed_waiting_kg.width


def test_no_more_is_taken_to_be_given_than_the_bin_can_take() -> None:
    lines = [*started(), *(entry(f"f{day}", day, Feeding((Portion("scraps", 2.5),))) for day in (30, 33, 36))]
    found = replayed(lines, 90)
    assert found.today.feed_waiting_kg.p50 < 5.0 * found.today.appetite_kg_day.p50


def test_a_bin_without_a_habit_is_only_widened_for_three_weeks() -> None:
    lines = [*started(), entry("f", 2, Feeding((Portion("scraps", 0.5),)))]
    away = (Away(START + timedelta(days=3), START + timedelta(days=99)),)
    for day, kept in ((24, False), (25, True)):
        silent, gone = replayed(lines, day), replayed(lines, day, away)
        assert silent.silences
        for name in ("moisture", "worms_kg", "castings_dry_kg"):
            guessed, known = getattr(silent.today, name), getattr(gone.today, name)
            assert (guessed.p50 > known.p50 * (1.0 + 1e-9)) is kept, (day, name)
            assert kept or guessed.width > 1.05 * known.width, name


def test_the_books_close_over_a_silence() -> None:
    books = replayed([*QUIET, *(entry(f"w{day}", day, Watering(0.5)) for day in (40, 50))], 100).balance
    before = replayed(QUIET, 60).balance
    assert books.put_in.dry > before.put_in.dry + 0.5
    assert_closed(books, books.put_in.dry + books.put_in.water)


def test_what_is_left_of_an_unknown_meal_teaches_nothing_and_a_squeeze_pulls_the_band_in() -> None:
    back = entry("back", 100, Check(squeeze=Squeeze.SPONGE, left=0.95), 5)
    before, after = replayed(QUIET, 100), replayed([*QUIET, back], 100)
    assert after.today.moisture.width < 0.8 * before.today.moisture.width
    assert not [each for each in after.judged if each.entry == "eback" and each.quantity == "left"]
    met = entry("met", 102, Feeding((Portion("scraps", 0.8),)))
    again = entry("again", 104, Check(left=0.5), 5)
    judged = replayed([*QUIET, back, met, again], 104).judged
    assert [each for each in judged if each.entry == "eagain" and each.quantity == "left"]


def random_log(rng: Random) -> list[Entry]:
    """Lines of 120 days with a few silences, now and then one that is marked later."""
    lines, day = started(), 1
    while day < 120:
        what = rng.choice((
            Feeding((Portion("scraps", rng.uniform(0.2, 1.0)),)), Check(squeeze=rng.choice(list(Squeeze))),
            Watering(0.3), Check(left=rng.random()),
        ))  # fmt: skip
        lines.append(entry(f"r{day}", day, what))
        day += rng.choice((1, 2, 3, 4)) if rng.random() < 0.9 else rng.randint(7, 30)
    if rng.random() < 0.5:
        first = rng.randint(10, 100)
        note = Note(START + timedelta(days=first), START + timedelta(days=first + rng.randint(0, 9)))
        lines.append(entry("u", min(119, first + rng.randint(10, 19)), note))
    return lines


@pytest.mark.parametrize("seed", range(3))
def test_going_on_from_a_belief_comes_to_the_same_over_silences(seed: int) -> None:
    rng = Random(seed)
    lines = random_log(rng)
    day = rng.randint(2, 12)
    beliefs: list[Belief] = []
    while day < 124:
        so_far = [each for each in lines if each.when <= moment_of(day, 6.0)]
        cold = replayed(so_far, day)
        gone_on = replay(household(), so_far, TABLE, moment_of(day, 6.0), resume=beliefs)
        assert gone_on.silences == cold.silences
        assert gone_on.today == cold.today
        assert np.array_equal(gone_on.run.c, cold.run.c)
        beliefs += gone_on.beliefs
        day += rng.randint(1, 12)


def test_a_belief_of_the_first_silent_days_no_longer_fits_once_the_silence_is_told() -> None:
    first_days = replayed(QUIET, 64)
    later = replay(household(), QUIET, TABLE, moment_of(75, 6.0), resume=first_days.beliefs[-1])
    assert later.days[0].on == START
    on = replay(household(), QUIET, TABLE, moment_of(76, 6.0), resume=later.beliefs[-1])
    assert on.days[0].on == START + timedelta(days=75)


@pytest.mark.more
def test_truth_lies_in_the_bands_after_forty_silent_days() -> None:
    """A few bins with equations of their own, whose keepers went on, did half or nothing; loose bounds, for few."""
    said = [each for family in FAMILIES for number in range(6) for each in after_silence(family, 77, number)]
    shares = {name: fmean(each.inside for each in said if each.quantity == name) for name in QUANTITIES}
    assert min(shares.values()) >= 0.5, shares
    assert fmean(shares.values()) >= 0.7, shares
