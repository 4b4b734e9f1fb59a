"""A lot's balance is what came in less what went out; a weighing sets it; steps, moisture and room follow the log."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

import pytest
from hypothesis import given, strategies as st

from tests.castings.made_up import at, came, measured, sold, step, used
from wormbin.castings.lot import find_lot, lots
from wormbin.problems import RefusedError, UnclearError
from wormbin.records.entries import Strike
from wormbin.records.lots import LotLine, LotStep


def test_mass_is_what_came_in_less_what_went_out() -> None:
    (lot,) = lots(
        [came("a", at(3, 1), 4.0), came("b", at(3, 8), 6.0), sold("s", at(4, 1), 2.5), used("u", at(4, 2), 1.0)]
    )
    assert (lot.kg, lot.harvested_kg, lot.sold_kg, lot.used_kg, lot.changed_kg) == (6.5, 10.0, 2.5, 1.0, 0.0)
    assert (lot.step, lot.opened, lot.empty, lot.in_stock) == (LotStep.HARVESTED, at(3, 1).date(), False, False)
    assert [each.after_kg for each in lot.moves] == [4.0, 10.0, 7.5, 6.5]


@given(st.lists(st.tuples(st.sampled_from("cmsu"), st.floats(0.01, 1000.0)), min_size=1, max_size=12))
def test_the_balance_always_closes(said: list[tuple[str, float]]) -> None:
    makers: dict[str, Callable[[str, datetime, float], LotLine]] = {"c": came, "m": measured, "s": sold, "u": used}
    lines = [
        came("first", at(1, 1), 5.0),
        *(makers[what](f"n{n}", at(2, 1 + n), kg) for n, (what, kg) in enumerate(said)),
    ]
    (lot,) = lots(lines)
    assert lot.kg == pytest.approx(lot.harvested_kg + lot.changed_kg - lot.sold_kg - lot.used_kg, abs=1e-3)
    assert lot.kg == pytest.approx(lot.moves[-1].after_kg, abs=1e-3)


def test_a_weighing_sets_the_mass_and_says_what_curing_and_sieving_took() -> None:
    (lot,) = lots(
        [
            came("a", at(3, 1), 10.0, 0.8),
            step("c", at(3, 2), LotStep.CURING),
            step("d", at(4, 1), LotStep.SCREENED, kg=7.0, moisture=0.6),
            sold("s", at(4, 2), 2.0),
            step("e", at(4, 3), LotStep.STOCK),
        ]
    )
    assert (lot.kg, lot.changed_kg, lot.step, lot.step_on) == (5.0, -3.0, LotStep.STOCK, at(4, 3).date())
    assert (lot.moisture, lot.moisture_read, lot.weighed_on) == (0.6, True, at(4, 1).date())
    assert lot.in_stock


def test_moisture_of_two_harvests_is_that_of_the_heap_and_unknown_when_one_is() -> None:
    (lot,) = lots([came("a", at(3, 1), 1.0, 0.8), came("b", at(3, 2), 3.0, 0.6)])
    assert lot.moisture == pytest.approx(0.65)
    assert not lot.moisture_read
    (lot,) = lots([came("a", at(3, 1), 1.0, 0.8), came("b", at(3, 2), 3.0)])
    assert lot.moisture is None


def test_room_goes_down_with_the_mass_once_it_was_measured() -> None:
    (lot,) = lots([came("a", at(3, 1), 7.0)])
    assert lot.kg_per_litre is None
    (lot,) = lots([came("a", at(3, 1), 7.0), measured("m", at(3, 2), litres=10.0), sold("s", at(3, 3), 3.5)])
    assert lot.kg_per_litre == pytest.approx(lot.kg / 5.0)


def test_names_in_other_capitals_are_one_lot_and_lots_without_castings_are_none() -> None:
    lines = [
        came("a", at(3, 1), 4.0),
        replace(sold("s", at(3, 2), 1.0), lot="SPRING"),
        replace(used("u", at(3, 2), 1.0), lot="x"),
    ]
    assert [(lot.name, lot.kg) for lot in lots(lines)] == [("spring", 3.0)]


def test_struck_and_replaced_lines_do_not_count() -> None:
    gone = replace(sold("s", at(3, 2), 1.0), struck=Strike("brought back", "Ana", at(3, 3)))
    right = replace(came("b", at(3, 1), 3.0), replaces="a~")
    (lot,) = lots([came("a", at(3, 1), 4.0), right, gone])
    assert (lot.kg, lot.harvested_kg) == (3.0, 3.0)


def test_more_out_than_in_shows() -> None:
    lines: list[LotLine] = [came("a", at(3, 1), 4.0), sold("s", at(3, 2), 3.0), sold("t", at(3, 3), 3.0)]
    (lot,) = lots(lines)
    assert lot.short_kg == pytest.approx(2.0)
    assert lot.kg == pytest.approx(-2.0)


def test_money_taken_adds_up() -> None:
    (lot,) = lots([came("a", at(3, 1), 4.0), sold("s", at(3, 2), 1.0, 6.5), sold("t", at(3, 3), 1.0)])
    assert lot.taken == 6.5


LOTS = lots([replace(came(name, at(3, 1), 1.0), lot=name) for name in ("Spring 1", "Spring 2", "autumn")])


def test_a_name_a_beginning_or_other_capitals_find_it() -> None:
    assert [find_lot(words, LOTS).name for words in ("spring  1", "AUTUMN", "au")] == ["Spring 1", "autumn", "autumn"]


def test_what_is_not_clear_is_asked() -> None:
    with pytest.raises(UnclearError) as error:
        find_lot("spr", LOTS)
    assert error.value.choices == ("Spring 1", "Spring 2")
    with pytest.raises(UnclearError, match="Did you mean autumn"):
        find_lot("autum n", LOTS)
    with pytest.raises(RefusedError, match="one of your lots: Spring 1, Spring 2, autumn"):
        find_lot("winter", LOTS)
    with pytest.raises(RefusedError, match="There is none yet"):
        find_lot("winter", ())


def test_what_was_weighed_before_anything_came_in_is_no_castings() -> None:
    (lot,) = lots([step("a", at(3, 1), LotStep.CURING, kg=9.0), came("b", at(3, 2), 10.0)])
    assert (lot.kg, lot.changed_kg, lot.harvested_kg) == (10.0, 0.0, 10.0)
