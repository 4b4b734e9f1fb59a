"""A pile's heat by the rule of 7 CFR 205.203(c)(2): 131 F (55 C) to 170 F, 3 days in a vessel, 15 days and 5 turns."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.castings.made_up import at, line
from wormbin.castings.piles import Pile, piles
from wormbin.records.kinds.castings import Heat, Piled, PileWay
from wormbin.records.lots import LotLine


def heap(way: PileWay, *heats: tuple[int, float | None, bool]) -> Pile:
    """A pile begun on 1 March, with readings by the day of March."""
    book: list[LotLine] = [line("p", at(3, 1), Piled("rabbit-manure", 100.0, way), "heap")]
    book += [line(f"h{number}", at(3, day), Heat(c, turned), "heap") for number, (day, c, turned) in enumerate(heats)]
    (found,) = piles(book)
    return found


def hot(*days: int, c: float = 58.0, turned: tuple[int, ...] = ()) -> list[tuple[int, float | None, bool]]:
    return [(day, c, day in turned) for day in days]


@pytest.mark.parametrize(("c", "met"), [(54.9, False), (55.0, True), (76.7, True), (77.0, False)])
def test_three_days_in_a_vessel_are_met_from_131_f_on_and_not_below(c: float, met: bool) -> None:
    assert heap(PileWay.VESSEL, *hot(2, 3, 4, 5, c=c)).met is met


def test_days_are_counted_from_one_days_reading_to_the_next_and_a_gap_is_named() -> None:
    assert heap(PileWay.VESSEL, *hot(2, 3, 4)).hot_days == 2
    found = heap(PileWay.VESSEL, *hot(2, 3, 5, 6))
    assert (found.hot_days, found.gaps, found.met) == (2, (date(2026, 3, 4),), False)


def test_a_cooler_reading_breaks_the_run_and_the_best_run_counts() -> None:
    found = heap(PileWay.VESSEL, *hot(2, 3, 4, 5), (6, 50.0, False), *hot(7, 8))
    assert (found.hot_days, found.hot_until, found.broken) == (3, date(2026, 3, 5), date(2026, 3, 6))
    both = heap(PileWay.VESSEL, *hot(2, 3, 4, 5), (4, 50.0, False))
    assert both.hot_days == 1, "a day counts when no reading of it was cooler"


def test_a_windrow_asks_for_fifteen_days_and_five_turns_within_them() -> None:
    days, turned = tuple(range(2, 18)), (3, 6, 9, 12, 15)
    assert heap(PileWay.WINDROW, *hot(*days, turned=turned)).met
    assert not heap(PileWay.WINDROW, *hot(*days[:-1], turned=turned)).met
    assert not heap(PileWay.WINDROW, *hot(*days, turned=turned[1:])).met
    late = heap(PileWay.WINDROW, *hot(*days, turned=turned[1:]), (20, None, True))
    assert (late.turns, late.met) == (4, False)
    assert late.hot_until == date(2026, 3, 1) + timedelta(days=16)
