"""Never more out of a lot than is in it, no step back, nothing fresh into ready castings; each told in a sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.castings.made_up import at, came, measured, sold, step, used
from wormbin.castings.holding import hold
from wormbin.problems import RefusedError
from wormbin.records.entries import Strike
from wormbin.records.lots import LotLine, LotStep

BOOK = [came("a", at(3, 1), 4.0), sold("s", at(3, 5), 3.0)]


def refused(before: list[LotLine], *more: LotLine) -> str:
    ids = {line.id for line in more}
    with pytest.raises(RefusedError) as error:
        hold(before, [*(line for line in before if line.id not in ids), *more], "metric")
    return str(error.value)


def passes(before: list[LotLine], *more: LotLine) -> None:
    ids = {line.id for line in more}
    hold(before, [*(line for line in before if line.id not in ids), *more], "metric")


def struck(line: LotLine) -> LotLine:
    return replace(line, struck=Strike("mistyped", "Ana", at(3, 9)))


def test_the_last_gram_may_go_and_not_one_more() -> None:
    passes(BOOK, used("u", at(3, 6), 1.0))
    passes(BOOK, used("u", at(3, 6), 1.0004))
    words = refused(BOOK, used("u", at(3, 6), 1.001))
    assert "amount: “1 kg” does not fit. Write up to 1 kg, which is what lot spring held on 2026-03-06" in words
    assert "Write up to 1 kg" in refused(BOOK, sold("t", at(3, 6), 9.0))


def test_what_is_taken_out_on_an_earlier_day_must_have_been_there_then_and_be_left_for_later() -> None:
    assert "opened later than 2026-02-01" in refused([came("a", at(3, 1), 4.0)], measured("m", at(2, 1), 1.0))
    assert "up to 0 g, which is what lot spring held on 2026-02-01" in refused(BOOK, sold("t", at(2, 1), 1.0))
    words = refused(BOOK, used("u", at(3, 2), 2.0))
    assert "amount: “2 kg” does not fit. Write up to 1 kg, since 3 kg were sold on 2026-03-05 (line s)" in words
    passes(BOOK, used("u", at(3, 2), 1.0))


def test_castings_may_go_out_on_the_day_they_came_in() -> None:
    passes([came("a", at(3, 1, 20), 4.0)], sold("s", at(3, 1, 9), 4.0))


def test_a_harvest_that_was_sold_from_cannot_be_struck_or_put_lower_than_what_went_out() -> None:
    words = refused(BOOK, struck(BOOK[0]))
    assert "first strike that 3 kg were sold on 2026-03-05 (line s). Else nothing would be left" in words
    less = replace(came("b", at(3, 1), 2.0), replaces="a~")
    assert "Else only 2 kg would have been in it" in refused(BOOK, less)
    passes(BOOK, replace(came("b", at(3, 1), 3.0), replaces="a~"))
    passes(BOOK, struck(BOOK[0]), struck(BOOK[1]))
    passes([*BOOK, came("b", at(3, 2), 9.0)], struck(BOOK[0]))


def test_a_harvest_can_be_struck_with_steps_behind_it() -> None:
    passes([BOOK[0], step("c", at(3, 3), LotStep.CURING)], struck(BOOK[0]))


def test_steps_go_forward_only() -> None:
    book: list[LotLine] = [BOOK[0], step("c", at(3, 3), LotStep.SCREENED)]
    passes(book, step("d", at(3, 4), LotStep.STOCK))
    assert "step: “curing” does not fit. Write a step after screened: stock" in refused(
        book, step("d", at(3, 4), LotStep.CURING)
    )
    assert "a step after screened: stock" in refused(book, step("d", at(3, 4), LotStep.SCREENED))
    assert "in stock already, and no step comes after that" in refused(
        [*book, step("d", at(3, 4), LotStep.STOCK)], step("e", at(3, 5), LotStep.STOCK)
    )
    passes(book, replace(step("d", at(3, 3), LotStep.CURING), replaces="c"))
    passes(book, step("d", at(3, 2), LotStep.CURING))


def test_fresh_castings_do_not_go_into_a_lot_that_is_sieved() -> None:
    book = [BOOK[0], step("c", at(3, 3), LotStep.CURING)]
    passes(book, came("b", at(3, 4), 1.0))
    ready = [BOOK[0], step("c", at(3, 3), LotStep.STOCK)]
    assert "lot: “spring” does not fit. Write a lot that is not in stock yet" in refused(
        ready, came("b", at(3, 4), 1.0)
    )
    passes(ready, came("b", at(3, 2), 1.0))
    passes(ready, replace(came("b", at(3, 1), 3.0), replaces="a~"))


def test_a_lot_that_nothing_came_into_takes_no_line() -> None:
    for line in (sold("s", at(3, 1), 1.0), step("c", at(3, 1), LotStep.CURING), measured("m", at(3, 1), 1.0)):
        assert "Write a lot that castings were harvested into" in refused([], line)


def test_a_weighing_of_far_more_than_the_log_knows_is_refused() -> None:
    passes(BOOK, measured("m", at(3, 6), 2.0))
    words = refused(BOOK, measured("m", at(3, 6), 2.5))
    assert "mass: “2.5 kg” does not fit. Write up to twice the 1 kg that the log knows of" in words


def test_a_harvest_that_a_weighing_rests_on_cannot_be_struck() -> None:
    book = [BOOK[0], came("b", at(3, 1), 0.5), measured("m", at(3, 2), 4.2), sold("s", at(3, 5), 3.0)]
    words = refused(book, struck(BOOK[0]))
    assert "first strike that it weighed 4.2 kg on 2026-03-02 (line m). Else only 500 g came into it" in words
    passes(book, struck(book[1]))


def test_castings_may_come_into_a_lot_that_was_left_with_sales_alone() -> None:
    alone: list[LotLine] = [sold("s", at(3, 5), 2.0), sold("t", at(3, 6), 3.0)]
    passes(alone, came("a", at(3, 1), 1.0))
    assert "up to 0 g" in refused([*alone, came("a", at(3, 1), 1.0)], used("u", at(3, 7), 1.0))
    assert "a lot that castings were harvested into" in refused(alone, used("u", at(3, 7), 1.0))


def test_what_a_merge_left_short_does_not_stop_other_changes_but_may_not_get_worse() -> None:
    short = [*BOOK, sold("t", at(3, 6), 3.0)]
    passes(short, replace(came("o", at(3, 1), 1.0), lot="other"))
    passes(short, struck(short[2]))
    passes(short, came("b", at(3, 2), 1.0))
    assert "up to 0 g" in refused(short, used("u", at(3, 7), 1.0))
    assert "t" in refused(short, replace(came("b", at(3, 1), 3.5), replaces="a~"))
