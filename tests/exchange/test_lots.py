"""``castings.csv``: written and read back the same, no line twice, no intake without its harvest, faults told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings

from tests.exchange.made_up import BINS, LOTS, NOW
from wormbin.exchange.folders import Doors, Incoming, read_folder, write_folder
from wormbin.materials.table import default_table
from wormbin.problems import RefusedError
from wormbin.records.door import admit_entry, admit_lot_line
from wormbin.records.entries import Entry, Harvest, Strike
from wormbin.records.farms import Farm
from wormbin.records.lots import Intake, LotLine, LotStep, Sale, Stepped, Use, intake_of, lots_in_order

FARM = Farm(bins=BINS)
DOORS = Doors(
    lambda one: one, lambda entry, _one: admit_entry(entry, BINS, NOW), lambda line: admit_lot_line(line, BINS, NOW)
)
HARVEST = Entry("hhhhhhhhhh", "kitchen", NOW, Harvest(4.5, 0.7, said="4.5 kg", lot="spring"), note="=dry")
HALF = intake_of(HARVEST)
SALE = LotLine("ssssssssss", "spring", NOW, Sale(2.0, "market", 9.5, "2 kg"), by="Ana")


def read(folder: Path, held: Iterable[Entry] = (), held_lots: Iterable[LotLine] = ()) -> Incoming:
    return read_folder(folder, FARM, lambda: held, default_table(), DOORS, lambda: held_lots)


def write(folder: Path, log: Iterable[Entry], lots: Iterable[LotLine], year: int | None = None) -> Path:
    write_folder(folder, FARM, lambda key: log if key == "kitchen" else (), year, lots)
    return folder


@settings(max_examples=2 * settings().max_examples, deadline=None)
@given(LOTS)
def test_what_is_written_is_read_back_the_same(tmp_path_factory: pytest.TempPathFactory, lots: list[LotLine]) -> None:
    folder = write(tmp_path_factory.mktemp("export"), (), lots)
    assert lots_in_order(list(read(folder).lots)) == lots_in_order(lots)
    again = read(folder, (), lots)
    assert (again.lots, again.lot_strikes) == ((), ())


def test_a_harvest_comes_back_with_its_other_half_strikes_and_amendments_included(tmp_path: Path) -> None:
    gone = Strike("mistyped", "Ana", NOW)
    right = replace(HARVEST, id="rrrrrrrrrr", replaces=HARVEST.id, what=Harvest(4.0, lot="spring"))
    log = [HARVEST, replace(right, struck=gone)]
    lots = [HALF, replace(intake_of(right), struck=gone), SALE]
    found = read(write(tmp_path, log, lots))
    assert set(found.lines) == {*log, *lots}
    held = read(tmp_path, [HARVEST, right], [HALF, intake_of(right), SALE])
    assert held.lines == ()
    assert {line.id for line in held.joins} == {right.id, intake_of(right).id}


def test_a_harvest_row_with_a_lot_brings_its_own_half(tmp_path: Path) -> None:
    head = "when,bin,kind,amount,unit,lot\n"
    (tmp_path / "log.csv").write_text(head + "2026-03-02,kitchen,harvest,4.5,kg,spring\n")
    found = read(tmp_path)
    (harvest,), (half,) = found.entries, found.lots
    assert half == intake_of(harvest)
    assert half.what == Intake("kitchen", 4.5, None, "4.5 kg")
    again = read(tmp_path, found.entries, found.lots)
    assert (again.lines, again.rows_known) == ((), 1)


def test_rows_without_ids_are_known_by_what_they_say(tmp_path: Path) -> None:
    rows = (
        "when,lot,kind,amount,unit,step,moisture_pct,for,price\n"
        "2026-03-02,spring,step,7,kg,screened,60,,\n"
        "2026-03-03,spring,sale,5,lb,,,market,12.5\n"
        "2026-03-03,spring,sale,5,lb,,,market,12.5\n"
        "2026-03-04,spring,use,10,L,,,pots,\n"
    )
    (tmp_path / "castings.csv").write_text(rows)
    found = read(tmp_path, [HARVEST], [HALF])
    step, sale, other, use = found.lots
    assert step.what == Stepped(LotStep.SCREENED, 7.0, None, 0.6, "7 kg")
    assert sale.what == other.what == Sale(2.26796185, "market", 12.5, "5 lb")
    assert sale.id != other.id
    assert use.what == Use(7.0, "pots", "10 L")
    again = read(tmp_path, [HARVEST], [HALF, *found.lots])
    assert (again.lots, again.rows_known) == ((), 4)


def test_without_lots_there_is_no_file_and_a_year_is_written_alone(tmp_path: Path) -> None:
    write(tmp_path / "a", [replace(HARVEST, what=Harvest(4.5))], ())
    assert not (tmp_path / "a/castings.csv").exists()
    last = replace(SALE, id="llllllllll", when=NOW.replace(year=2025))
    write(tmp_path / "b", [HARVEST], [HALF, SALE, last], 2025)
    assert [line.id for line in read(tmp_path / "b").lots] == ["llllllllll"]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("2026-03-02,spring,gift,1,kg,,,,,,", "line 2, column kind: kind: “gift” does not fit. Write one of intake"),
        ("yesterday,spring,use,1,kg,,,,,,", "line 2, column when"),
        ("2026-03-02,,use,1,kg,,,,,,", "line 2: lot: nothing yet"),
        ("2026-03-02,spring,use,,kg,,,,,,", "line 2, column amount: amount: nothing yet"),
        ("2026-03-02,spring,use,-1,kg,,,,,,", "line 2: amount: “-1 kg” does not fit"),
        ("2026-03-02,spring,use,1,furlong,,,,,,", "line 2, column unit"),
        ("2026-03-02,spring,step,,,dry,,,,,", "line 2, column step: step: “dry” does not fit"),
        ("2026-03-02,spring,step,,,curing,,,5,,", "line 2, column price: price: “5” does not fit. Write nothing"),
        ("2026-03-02,spring,measured,,,,160,,,,", "line 2: moisture: “160 %” does not fit"),
        ("2026-03-02,spring,intake,1,kg,,,,,,kitchen", "line 2, column entry: entry: nothing yet"),
        ("2026-03-02,spring,intake,1,kg,,,,,xx~,kitchen", "castings.csv: entry: “xx~” does not fit. Write castings"),
        ("2026-03-02,spring,use,1,kg,,,,,../x,", "line 2, column entry"),
        ("2026-03-02,spring,use,2,kg,,,,,ssssssssss,", "amend or strike that line"),
    ],
)  # fmt: skip
def test_every_bad_row_is_told_with_its_place_and_nothing_is_taken(tmp_path: Path, row: str, words: str) -> None:
    head = "when,lot,kind,amount,unit,step,moisture_pct,for,price,entry,source\n"
    (tmp_path / "castings.csv").write_text(head + row + "\n")
    with pytest.raises(RefusedError) as error:
        read(tmp_path, [HARVEST], [HALF, SALE])
    assert words in str(error.value)


def test_an_intake_that_says_something_else_than_its_harvest_is_refused(tmp_path: Path) -> None:
    write(tmp_path, [HARVEST], [replace(HALF, what=Intake("kitchen", 5.0, 0.7, "4.5 kg"))])
    with pytest.raises(RefusedError, match="the same lot, bin, time and amount as there"):
        read(tmp_path)


def test_an_amendment_of_a_line_that_is_nowhere_is_refused(tmp_path: Path) -> None:
    write(tmp_path, (), [replace(SALE, replaces="nowhere")])
    with pytest.raises(RefusedError, match="replaces: “nowhere” does not fit"):
        read(tmp_path)
