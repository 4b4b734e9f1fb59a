"""From one row of ``log.csv`` to what it says, with every fault of the row named by its column."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from wormbin.exchange.amounts import Amounts
from wormbin.exchange.cells import NumberError, is_day, number, scaled, split_list
from wormbin.exchange.row_head import CellReader
from wormbin.exchange.tables import Row
from wormbin.problems import RefusedError
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Feeding,
    Fluff,
    Harvest,
    Kind,
    MoistureBy,
    Move,
    Note,
    Portion,
    Sample,
    Squeeze,
    Stocking,
    Strike,
    Survey,
    Watering,
    Weighing,
    What,
)

GROUPED = (Kind.FEEDING, Kind.BEDDING, Kind.SURVEY)
"""The kinds of which several rows may be one entry."""
COMMANDS: Mapping[str, Kind] = {
    "stock": Kind.STOCKING, "feed": Kind.FEEDING, "water": Kind.WATERING, "drain": Kind.DRAINING,
    "weigh": Kind.WEIGHING, "bed": Kind.BEDDING,
}  # fmt: skip
"""A kind may be called by its command, too."""
WORMS = ("worm", "worms")
READINGS = ("moisture_pct", "squeeze", "temp_c", "left_pct", "contents_cm", "smell", "seen", "ph")
_HEAD = frozenset(
    (
        "when",
        "bin",
        "kind",
        "compartment",
        "by",
        "note",
        "entry",
        "replaces",
        "struck",
        "struck_by",
        "struck_at",
        "offset",
        "order",
        "extra",
    )
)
_OF_KIND: Mapping[Kind, frozenset[str]] = {
    Kind.STOCKING: frozenset(("amount", "unit", "count", "said")),
    Kind.BEDDING: frozenset(("material", "amount", "unit", "moisture_pct", "said")),
    Kind.FEEDING: frozenset(("material", "amount", "unit", "moisture_pct", "said")),
    Kind.WATERING: frozenset(("amount", "unit", "said")),
    Kind.DRAINING: frozenset(("amount", "unit", "said")),
    Kind.CHECK: frozenset((*READINGS, "moisture_by")),
    Kind.WEIGHING: frozenset(("material", "amount", "unit", "said")),
    Kind.SURVEY: frozenset(("material", "amount", "unit", "count", "said")),
    Kind.MOVE: frozenset(("material", "amount", "unit", "said")),
    Kind.FLUFF: frozenset(),
    Kind.NOTE: frozenset(("unknown_from", "unknown_until")),
    Kind.HARVEST: frozenset(("amount", "unit", "moisture_pct", "worms_out_kg", "left_behind_pct", "said", "lot")),
}
_SAMPLE = re.compile(r"(sample\s+)?(?P<area>[0-9.,]+)\s*cm(2|²)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Piece:
    """What one row says. ``what`` is a whole kind, or for the grouped kinds a kind with one portion or sample."""

    row: Row
    when: datetime
    bin: str
    what: What
    kind: Kind
    by: str
    note: str
    compartment: int
    entry: str
    replaces: str
    struck: Strike | None
    day_only: bool
    order: int
    extra: Mapping[str, Any]


@dataclass(slots=True)
class RowReader(CellReader):
    """Reads rows against the bins and materials that there are; faults are collected, never the first one only."""

    bins: frozenset[str]
    amounts: Amounts

    def read(self, row: Row) -> Piece | None:
        """The piece that a row says, or None when something in it is wrong (then ``problems`` has grown)."""
        before = len(self.problems)
        kind = self._kind(row)
        when = self._when(row, "when")
        self._known_bin(row)
        struck = self._strike(row, when)
        order = self._order(row)
        piece_parts = (self._compartment(row), self._id(row, "entry"), self._id(row, "replaces"), self._extra(row))
        self._too_wide(row)
        if kind is None:
            return None
        self._only(row, kind)
        what = self._what(row, kind)
        if len(self.problems) > before or what is None or when is None:
            return None
        compartment, entry, replaces, extra = piece_parts
        return Piece(
            row,
            when,
            row.get("bin"),
            what,
            kind,
            row.get("by"),
            row.text("note"),
            compartment,
            entry,
            replaces,
            struck,
            is_day(row.get("when")),
            order,
            extra,
        )

    def _kind(self, row: Row) -> Kind | None:
        return COMMANDS.get(row.get("kind").strip().lower()) or self._choice(row, "kind", Kind)

    def _only(self, row: Row, kind: Kind) -> None:
        fit = _OF_KIND[kind]
        if kind is Kind.STOCKING and row.get("material").strip():
            if row.get("material").strip().lower() not in WORMS:
                self._fault(row, "material", "empty in a stocking row, or worms")
            fit |= {"material"}
        for column, cell in row.cells.items():
            if cell.strip() and column and column not in fit and column not in _HEAD:
                self._fault(row, column, f"nothing in a {kind.value} row (a reading goes into a check row of its own)")

    def _known_bin(self, row: Row) -> None:
        if row.get("bin") not in self.bins:
            near = ", ".join(sorted(self.bins)[:12]) or "none yet: write it into bins.csv"
            self._fault(row, "bin", f"a bin of bins.csv or of this store ({near})")

    def _compartment(self, row: Row) -> int:
        text = row.get("compartment").strip()
        if text and text not in ("0", "1", "2", "3", "4", "5"):
            self._fault(row, "compartment", "a whole number from 1 to 5", "2")
            return 0
        return int(text or 0)

    def _what(self, row: Row, kind: Kind) -> What | None:
        try:
            return self._of_kind(row, kind)
        except RefusedError as error:
            self.problems.extend(error.problems)
            return None

    def _of_kind(self, row: Row, kind: Kind) -> What | None:
        match kind:
            case Kind.CHECK:
                return self._check(row)
            case Kind.FLUFF:
                return Fluff()
            case Kind.NOTE:
                first, last = self._day(row, "unknown_from"), self._day(row, "unknown_until")
                if not (row.get("note").strip() or first or last):
                    self._fault(row, "note", "some words", "put a wet cloth on top")
                return Note(first, last)
            case Kind.FEEDING | Kind.BEDDING:
                material, kg = self.amounts.portion(row)
                portion = Portion(material, kg, self._said(row), self._share(row, "moisture_pct"))
                return Feeding((portion,)) if kind is Kind.FEEDING else Bedding((portion,))
            case Kind.STOCKING:
                worms_kg, count = self.amounts.worms(row)
                return Stocking(worms_kg, count, self._said(row))
            case Kind.MOVE:
                return self._move(row)
            case Kind.SURVEY:
                return self._survey(row)
            case Kind.WATERING:
                return Watering(self.amounts.water(row), self._said(row))
            case Kind.DRAINING:
                return Draining(self.amounts.water(row), self._said(row))
            case Kind.WEIGHING:
                box = row.get("material").strip().lower()
                if box not in ("", "tare"):
                    self._fault(row, "material", "empty, or tare when the box was weighed with its contents")
                return Weighing(self.amounts.mass(row), box == "tare", self._said(row))
            case Kind.HARVEST:
                worms_out = self._value(row, "worms_out_kg", number)
                kg, moisture = self.amounts.castings(row), self._share(row, "moisture_pct")
                stayed = self._share(row, "left_behind_pct")
                return Harvest(kg, moisture, worms_out, self._said(row), row.get("lot"), stayed)

    def _move(self, row: Row) -> Move | None:
        other = row.get("material").strip()
        if other not in self.bins or other == row.get("bin"):
            self._fault(row, "material", "the key of the other bin that the worms went to")
            return None
        worms_kg, _count = self.amounts.worms(row)
        return Move(worms_kg, other, row.get("entry").strip().endswith("~"), self._said(row))

    def _survey(self, row: Row) -> Survey | None:
        found = _SAMPLE.fullmatch(row.get("material").strip())
        if not found:
            self._fault(row, "material", "the area of the sample in cm2", "sample 225 cm2")
            return None
        try:
            area = scaled(found["area"], 10_000)
        except NumberError as error:
            self._fault(row, "material", str(error), "sample 225 cm2")
            return None
        if row.get("unit").strip().lower() in ("worms", "worm"):
            return Survey((Sample(area, None, self.amounts.count(row, "amount"), self._said(row)),))
        count = self.amounts.count(row, "count") if row.get("count").strip() else None
        return Survey((Sample(area, self.amounts.mass(row), count, self._said(row)),))

    def _check(self, row: Row) -> Check | None:
        if not any(row.get(column).strip() for column in (*READINGS, "note")):
            self._fault(row, "moisture_pct", "any reading in a check row: " + ", ".join(READINGS))
            return None
        return Check(
            moisture=self._share(row, "moisture_pct"),
            moisture_by=self._maybe(row, "moisture_by", MoistureBy),
            squeeze=self._maybe(row, "squeeze", Squeeze),
            temp_c=self._value(row, "temp_c", number),
            left=self._share(row, "left_pct"),
            contents_m=self._share(row, "contents_cm"),
            smell=row.text("smell"),
            seen=split_list(row.get("seen")),
            ph=self._value(row, "ph", number),
        )
