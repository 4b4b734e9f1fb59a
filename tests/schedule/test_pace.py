"""How long the keeper's own work takes, told from the times of the lines."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from tests.schedule.lines import BIN, MONDAY, looked
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Harvest
from wormbin.schedule.harvest import harvest_minutes
from wormbin.schedule.pace import HARVEST_LEAST, WALK_LEAST, Pace, pace

BEFORE = MONDAY + timedelta(days=1)


def bins(count: int) -> list[Bin]:
    return [replace(BIN, key=f"bed-{at:02}") for at in range(count)]


def walked(minutes: float, count: int, on: date = MONDAY, by: str = "Ana") -> list[tuple[Bin, list[Entry]]]:
    """A round on which every look is written so many minutes after the one before."""
    first = looked(on).when.replace(hour=8, minute=0)
    return [
        (
            one,
            [replace(looked(on), id=f"{one.key}-{on}-{by}", bin=one.key, by=by, day_only=False,
                     when=first + timedelta(minutes=minutes * at))],
        )
        for at, one in enumerate(bins(count))
    ]  # fmt: skip


def test_minutes_are_told_from_one_bin_to_the_next() -> None:
    assert pace(walked(2.5, WALK_LEAST + 1), BEFORE).walk == pytest.approx(2.5)


@pytest.mark.parametrize("count", [1, WALK_LEAST])
def test_too_few_lines_tell_nothing(count: int) -> None:
    assert pace(walked(2.5, count), BEFORE) == Pace()


@pytest.mark.parametrize("minutes", [0.0, 0.2, 4.1, 90.0])
def test_what_was_written_up_afterwards_and_what_holds_a_pause_tells_nothing(minutes: float) -> None:
    assert pace(walked(minutes, 40), BEFORE) == Pace()


def test_lines_of_a_day_without_times_of_two_hands_and_of_today_tell_nothing() -> None:
    plain = [(one, [replace(each, day_only=True) for each in log]) for one, log in walked(2.5, 40)]
    assert pace(plain, BEFORE) == Pace()
    assert pace(walked(2.5, 40), MONDAY) == Pace()
    hands = [(one, [replace(log[0], by=f"{at}")]) for at, (one, log) in enumerate(walked(2.5, 40))]
    assert pace(hands, BEFORE) == Pace()


def test_a_harvest_has_a_pace_of_its_own() -> None:
    one, other = bins(2)
    book = harvest_minutes(one)
    logs: list[tuple[Bin, list[Entry]]] = [(one, []), (other, [])]
    for week in range(HARVEST_LEAST):
        at: datetime = looked(MONDAY - timedelta(days=7 * week)).when.replace(hour=8)
        logs[0][1].append(replace(looked(at.date()), id=f"l{week}", bin=one.key, when=at, by="Ana", day_only=False))
        took = replace(looked(at.date()), id=f"h{week}", bin=other.key, what=Harvest(5.0), by="Ana", day_only=False)
        logs[1][1].append(replace(took, when=at + timedelta(minutes=book / 2)))
    assert pace(logs, BEFORE).harvest == pytest.approx(0.5)
