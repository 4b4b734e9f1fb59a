"""The cells that every row of a log file has: when, its id, whether it was struck; faults named by their column."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Any, TypeVar

from wormbin.exchange.cells import NumberError, day, is_day, moment, scaled
from wormbin.exchange.tables import Row
from wormbin.problems import Problem
from wormbin.records.entries import Strike
from wormbin.records.ids import ID_RULE, is_id

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
