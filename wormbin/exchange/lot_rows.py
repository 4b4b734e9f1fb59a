"""From a line of the castings book to its row of ``castings.csv``, with nothing lost."""

from __future__ import annotations

import json

from wormbin.exchange.cells import when_cells, written
from wormbin.exchange.entry_rows import Cells
from wormbin.records.lots import Intake, LotLine, LotWhat, Measured, Sale, Stepped, Use


def lot_row(line: LotLine) -> Cells:
    """The row of one line."""
    cells = {
        **when_cells(line.when, line.day_only),
        "lot": line.lot,
        "kind": line.kind.value,
        "by": line.by,
        "note": line.note,
        "entry": line.id,
        "replaces": line.replaces,
        "order": str(line.order) if line.order else "",
        "said": line.what.said,
        "extra": json.dumps(dict(line.extra), ensure_ascii=False, allow_nan=False) if line.extra else "",
        **_what(line.what),
    }
    if line.struck is not None:
        cells["struck"] = line.struck.why
        cells["struck_by"] = line.struck.by
        cells["struck_at"] = line.struck.at.isoformat()
    return {name: cell for name, cell in cells.items() if cell}


def _what(what: LotWhat) -> Cells:
    match what:
        case Intake(source, kg, moisture):
            return {"source": source, **_kg(kg), "moisture_pct": _optional(moisture, 100)}
        case Stepped(step, kg, litres, moisture):
            return {"step": step.value, **_readings(kg, litres, moisture)}
        case Measured(kg, litres, moisture):
            return _readings(kg, litres, moisture)
        case Sale(kg, purpose, price):
            return {**_kg(kg), "for": purpose, "price": _optional(price)}
        case Use(kg, purpose):
            return {**_kg(kg), "for": purpose}


def _kg(kg: float | None) -> Cells:
    return {} if kg is None else {"amount": written(kg), "unit": "kg"}


def _readings(kg: float | None, litres: float | None, moisture: float | None) -> Cells:
    return {**_kg(kg), "litres": _optional(litres), "moisture_pct": _optional(moisture, 100)}


def _optional(value: float | None, factor: int = 1) -> str:
    return "" if value is None else written(value, factor)
