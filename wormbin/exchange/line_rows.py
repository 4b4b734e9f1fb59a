"""From a line of either book to its rows, with nothing lost: the cells of every row, and those of its kind."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from typing import Any

from wormbin.exchange.cells import joined, when_cells, written
from wormbin.records.entries import Bedding, Feeding, Portion, Sample, Survey
from wormbin.records.kinds.fields import Field, Of
from wormbin.records.lots import Line, LotLine, described

Cells = dict[str, str]


def rows_of(line: Line) -> Iterator[Cells]:
    """The rows of one line: one a portion or a sample, one for every other kind."""
    head = _head(line)
    for cells in _what(line.what):
        yield head | {name: cell for name, cell in cells.items() if cell}


def _head(line: Line) -> Cells:
    book = (
        {"lot": line.lot}
        if isinstance(line, LotLine)
        else {"bin": line.bin, "compartment": str(line.compartment) if line.compartment else ""}
    )
    cells = {
        **when_cells(line.when, line.day_only),
        **book,
        "kind": line.kind.value,
        "by": line.by,
        "note": line.note,
        "entry": line.id,
        "replaces": line.replaces,
        "order": str(line.order) if line.order else "",
        "extra": json.dumps(dict(line.extra), ensure_ascii=False, allow_nan=False) if line.extra else "",
    }
    if line.struck is not None:
        cells |= {"struck": line.struck.why, "struck_by": line.struck.by, "struck_at": line.struck.at.isoformat()}
    return {name: cell for name, cell in cells.items() if cell}


def _what(what: Any) -> tuple[Cells, ...]:
    match what:
        case Feeding(portions) | Bedding(portions):
            return tuple(_portion(portion) for portion in portions)
        case Survey(samples):
            return tuple(_sample(sample) for sample in samples)
    cells: Cells = {}
    for field in described(what).fields:
        if field.column == "amount":
            cells |= _amount(getattr(what, field.at), getattr(what, "worms_count", None), what.said)
            cells |= {"material": what.material} if field.of is Of.PORTION else {}
        elif field.column:
            cells[field.column] = _cell(field, getattr(what, field.at))
    return (cells,)


def hundredfold(column: str) -> bool:
    """Whether a column holds hundredths of what the record holds: per cent, or centimetres."""
    return column.endswith(("_pct", "_cm"))


def _cell(field: Field, value: Any) -> str:
    if value is None:
        return ""
    if field.flag:
        return field.flag if value else ""
    if isinstance(value, str):
        return str(value)
    if isinstance(value, tuple):
        return joined(value)
    if isinstance(value, date):
        return value.isoformat()
    return written(value, 100 if hundredfold(field.column) else 1)


def _amount(kg: float | None, count: int | None, said: str) -> Cells:
    if kg is not None:
        return {"amount": written(kg), "unit": "kg", "count": "" if count is None else str(count), "said": said}
    return {"said": said} if count is None else {"amount": str(count), "unit": "worms", "said": said}


def _portion(portion: Portion) -> Cells:
    moisture = "" if portion.moisture is None else written(portion.moisture, 100)
    return _amount(portion.kg, None, portion.said) | {"material": portion.material, "moisture_pct": moisture}


def _sample(sample: Sample) -> Cells:
    area = f"sample {written(sample.area_m2, 10_000)} cm2"
    return _amount(sample.worms_kg, sample.worms_count, sample.said) | {"material": area}
