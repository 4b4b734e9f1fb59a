"""Lines of the castings book: read back the same, held to their ranges, and the two halves of a harvest fit."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given

from tests.records.strategies import LOT_LINES
from wormbin.problems import RefusedError
from wormbin.records.bins import Bin
from wormbin.records.codec import UnknownKindError, entry_from_json, line_to_json, lot_line_from_json
from wormbin.records.door import admit_entry, admit_lot_line
from wormbin.records.entries import Entry, Harvest
from wormbin.records.lots import (
    Intake,
    LotLine,
    LotStep,
    LotWhat,
    Measured,
    Sale,
    Stepped,
    Use,
    intake_of,
    is_one_of_two,
    lot_key,
    lots_in_order,
    standing_lots,
    with_intakes,
)

AT = datetime(2026, 5, 3, 9, 0, tzinfo=UTC)
BIN = Bin("kitchen", "Kitchen", 0.6, 0.4, 0.3, date(2026, 1, 1))


def line(what: LotWhat, name: str = "a", when: datetime = AT, lot: str = "spring-26") -> LotLine:
    return LotLine(name, lot, when, what)


def harvest(lot: str = "spring-26", kg: float = 4.5) -> Entry:
    return Entry("h1", "kitchen", AT, Harvest(kg, 0.7, said="4.5 kg", lot=lot), by="Ana", replaces="h0")


@given(LOT_LINES)
def test_a_line_of_the_castings_book_comes_back_the_same(one: LotLine) -> None:
    assert lot_line_from_json(json.loads(json.dumps(line_to_json(one), allow_nan=False))) == one


def test_it_reads_like_a_line_of_a_book() -> None:
    assert line_to_json(line(Sale(5.0, "spring market", 24.5, "5 kg"))) == {
        "id": "a", "lot": "spring-26", "when": "2026-05-03T09:00:00+00:00", "kind": "sale", "kg": 5.0,
        "purpose": "spring market", "price": 24.5, "said": "5 kg",
    }  # fmt: skip


def test_the_two_books_do_not_take_each_others_kinds() -> None:
    with pytest.raises(UnknownKindError):
        lot_line_from_json({"id": "a", "lot": "x", "when": AT.isoformat(), "kind": "feeding", "portions": []})
    with pytest.raises(UnknownKindError):
        entry_from_json({"id": "a", "bin": "kitchen", "when": AT.isoformat(), "kind": "sale", "kg": 1})


def test_the_half_in_the_castings_book_says_what_the_harvest_says() -> None:
    half = intake_of(harvest())
    assert (half.id, half.replaces, half.lot, half.when, half.by) == ("h1~", "h0~", "spring-26", AT, "Ana")
    assert half.what == Intake("kitchen", 4.5, 0.7, "4.5 kg")
    assert [each.id for each in with_intakes((harvest(), harvest(lot="")))] == ["h1", "h1~", "h1"]
    assert [is_one_of_two(each) for each in (harvest(), half, harvest(lot=""))] == [True, True, False]
    with pytest.raises(ValueError, match="only a harvest into a lot"):
        intake_of(harvest(lot=""))


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        (line(Intake("kitchen", 0.0)), "castings: “0 kg” does not fit. Write more than 0"),
        (line(Intake("cellar", 1.0)), "source: “cellar” does not fit. Write one of your bins: kitchen"),
        (line(Stepped(LotStep.CURING, moisture=1.2)), "moisture: “120 %” does not fit. Write 0 to 100 %"),
        (line(Stepped(LotStep.STOCK, kg=-1.0)), "mass: “-1 kg”"),
        (line(Measured()), "measured: nothing yet. Write a mass, a volume or a moisture"),
        (line(Measured(litres=0.0)), "volume: “0 L”"),
        (line(Sale(float("nan"))), "amount: “nan kg”"),
        (line(Sale(1.0, price=-2.0)), "price: “-2”"),
        (line(Use(1.0, "x" * 201)), "for: “xxx"),
        (line(Use(1.0), lot=""), "lot: nothing yet. Write a name of up to 40 letters"),
        (line(Use(1.0), lot="-x"), "lot: “-x” does not fit"),
        (line(Use(1.0), when=AT + timedelta(days=9)), "when: “2026-05-12"),
        (line(Use(1.0), name="../x"), "entry: “../x”"),
        (replace(line(Use(1.0)), replaces="../x"), "replaces: “../x”"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(wrong: LotLine, sentence: str) -> None:
    with pytest.raises(RefusedError) as error:
        admit_lot_line(wrong, [BIN], AT)
    assert sentence in str(error.value)


def test_text_of_both_halves_is_cleaned_and_the_name_of_the_lot_held_to_its_rule() -> None:
    assert admit_lot_line(line(Use(1.0, " pots\x1b[2J ")), [BIN], AT).what == Use(1.0, "pots[2J")
    kept = admit_entry(replace(harvest(" May\x07 "), replaces=""), [BIN], AT)
    assert kept.what == Harvest(4.5, 0.7, said="4.5 kg", lot="May")
    with pytest.raises(RefusedError, match="lot: “--x” does not fit"):
        admit_entry(harvest("--x"), [BIN], AT)


def test_names_that_differ_in_capitals_and_blanks_are_one_lot() -> None:
    assert lot_key(" Spring  26 ") == lot_key("spring 26")


def test_within_a_day_castings_come_in_before_they_go_out() -> None:
    out = line(Sale(1.0), "b", AT)
    into = line(Intake("kitchen", 2.0), "c", AT + timedelta(hours=3))
    later = line(Measured(1.0), "d", AT + timedelta(days=1))
    assert lots_in_order([later, out, into]) == (into, out, later)


def test_struck_and_replaced_lines_do_not_count() -> None:
    wrong, right = line(Use(2.0), "a"), replace(line(Use(1.0), "b"), replaces="a")
    assert standing_lots([wrong, right]) == (right,)
