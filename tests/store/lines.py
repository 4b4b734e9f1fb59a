"""Made-up lines for the tests of the store."""

from __future__ import annotations

from datetime import UTC, datetime

from wormbin.records.entries import Entry, Feeding, Move, Note, Portion
from wormbin.records.moves import both_halves

AT = datetime(2026, 3, 2, 18, 10, tzinfo=UTC)


def note(entry_id: str, *, bin_key: str = "kitchen", when: datetime = AT, text: str = "") -> Entry:
    return Entry(entry_id, bin_key, when, Note(), note=text or entry_id)


def feeding(entry_id: str, *, bin_key: str = "kitchen", when: datetime = AT, kg: float = 0.3) -> Entry:
    return Entry(entry_id, bin_key, when, Feeding((Portion("melon-rind", kg, "300 g"),)), by="Ana")


def move(entry_id: str, *, kg: float = 0.1, when: datetime = AT) -> tuple[Entry, Entry]:
    return both_halves(Entry(entry_id, "kitchen", when, Move(kg, "attic")))
