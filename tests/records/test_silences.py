"""What counts as a silence, at both sides of each edge."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from tests.schedule.lines import BIN, MONDAY, fed, line, looked, stocked
from wormbin.records.entries import Entry, Note
from wormbin.records.farms import Away
from wormbin.records.habits import last_silence, silences

LOG = (stocked(MONDAY), fed(0.5, MONDAY), *(fed(0.6, MONDAY + timedelta(days=n)) for n in (3, 7)))


def found(log: Iterable[Entry], until: int, away: tuple[Away, ...] = ()) -> list[tuple[int, int, int, bool]]:
    """First and last day counted from Monday, how many, and whether marked."""
    told = silences(BIN.key, tuple(log), away, MONDAY + timedelta(days=until))
    return [((s.first - MONDAY).days, (s.last - MONDAY).days, len(s.days), s.marked) for s in told]


def unknown(first: int, last: int, on: int) -> Entry:
    return line(Note(MONDAY + timedelta(days=first), MONDAY + timedelta(days=last)), MONDAY + timedelta(days=on))


def test_a_silence_is_longer_than_twice_the_days_from_line_to_line() -> None:
    assert found(LOG, 15) == []
    assert found(LOG, 16) == [(8, 15, 8, False)]
    monthly = [stocked(MONDAY), *(looked(MONDAY + timedelta(days=n)) for n in (28, 56, 84))]
    assert found(monthly, 141) == [(1, 27, 27, False)]
    assert found(monthly, 142)[1:] == [(85, 141, 57, False)]


def test_who_writes_daily_may_leave_out_six_days() -> None:
    daily = [stocked(MONDAY), *(looked(MONDAY + timedelta(days=n)) for n in range(1, 9))]
    assert found(daily, 15) == []
    assert found(daily, 16) == [(9, 15, 7, False)]
    assert found([*daily, looked(MONDAY + timedelta(days=16))], 18) == [(9, 15, 7, False)]


def test_a_note_does_not_end_it_and_before_the_stocking_nothing_is_one() -> None:
    assert found([*LOG, line(Note(), MONDAY + timedelta(days=15))], 20) == [(8, 19, 12, False)]
    assert found([looked(MONDAY - timedelta(days=60)), *LOG], 9) == []
    assert found([looked(MONDAY)], 60) == found([], 60) == []


def test_an_absence_is_no_silence() -> None:
    away = (Away(MONDAY + timedelta(days=9), MONDAY + timedelta(days=27)),)
    assert found(LOG, 29, away) == []
    assert found(LOG, 40, away) == [(8, 39, 13, False)]
    assert found(LOG, 29, (replace(away[0], bin="other"),)) == [(8, 28, 21, False)]


def test_marked_days_are_silent_at_any_length_and_days_with_lines_are_known() -> None:
    assert found([*LOG, unknown(8, 9, 10)], 12) == [(8, 9, 2, True)]
    assert found([*LOG, unknown(2, 9, 10)], 12) == [(2, 2, 1, True), (4, 6, 3, True), (8, 9, 2, True)]
    assert found([*LOG, unknown(8, 40, 10)], 12) == [(8, 11, 4, True)]
    assert found([*LOG, unknown(8, 9, 10)], 12, (Away(MONDAY, MONDAY + timedelta(days=30)),)) == []


def test_what_is_left_beside_marked_days_is_judged_by_itself() -> None:
    assert found([*LOG, unknown(25, 30, 60)], 60) == [(8, 24, 17, False), (25, 30, 6, True), (31, 59, 29, False)]
    assert found([*LOG, unknown(8, 24, 24)], 30) == [(8, 24, 17, True)]


def test_a_note_in_the_words_of_an_older_log_still_says_that_nothing_is_known() -> None:
    words = f"nothing is known of {MONDAY + timedelta(days=8)} to {MONDAY + timedelta(days=28)}"
    old = replace(line(Note(), MONDAY + timedelta(days=29)), note=words)
    assert found([*LOG, old], 30) == [(8, 28, 21, True)]
    assert found([*LOG, replace(old, note="nothing is known")], 30) == [(8, 29, 22, False)]


def test_the_last_silence_is_told_until_the_second_look() -> None:
    def told(*log: Entry, until: int) -> tuple[int, int, bool] | None:
        on = MONDAY + timedelta(days=until)
        last = last_silence(silences(BIN.key, log, (), on), log, on)
        return ((last.first - MONDAY).days, (last.last - MONDAY).days, last.marked) if last else None

    back = looked(MONDAY + timedelta(days=40))
    assert told(*LOG, until=9) is None
    assert told(*LOG, until=40) == (8, 39, False)
    assert told(*LOG, unknown(8, 20, 30), until=40) == (8, 39, False)
    assert told(*LOG, back, until=40) == told(*LOG, back, until=43) == (8, 39, False)
    assert told(*LOG, back, looked(MONDAY + timedelta(days=43)), until=43) is None
