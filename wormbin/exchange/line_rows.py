"""From a line of either book to its rows, with nothing lost: the cells of every row, and those of its kind."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Any, TypeVar

from wormbin.exchange.cells import NumberError, day, is_day, joined, moment, scaled, when_cells, written
from wormbin.exchange.tables import Row
from wormbin.problems import Problem
from wormbin.records.entries import Bedding, Feeding, Portion, Sample, Strike, Survey
from wormbin.records.ids import ID_RULE, is_id
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
    for each in described(what).fields:
        if each.column == "amount":
            cells |= _amount(getattr(what, each.at), getattr(what, "worms_count", None), what.said)
            cells |= {"material": what.material} if each.of is Of.PORTION else {}
        elif each.column:
            cells[each.column] = _cell(each, getattr(what, each.at))
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


E = TypeVar("E", bound=StrEnum)
NOTHING: Mapping[str, Any] = {}


@dataclass(slots=True)
class CellReader:
    """Reads the cells of rows; faults are collected, never the first one only."""

    problems: list[Problem] = field(default_factory=list, init=False)

    def _too_wide(self, row: Row) -> None:
        if "" in row.cells:
            self.problems.append(
                Problem("row", row.cells[""], "as many cells as the header has", "", f"{row.file} line {row.line}")
            )

    def _fault(self, row: Row, column: str, allowed: str, example: str = "") -> None:
        self.problems.append(row.problem(column, allowed, example))

    def _choice(self, row: Row, column: str, kind: type[E]) -> E | None:
        text = row.get(column).strip().lower()
        try:
            return kind(text)
        except ValueError:
            self._fault(row, column, "one of " + ", ".join(kind))
            return None

    def _maybe(self, row: Row, column: str, kind: type[E]) -> E | None:
        return self._choice(row, column, kind) if row.get(column).strip() else None

    def _when(self, row: Row, column: str) -> datetime | None:
        offset = row.get("offset").strip() if column == "when" else ""
        if offset and not is_day(row.get(column)):
            self._fault(row, "offset", "nothing beside a time, which brings its own offset", "+01:00")
            return None
        try:
            if offset:
                return self._noon(row, offset)
            return moment(row.get(column))
        except ValueError:
            self._fault(row, column, "a date or a time as ISO 8601", "2026-03-02 or 2026-03-02T18:10")
            return None

    def _noon(self, row: Row, offset: str) -> datetime | None:
        """The noon of a row that says a day, and beside it the offset of its place."""
        moment(row.get("when"))
        try:
            return moment(row.get("when"), offset)
        except ValueError:
            self._fault(row, "offset", "an offset from UTC", "+01:00")
            return None

    def _order(self, row: Row) -> int:
        text = row.get("order").strip()
        if text and not (text.isascii() and text.isdecimal() and 1 <= len(text) <= 13 and int(text) > 0):
            self._fault(row, "order", "a whole number from 1 on, as export writes it", "17")
            return 0
        return int(text or 0)

    def _day(self, row: Row, column: str) -> date | None:
        text = row.get(column)
        if not text.strip():
            return None
        try:
            return day(text)
        except ValueError:
            self._fault(row, column, "a day as ISO 8601", "2026-03-02")
            return None

    def _strike(self, row: Row, when: datetime | None) -> Strike | None:
        why, by, at = row.text("struck"), row.text("struck_by"), row.get("struck_at").strip()
        if not (why.strip() or at):
            if by.strip():
                self._fault(row, "struck_by", "a name only beside a reason in the column struck")
            return None
        moment_struck = self._when(row, "struck_at") if at else when
        return Strike(why, by, moment_struck) if moment_struck else None

    def _id(self, row: Row, column: str) -> str:
        text = row.get(column).strip()
        if text and not is_id(text):
            self._fault(row, column, f"an entry's id: {ID_RULE}")
        return text

    def _extra(self, row: Row) -> Mapping[str, Any]:
        text = row.get("extra")
        if not text.strip():
            return NOTHING
        try:
            read = json.loads(text)
        except (ValueError, RecursionError):
            read = None
        if not isinstance(read, dict):
            self._fault(row, "extra", "a JSON object, as export writes it", '{"colour": "dark"}')
            return NOTHING
        return read

    def _value(self, row: Row, column: str, read: Callable[[str], float]) -> float | None:
        text = row.get(column)
        if not text.strip():
            return None
        try:
            return read(text)
        except NumberError as error:
            self._fault(row, column, str(error), "12.5")
            return None

    def _share(self, row: Row, column: str) -> float | None:
        return self._value(row, column, lambda cell: scaled(cell, 100))
