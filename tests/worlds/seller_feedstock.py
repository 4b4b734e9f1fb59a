"""What Ines and Tom bought, piled and spent: loads of feedstock, a hot pile, costs, a load that turned out bad."""

from __future__ import annotations

from datetime import date, timedelta

from tests.worlds.logbook import Row

COLUMNS = ("material", "supplier", "treated", "way", "temp_c", "turned", "hours", "of_lot", "source", "buyer",
           "due", "product", "every_days")  # fmt: skip
"""What these rows have beside those of the lots."""


def _load(when: str, name: str, material: str, kg: str, supplier: str, treated: str = "", **cells: str) -> Row:
    return {
        "when": when, "lot": name, "kind": "load", "material": material, "amount": kg, "unit": "kg",
        "supplier": supplier, "treated": treated, **cells,
    }  # fmt: skip


def _cost(when: str, what: str, price: str = "", **cells: str) -> Row:
    return {"when": when, "lot": what, "kind": "cost", "price": price, **cells}


def _order(when: str, name: str, kg: str, due: str, buyer: str, **cells: str) -> Row:
    return {"when": when, "lot": name, "kind": "order", "amount": kg, "unit": "kg", "due": due, "buyer": buyer, **cells}


PILE, BEGUN = "rabbit heap", date(2026, 3, 2)
READ_C = (41, 56, 61, 64, 62, 60, 63, 61, 60, 62, 59, 60, 58, 59, 57, 58, 56, 52)
"""A reading a day from the day after it was begun; the second to the last but one make sixteen hot days running."""
TURNED = (3, 6, 9, 12, 15)
"""Days after it was begun on which it was turned."""


def _heat(number: int, c: int) -> Row:
    row = {"when": (BEGUN + timedelta(days=number)).isoformat(), "lot": PILE, "kind": "heat", "temp_c": str(c)}
    return {**row, "by": "Tom", **({"turned": "turned"} if number in TURNED else {})}


ROWS: tuple[Row, ...] = (
    _load("2025-08-30", "boxes", "shredded-cardboard", "90", "village shop", "plain brown board only", by="Tom"),
    _load("2025-08-30", "straw 25", "straw", "60", "Hill farm", "no weed killer, by his word", price="15", by="Tom"),
    _load("2025-09-18", "stable 25", "horse-manure", "40", "stable at the mill", "wormed in June, heaped since",
          price="8", by="Tom"),
    _load("2025-10-17", "grain 25", "spent-grain", "16", "Mill Lane brewery", price="4.80", moisture_pct="76",
          by="Ines"),
    _load("2026-03-01", "rabbit shed", "rabbit-manure", "60", "Dell smallholding", "not wormed since August",
          price="9", by="Tom"),
    {"when": BEGUN.isoformat(), "lot": PILE, "kind": "piled", "material": "rabbit-manure", "amount": "55",
     "unit": "kg", "way": "windrow", "by": "Tom"},
    {"when": BEGUN.isoformat(), "lot": PILE, "kind": "piled", "material": "straw", "amount": "12", "unit": "kg",
     "way": "windrow", "by": "Tom"},
    *(_heat(number, c) for number, c in enumerate(READ_C, 1)),
    {"when": "2026-03-28", "lot": PILE, "kind": "released", "material": "rabbit-manure", "amount": "38", "unit": "kg",
     "by": "Tom"},
    _load("2026-03-21", "grain 26", "spent-grain", "24", "Mill Lane brewery", price="7.20", moisture_pct="77",
          by="Ines"),
    {"when": "2026-03-21", "lot": "grain 26", "kind": "opened", "by": "Ines"},
    _cost("2026-06-12", "bags", "48", by="Ines", note="200, printed by hand"),
    _cost("2026-06-13", "sieving", hours="3", of_lot="May sacks", by="Tom"),
    _cost("2026-06-20", "market stall", "15", by="Ines"),
    _cost("2026-06-27", "market stall", "15", by="Ines"),
    _cost("2026-07-16", "frozen bottles", "4.20", source="tunnel", by="Ines"),
    _cost("2026-08-15", "sieving", hours="4", of_lot="July barn", by="Tom"),
    _cost("2026-08-22", "market stall", "15", by="Ines"),
    _cost("2026-09-05", "market stall", "15", by="Ines"),
    _cost("2026-09-26", "sieving", hours="3", of_lot="August mix", by="Tom"),
    _cost("2026-10-10", "market stall", "15", by="Ines"),
    _order("2026-08-01", "nursery august", "15", "2026-08-22", "Corner nursery", by="Ines"),
    _order("2026-09-12", "allotments", "12", "2026-10-17", "Hill allotments", by="Tom"),
    _order("2026-10-24", "nursery december", "30", "2026-12-05", "Corner nursery", by="Ines"),
    _order("2026-10-24", "stall", "4", "2026-11-14", "Saturday stall", every_days="28", by="Ines"),
    {"when": "2026-10-28", "lot": "grain 26", "kind": "bad", "for": "blue mould under the lid", "by": "Ines"},
)  # fmt: skip
