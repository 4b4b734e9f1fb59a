"""Money closes to the cent: every amount spent is found again in a lot or named as in none, and shares add up."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings, strategies as st

from tests.castings.made_up import KITCHEN, at, fed, harvest, line, sold, step, used
from tests.castings.test_loads import load
from wormbin.castings.loads import larder
from wormbin.castings.lot import lots
from wormbin.castings.money import Account, account, exact, shared
from wormbin.exchange.folders import Doors, read_folder, write_folder
from wormbin.materials.table import default_table
from wormbin.records.entries import Entry, Feeding, Portion, Stocking, Strike
from wormbin.records.farms import Farm
from wormbin.records.kinds.castings import Cost, Left, Load, LotStep, Piled, Released
from wormbin.records.lots import LotLine, Sale, Use, intake_of, standing_lots


def accounted(book: list[LotLine], log: list[Entry], hour_rate: float = 0.0) -> Account:
    logs = {"kitchen": log}
    return account(book, lots(book), larder(book, logs), logs, hour_rate)


def priced(made: LotLine, price: float) -> LotLine:
    assert isinstance(made.what, Load)
    return replace(made, what=replace(made.what, price=price))


def test_what_a_kilogram_costs_is_worked_out_by_hand() -> None:
    """60 kg for 12.00: 30 kg to the first harvest is 6.00, 12 kg after it is 2.40, 18 kg in stock is 3.60.

    Own costs 4.00 on the lot; bags for 10.00 go to both lots of the year by 8 and 2 kg harvested, 8.00 and 2.00.
    Lot spring: 6.00 + 4.00 + 8.00 = 18.00 for 6 kg finished: 3.00 a kg. Sold 5 kg for 25.00, which leaves 7.00.
    """
    first, second = harvest("h", at(5, 1), 8.0), harvest("i", at(8, 1), 2.0, "late")
    book = [
        priced(load("a", 1, 60.0), 12.0), intake_of(first), intake_of(second),
        step("s", at(5, 20), LotStep.STOCK, 6.0), sold("v", at(6, 1), 5.0, 25.0),
        line("c", at(5, 3), Cost(4.0, of_lot="spring"), "sieve"), line("d", at(6, 3), Cost(10.0), "bags"),
    ]  # fmt: skip
    log = [fed("f", at(3, 3), 30.0), first, fed("g", at(5, 2), 12.0), second]
    found = accounted(book, log)
    spring, late = found.lots
    assert (spring.feed, spring.own, spring.general) == (Decimal("6.00"), Decimal(4), Decimal("8.00"))
    assert (spring.finished_kg, spring.per_kg, spring.leaves) == (6.0, Decimal(3), Decimal(7))
    assert (late.feed, late.general) == (Decimal("2.40"), Decimal("2.00"))
    assert found.rest == {"feedstock in stock": Decimal("3.60")}
    assert (found.taken, found.spent) == (Decimal(25), Decimal(26))
    assert found.bins == {"kitchen": (Decimal(25), Decimal("8.40"))}


def test_hours_count_only_at_a_rate_and_worms_are_taken_and_spent() -> None:
    book = [line("c", at(5, 3), Cost(None, 2.5), "market")]
    log = [
        Entry("k", "kitchen", at(3, 1), Stocking(1.0, price=60.0, who="Tom")),
        Entry("l", "kitchen", at(6, 1), Stocking(-0.5, price=40.0, who="Ana")),
    ]
    found = accounted(book, log)
    assert (found.taken, found.spent, found.rest) == (Decimal(40), Decimal(60), {"worms bought": Decimal(60)})
    found = accounted(book, log, 12.3)
    assert found.spent == Decimal("90.75")
    assert found.rest["for no lot yet"] == Decimal("30.75")
    assert found.bins["kitchen"][0] == Decimal(40)


def test_feed_by_way_of_a_pile_keeps_its_price_and_what_is_spoiled_is_named() -> None:
    first = harvest("h", at(5, 1), 8.0)
    book = [
        priced(load("a", 1, 60.0), 12.0), line("p", at(3, 2), Piled("melon-rind", 30.0), "heap"),
        line("r", at(3, 20), Released("half-made-compost", 15.0), "heap"), intake_of(first),
        line("m", at(3, 21), Left(0.0), "a"),
    ]  # fmt: skip
    found = accounted(book, [fed("f", at(4, 3), 5.0, "half-made-compost"), first])
    assert found.lots[0].feed == Decimal("2.00")
    assert found.rest == {"feedstock in stock": Decimal("4.00"), "feedstock spoiled": Decimal("6.00")}


CENTS = st.integers(0, 1_000_00).map(lambda cents: cents / 100)


@given(st.decimals(0, 10_000, places=3), st.lists(st.floats(0, 1e4), min_size=1, max_size=8))
def test_shares_add_up_and_none_is_off_by_more_than_a_cent(amount: Decimal, weights: list[float]) -> None:
    parts = shared(amount, weights)
    assert sum(parts) == amount
    if sum(weights) > 0:
        for part, weight in zip(parts, weights, strict=True):
            assert abs(part - amount * exact(weight) / exact(sum(weights))) <= Decimal("0.0100001") + Decimal("0.01")


@st.composite
def farms(draw: st.DrawFn) -> tuple[list[LotLine], list[Entry]]:
    """Loads, feedings, harvests into lots or none, sales, costs of every sort, some of them struck."""

    def when() -> datetime:
        return datetime(2026, 1, 1, 12, tzinfo=UTC) + timedelta(days=draw(st.integers(0, 500)))

    def struck() -> Strike | None:
        return Strike("wrong", "", when()) if draw(st.integers(0, 4)) == 0 else None

    kg = st.integers(1, 30_000).map(lambda grams: grams / 1000)
    book, log = list[LotLine](), list[Entry]()
    for at_ in range(draw(st.integers(0, 4))):
        book.append(priced(replace(load(f"l{at_}", 1, draw(kg)), when=when(), struck=struck()), draw(CENTS)))
    for at_ in range(draw(st.integers(0, 6))):
        once, more = fed(f"f{at_}", when(), draw(kg), part=draw(st.integers(0, 2))), Portion("melon-rind", draw(kg))
        assert isinstance(once.what, Feeding)
        both = replace(once, what=Feeding((*once.what.portions, more)))
        log.append(draw(st.sampled_from([once, both])))
    for at_ in range(draw(st.integers(0, 5))):
        lot = draw(st.sampled_from(["", "one", "two"]))
        made = harvest(f"h{at_}", when(), draw(kg), lot, draw(st.integers(0, 2)))
        log.append(made)
        book += [intake_of(made)] if lot else []
    for at_ in range(draw(st.integers(0, 6))):
        what = draw(
            st.one_of(
                st.builds(Cost, CENTS, st.none() | st.floats(0, 50), st.sampled_from(["", "kitchen"])),
                st.builds(Cost, CENTS, of_lot=st.sampled_from(["one", "two", "gone"])),
            )
        )
        book.append(line(f"c{at_}", when(), what, "bags"))
        sale = replace(sold(f"s{at_}", when(), draw(kg), draw(CENTS)), lot="one", struck=struck())
        book.append(sale)
        if sale.struck is None and draw(st.booleans()):  # put right
            right = replace(sold(f"r{at_}", sale.when, draw(kg), draw(CENTS)), lot="one", replaces=sale.id)
            book[-1:] = [replace(sale, struck=Strike("put right", "", sale.when)), right]
        weighed = step(f"t{at_}", when(), LotStep.STOCK, draw(st.none() | kg))
        for each in (weighed, used(f"u{at_}", when(), 0.4)):
            book.append(replace(each, lot=draw(st.sampled_from(["one", "two"])), struck=struck()))
    return book, sorted(log, key=lambda each: each.when)


@settings(max_examples=3 * settings().max_examples, deadline=None)
@given(farms(), st.sampled_from([0.0, 15.5]))
def test_every_cent_spent_is_in_a_lot_or_named_as_in_none(made: tuple[list[LotLine], list[Entry]], rate: float) -> None:
    found = accounted(*made, rate)
    assert sum((each.cost for each in found.lots), Decimal(0)) + sum(found.rest.values(), Decimal(0)) == found.spent
    sales = sum(each.amount for each in found.entered if each.what == "sale")
    assert sum(each.taken for each in found.lots) == sales == found.taken
    assert sum(taken for taken, _ in found.bins.values()) == sales
    assert all(min(each.feed, each.own, each.general) >= 0 for each in found.lots)
    standing = standing_lots(made[0])
    for lot in lots(made[0]):
        out = [each.what.kg for each in standing if each.lot == lot.name and isinstance(each.what, Sale | Use)]
        assert lot.harvested_kg + lot.changed_kg - sum(out) == pytest.approx(lot.kg, abs=1e-6)
        assert sum(out) == pytest.approx(lot.sold_kg + lot.used_kg, abs=1e-6)
    for each in found.entered:
        assert each.amount == each.amount.quantize(Decimal("0.01"))


@settings(max_examples=15, deadline=None)
@given(farms())
def test_an_export_brought_in_comes_to_the_same_cents_and_grams(made: tuple[list[LotLine], list[Entry]]) -> None:
    book, log = made
    with TemporaryDirectory() as folder:
        write_folder(Path(folder), Farm(bins=(KITCHEN,)), lambda _: log, lots=book)
        doors = Doors(lambda one: one, lambda entry, _: entry)
        came = read_folder(Path(folder), Farm(), tuple, default_table(), doors)
    there, again = accounted(book, log, 15.5), accounted(list(came.lots), list(came.entries), 15.5)
    assert (again.taken, again.spent, again.rest, again.lots) == (there.taken, there.spent, there.rest, there.lots)
    assert [lot.kg for lot in lots(came.lots)] == pytest.approx([lot.kg for lot in lots(book)])


@pytest.mark.parametrize(("amount", "weights", "parts"), [
    ("10.00", [1, 1, 1], ["3.34", "3.33", "3.33"]), ("0.01", [1, 1], ["0.01", "0"]), ("5", [0, 0], ["5", "0"]),
])  # fmt: skip
def test_a_cent_that_cannot_be_parted_goes_to_one(amount: str, weights: list[float], parts: list[str]) -> None:
    assert shared(Decimal(amount), weights) == [Decimal(each) for each in parts]


def test_what_is_for_all_lots_goes_to_those_of_its_own_year() -> None:
    first, second = harvest("h", at(5, 1), 8.0), replace(harvest("i", at(5, 1), 2.0, "late"), when=at(5, 1, year=2027))
    book = [intake_of(first), intake_of(second), line("c", at(6, 3), Cost(10.0), "bags")]
    assert [each.general for each in accounted(book, [first, second]).lots] == [Decimal(10), Decimal(0)]
