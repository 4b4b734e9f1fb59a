"""What Ines and Tom did with their castings: which harvest went into which lot, and each lot's way to the buyers."""

from __future__ import annotations

from tests.worlds.logbook import Row

LOT_OF = {
    ("tunnel", "2026-05-09"): "May sacks",
    ("barn-2", "2026-05-23"): "May sacks",
    ("shade-2", "2026-07-10"): "July barn",
    ("barn-1", "2026-07-17"): "July barn",
    ("shade-1", "2026-07-27"): "August mix",
    ("crate-1", "2026-07-31"): "August mix",
    ("crate-2", "2026-08-14"): "August mix",
    ("tunnel", "2026-10-01"): "Autumn",
    ("shade-2", "2026-10-03"): "Autumn",
    ("barn-1", "2026-10-17"): "Autumn",
}
"""By bin and day. The nursery's harvest went straight onto their own beds."""

COLUMNS = (
    "when", "lot", "kind", "amount", "unit", "moisture_pct", "litres", "step", "for", "price", "by", "note", "struck",
    "struck_by",
)  # fmt: skip


def _row(when: str, lot: str, kind: str, **cells: str) -> Row:
    named = {"for" if name == "what_for" else name: cell for name, cell in cells.items()}
    return {"when": when, "lot": lot, "kind": kind, **named}


def _step(when: str, lot: str, step: str, **cells: str) -> Row:
    return _row(when, lot, "step", step=step, **cells)


def _sale(when: str, lot: str, kg: str, price: str, what_for: str, **cells: str) -> Row:
    return _row(when, lot, "sale", amount=kg, unit="kg", price=price, what_for=what_for, **cells)


ROWS: tuple[Row, ...] = (
    _step("2026-05-24", "May sacks", "curing", by="Ines"),
    _step("2026-06-13", "May sacks", "screened", amount="30.5", unit="kg", moisture_pct="60", by="Tom"),
    _step("2026-06-14", "May sacks", "stock", litres="43", by="Tom"),
    _sale("2026-06-20T11:30", "May sacks", "12", "84", "midsummer market", by="Ines"),
    _sale("2026-06-27T11:00", "May sacks", "8", "56", "market", by="Ines"),
    _row("2026-07-02", "May sacks", "use", amount="2.5", unit="kg", what_for="squash bed", by="Tom"),
    _row("2026-09-12", "May sacks", "measured", amount="7.6", unit="kg", moisture_pct="55", by="Tom", note="Dried out"),
    _sale("2026-09-19T10:45", "May sacks", "5", "35", "market", by="Ines"),
    _step("2026-07-18", "July barn", "curing", by="Ines"),
    _step("2026-08-15", "July barn", "screened", amount="46.5", unit="kg", moisture_pct="59", by="Tom"),
    _step("2026-08-16", "July barn", "stock", litres="66", by="Tom"),
    _sale("2026-08-22T11:00", "July barn", "15", "105", "market", by="Ines", buyer="Corner nursery"),
    _sale("2026-09-05T11:15", "July barn", "10", "70", "market", by="Ines"),
    _sale(
        "2026-09-06", "July barn", "10", "70", "market", by="Tom", struck="that was Saturday's, written twice",
        struck_by="Ines",
    ),
    _row("2026-09-20", "July barn", "use", amount="6", unit="kg", what_for="seedling mix", by="Tom"),
    _sale("2026-10-10T10:30", "July barn", "12", "84", "autumn market", by="Ines"),
    _step("2026-08-15", "August mix", "curing", by="Ines"),
    _step("2026-09-26", "August mix", "screened", amount="33.2", unit="kg", moisture_pct="61", by="Tom"),
    _sale("2026-10-03T10:30", "August mix", "4", "32", "trial bags", by="Ines", buyer="Bea", note="Not yet in sacks"),
    _step("2026-10-04", "August mix", "stock", litres="41", by="Tom"),
    _sale("2026-10-10T10:40", "August mix", "14", "98", "autumn market", by="Ines", buyer="Lime Street school"),
    _step("2026-10-18", "Autumn", "curing", by="Ines"),
)  # fmt: skip
