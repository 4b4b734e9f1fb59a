"""Orders: standing ones day by day, what was sold on each, and how each stands."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.castings.made_up import at, came
from wormbin.castings.orders import EARLY_DAYS, Promise, Stand, promises
from wormbin.records.entries import Entry, Stocking
from wormbin.records.kinds.castings import Closed, Order, Product
from wormbin.records.lots import LotLine, LotWhat, Sale

MAY = date(2026, 5, 1)
FAR = date(2026, 12, 31)


def line(id: str, on: date, what: LotWhat, name: str = "cafe") -> LotLine:
    return replace(came(id, at(on.month, on.day), 1.0), lot=name, what=what)


def order(kg: float = 20.0, due: date = MAY, **more: object) -> Order:
    return Order(kg, due, **{"buyer": "Corner Cafe", **more})  # type: ignore[arg-type]


def sale(id: str, on: date, kg: float, buyer: str = "", purpose: str = "") -> LotLine:
    return line(id, on, Sale(kg, purpose, buyer=buyer), "spring")


APRIL = date(2026, 4, 1)


def of(*lines: LotLine, on: date = APRIL, until: date = MAY) -> tuple[Promise, ...]:
    return promises([line("a", APRIL, order()), *lines], on, until)


def test_sales_to_the_buyer_are_taken_off_whatever_the_capitals() -> None:
    (one,) = of(sale("b", APRIL, 8.0, "corner cafe"), sale("c", MAY, 11.7, "Corner  Cafe"), on=MAY)
    assert (one.open_kg, one.taken_on, one.stands(MAY)) == (0.0, MAY, Stand.MET)
    (short,) = of(sale("b", APRIL, 19.5, "Corner Cafe"), on=MAY)
    assert short.open_kg == pytest.approx(0.5)


def test_a_sale_for_the_order_by_name_needs_no_buyer_and_others_do_not_count() -> None:
    (one,) = of(sale("b", APRIL, 5.0, purpose="CAFE"), sale("c", APRIL, 9.0, "Ana"), sale("d", APRIL, 9.0))
    assert one.taken_kg == 5.0


@pytest.mark.parametrize(
    ("sold_on", "asked_on", "stands"),
    [
        (None, MAY, Stand.OPEN), (None, MAY + timedelta(days=1), Stand.MISSED),
        (MAY, MAY + timedelta(days=9), Stand.MET), (MAY + timedelta(days=1), MAY + timedelta(days=9), Stand.LATE),
    ],
)  # fmt: skip
def test_how_it_stands(sold_on: date | None, asked_on: date, stands: Stand) -> None:
    (one,) = of(*([sale("b", sold_on, 20.0, "Corner Cafe")] if sold_on else []), on=asked_on)
    assert one.stands(asked_on) is stands


def test_a_sale_before_it_was_promised_or_long_before_its_day_is_no_part_of_it() -> None:
    assert of(sale("b", APRIL - timedelta(days=1), 9.0, "Corner Cafe"))[0].taken_kg == 0.0
    for days, taken in ((EARLY_DAYS, 9.0), (EARLY_DAYS + 1, 0.0)):
        far = promises(
            [line("a", APRIL, order(due=MAY + timedelta(days=days))), sale("b", MAY, 9.0, "Corner Cafe")], MAY, FAR
        )
        assert far[0].taken_kg == taken


def test_a_new_order_begins_at_nothing_whatever_its_buyer_took_that_morning() -> None:
    before, after = (replace(sale(id, APRIL, 9.0, "Corner Cafe"), order=at) for id, at in (("b", 1), ("c", 3)))
    promised = replace(line("a", APRIL, order()), order=2)
    assert promises([promised, before], APRIL, MAY)[0].taken_kg == 0.0
    assert promises([promised, before, after], APRIL, MAY)[0].taken_kg == 9.0
    named = replace(before, what=Sale(9.0, "cafe"))
    assert promises([promised, named], APRIL, MAY)[0].taken_kg == 9.0
    right = replace(promised, id="d", what=order(30.0), replaces="a", order=9)
    assert promises([promised, right, after], APRIL, MAY)[0].taken_kg == 9.0, "put right, it stands since it was made"


def test_a_standing_order_comes_again_and_what_is_sold_fills_the_first_of_them() -> None:
    standing = line("a", APRIL, order(6.0, MAY, every_days=14.0))
    sold = sale("b", APRIL, 8.0, "Corner Cafe")
    found = promises([standing, sold], APRIL, MAY + timedelta(days=30))
    assert [each.due for each in found] == [MAY, MAY + timedelta(days=14), MAY + timedelta(days=28)]
    assert [each.open_kg for each in found] == [0.0, 4.0, 6.0]
    closed = line("c", MAY, Closed("the stall is closed"))
    assert [each.due for each in promises([standing, sold, closed], MAY, FAR)] == [MAY]


def test_what_was_written_after_the_day_asked_about_does_not_count() -> None:
    assert promises([line("a", MAY, order(due=FAR))], APRIL, FAR) == ()


def test_several_products_are_promised_apart() -> None:
    found = of(line("b", APRIL, order(1.0, product=Product.WORMS), "herd"))
    assert {each.order: each.product for each in found} == {"cafe": Product.SCREENED, "herd": Product.WORMS}


def test_worms_sold_out_of_a_bin_count_for_the_order_of_worms_and_castings_do_not() -> None:
    promised = line("a", APRIL, order(1.0, product=Product.WORMS), "herd")
    out = Entry("e", "kitchen", at(4, 2), Stocking(-0.4, who="corner cafe"))
    early, brought = replace(out, id="f", when=at(3, 31)), replace(out, id="g", what=Stocking(2.0, who="Corner Cafe"))
    castings = sale("b", date(2026, 4, 3), 5.0, "Corner Cafe")
    (one,) = promises([promised, castings], MAY, MAY, [[early], [out, brought]])
    assert (one.taken_kg, one.taken_on) == (0.4, date(2026, 4, 2))
    assert promises([promised], MAY, MAY, [[replace(out, what=Stocking(-1.0, who="herd"))]])[0].stands(MAY) is Stand.MET
