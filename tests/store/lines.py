"""Made-up lines for the tests of the store."""

from __future__ import annotations

from datetime import UTC, date, datetime

from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Feeding, Harvest, Move, Note, Portion
from wormbin.records.lots import Line, LotLine, Sale, both_halves, with_intakes

AT = datetime(2026, 3, 2, 18, 10, tzinfo=UTC)
BINS = tuple(Bin(key, key, 0.6, 0.4, 0.3, date(2026, 1, 1)) for key in ("kitchen", "attic"))


def note(entry_id: str, *, bin_key: str = "kitchen", when: datetime = AT, text: str = "") -> Entry:
    return Entry(entry_id, bin_key, when, Note(), note=text or entry_id)


def feeding(entry_id: str, *, bin_key: str = "kitchen", when: datetime = AT, kg: float = 0.3) -> Entry:
    return Entry(entry_id, bin_key, when, Feeding((Portion("melon-rind", kg, "300 g"),)), by="Ana")


def move(entry_id: str, *, kg: float = 0.1, when: datetime = AT) -> tuple[Entry, Entry]:
    return both_halves(Entry(entry_id, "kitchen", when, Move(kg, "attic")))


def harvest(
    entry_id: str, *, lot: str = "spring", kg: float = 4.0, bin_key: str = "kitchen", when: datetime = AT
) -> tuple[Line, ...]:
    return with_intakes((Entry(entry_id, bin_key, when, Harvest(kg, lot=lot)),))


def sale(line_id: str, *, lot: str = "spring", kg: float = 1.0, when: datetime = AT) -> LotLine:
    return LotLine(line_id, lot, when, Sale(kg, "market"))
