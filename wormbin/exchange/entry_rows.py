"""From an entry of the log to the rows of ``log.csv``, with nothing lost."""

from __future__ import annotations

import json
from collections.abc import Iterator

from wormbin.exchange.cells import joined, when_cells, written
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Harvest,
    Move,
    Note,
    Portion,
    Stocking,
    Survey,
    Watering,
    Weighing,
)

Cells = dict[str, str]


def rows_of(entry: Entry) -> Iterator[Cells]:
    """The rows of one entry: one a portion or a sample, one for every other kind."""
    head = _head(entry)
    for cells in _what(entry):
        yield head | {name: cell for name, cell in cells.items() if cell}


def _head(entry: Entry) -> Cells:
    head = {
        **when_cells(entry.when, entry.day_only),
        "bin": entry.bin,
        "kind": entry.kind.value,
        "compartment": str(entry.compartment) if entry.compartment else "",
        "by": entry.by,
        "note": entry.note,
        "entry": entry.id,
        "replaces": entry.replaces,
        "order": str(entry.order) if entry.order else "",
        "extra": json.dumps(dict(entry.extra), ensure_ascii=False, allow_nan=False) if entry.extra else "",
    }
    if entry.struck is not None:
        head["struck"] = entry.struck.why
        head["struck_by"] = entry.struck.by
        head["struck_at"] = entry.struck.at.isoformat()
    return head


def _what(entry: Entry) -> tuple[Cells, ...]:
    what = entry.what
    match what:
        case Feeding(portions) | Bedding(portions):
            return tuple(_portion(portion) for portion in portions)
        case Check():
            return (_check(what),)
        case Survey(samples):
            return tuple(
                {"material": f"sample {written(sample.area_m2, 10_000)} cm2", "said": sample.said}
                | _worms(sample.worms_kg, sample.worms_count)
                for sample in samples
            )
        case Stocking():
            return (_worms(what.worms_kg, what.worms_count) | {"said": what.said},)
        case Move():
            return (_worms(what.worms_kg, None) | {"material": what.other, "said": what.said},)
        case Watering() | Draining():
            return (_kg(what.kg) | {"said": what.said},)
        case Weighing():
            return (_kg(what.kg) | {"material": "tare" if what.with_box else "", "said": what.said},)
        case Harvest():
            return (
                _kg(what.castings_kg)
                | {
                    "moisture_pct": _optional(what.moisture, 100),
                    "worms_out_kg": _optional(what.worms_out_kg),
                    "left_behind_pct": _optional(what.left_behind, 100),
                    "said": what.said,
                    "lot": what.lot,
                },
            )
        case Note(first, last):
            return (
                {"unknown_from": first.isoformat() if first else "", "unknown_until": last.isoformat() if last else ""},
            )
        case _:
            return ({},)


def _kg(kg: float) -> Cells:
    return {"amount": written(kg), "unit": "kg"}


def _worms(kg: float | None, count: int | None) -> Cells:
    if kg is None:
        return {"amount": str(count), "unit": "worms"}
    return _kg(kg) | {"count": "" if count is None else str(count)}


def _portion(portion: Portion) -> Cells:
    return _kg(portion.kg) | {
        "material": portion.material,
        "moisture_pct": _optional(portion.moisture, 100),
        "said": portion.said,
    }


def _check(check: Check) -> Cells:
    return {
        "moisture_pct": _optional(check.moisture, 100),
        "moisture_by": check.moisture_by.value if check.moisture_by else "",
        "squeeze": check.squeeze.value if check.squeeze else "",
        "temp_c": _optional(check.temp_c),
        "left_pct": _optional(check.left, 100),
        "contents_cm": _optional(check.contents_m, 100),
        "smell": check.smell,
        "seen": joined(check.seen),
        "ph": _optional(check.ph),
    }


def _optional(value: float | None, factor: int = 1) -> str:
    return "" if value is None else written(value, factor)
