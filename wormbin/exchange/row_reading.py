"""From one row of a log file to the line that it says, with every fault of the row named by its column."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

from wormbin.exchange import columns
from wormbin.exchange.cells import NumberError, is_day, number, scaled, split_list
from wormbin.exchange.line_rows import CellReader, hundredfold
from wormbin.exchange.tables import Row
from wormbin.materials.material import CASTINGS
from wormbin.materials.table import MaterialTable, kg_of
from wormbin.measures import Amount, Dimension, parse_amount
from wormbin.measures.units import WORM_KG
from wormbin.problems import RefusedError
from wormbin.records.entries import Entry, Kind, Move, Portion, Sample
from wormbin.records.kinds.castings import LOT_BY_KIND, LotKind
from wormbin.records.kinds.fields import Description, Field, Of
from wormbin.records.kinds.log import BY_KIND, BY_NAME
from wormbin.records.lots import LotLine, is_half

WORMS = ("worm", "worms")
_SAMPLE = re.compile(r"(sample\s+)?(?P<area>[0-9.,]+)\s*cm(2|²)", re.IGNORECASE)


@dataclass(slots=True)
class RowReader(CellReader):
    """Reads rows against the bins and materials that there are; faults are collected, never the first one only."""

    bins: frozenset[str]
    amounts: Amounts
    said_column: bool = False
    """Whether the file has a ``said`` column; without it the amount and unit of a row are what was said."""

    def entry(self, row: Row) -> Entry | None:
        """What a row of ``log.csv`` says, its id empty when it has none; None when something in it is wrong.

        For the kinds of which several rows may be one entry it has one portion or sample.
        """
        before = len(self.problems)
        name = row.get("kind").strip().lower()
        kind = BY_NAME.get("bedding" if name == "bed" else name) or self._choice(row, "kind", Kind)
        if row.get("bin") not in self.bins:
            near = ", ".join(sorted(self.bins)[:12]) or "none yet: write it into bins.csv"
            self._fault(row, "bin", f"a bin of bins.csv or of this store ({near})")
        compartment, head = self._compartment(row), self._head(row)
        what = self._what(row, BY_KIND[kind], columns.LOG_HEAD) if kind is not None else None
        if len(self.problems) > before or what is None:
            return None
        if isinstance(what, Move):
            what = replace(what, into=is_half(head["id"]))
        return Entry(bin=row.get("bin"), what=what, compartment=compartment, **head)

    def lot_line(self, row: Row) -> LotLine | None:
        """What a row of ``castings.csv`` says, its id empty when it has none; None when something in it is wrong."""
        before = len(self.problems)
        kind, head = self._choice(row, "kind", LotKind), self._head(row)
        if kind is LotKind.INTAKE and not row.get("entry").strip():
            allowed = "the id of its harvest with a ~, as export writes it (a harvest row with a lot brings its own)"
            self._fault(row, "entry", allowed)
        what = self._what(row, LOT_BY_KIND[kind], columns.CASTINGS_HEAD) if kind is not None else None
        if len(self.problems) > before or what is None:
            return None
        return LotLine(lot=row.get("lot"), what=what, **head)

    def _head(self, row: Row) -> dict[str, Any]:
        """What the lines of both books have, as their arguments."""
        when = self._when(row, "when")
        self._too_wide(row)
        head = {
            "when": when, "struck": self._strike(row, when), "order": self._order(row), "id": self._id(row, "entry"),
            "replaces": self._id(row, "replaces"), "by": row.get("by"), "note": row.text("note"),
            "day_only": is_day(row.get("when")), "extra": self._extra(row),
        }  # fmt: skip
        if head["replaces"] and not head["id"]:
            self._fault(row, "replaces", "nothing without an id in the column entry")
        return head if head["extra"] else {name: value for name, value in head.items() if name != "extra"}

    def _said(self, row: Row) -> str:
        if self.said_column:
            return row.text("said")
        return f"{row.get('amount').strip()} {row.get('unit').strip()}".strip()

    def _compartment(self, row: Row) -> int:
        text = row.get("compartment").strip()
        if text and text not in ("0", "1", "2", "3", "4", "5"):
            self._fault(row, "compartment", "a whole number from 1 to 5", "2")
            return 0
        return int(text or 0)

    def _what(self, row: Row, kind: Description[Any], head: frozenset[str]) -> Any:
        """What a row says of its kind; None when something in it is wrong."""
        before = len(self.problems)
        fit = head | set(kind.columns)
        if kind.kind is Kind.STOCKING and row.get("material").strip():
            if row.get("material").strip().lower() not in WORMS:
                self._fault(row, "material", "empty in a stocking row, or worms")
            fit |= {"material"}
        for column, cell in row.cells.items():
            if column and column not in fit and cell.strip():
                tail = " (a reading goes into a check row of its own)" if isinstance(kind.kind, Kind) else ""
                self._fault(row, column, f"nothing in a {kind.kind.value} row{tail}")
        found: dict[str, Any] = {}
        for each in kind.fields:
            if each.column:
                try:
                    found |= self._of(row, each, kind)
                except RefusedError as error:
                    self.problems.extend(error.problems)
        said = {name: value for name, value in found.items() if value is not None}  # an empty cell: as it usually is
        return None if len(self.problems) > before else kind.what(**said)

    def _of(self, row: Row, field: Field, kind: Description[Any]) -> dict[str, Any]:
        """What the cells of a field say, by attribute. Raises RefusedError, or adds to ``problems``."""
        if field.of is Of.PORTIONS:
            material, kg = self.amounts.portion(row)
            return {field.at: (Portion(material, kg, self._said(row), self._share(row, "moisture_pct")),)}
        if field.of is Of.SAMPLES:
            return {field.at: (self._sample(row),)}
        if field.column == "amount":
            return self._amount(row, field, kind)
        return {field.at: self._cell(row, field, kind)}

    def _amount(self, row: Row, field: Field, kind: Description[Any]) -> dict[str, Any]:
        said = {"said": self._said(row)}
        if field.at not in kind.required and not row.get("amount").strip():
            return said
        match field.of:
            case Of.WORMS:
                kg, count = self.amounts.worms(row)
                return said | {field.at: kg} | ({"worms_count": count} if "worms_count" in kind.attributes else {})
            case Of.WATER:
                return said | {field.at: self.amounts.water(row)}
            case Of.CASTINGS | Of.OUT_OF_LOT:
                return said | {field.at: self.amounts.castings(row)}
            case Of.PORTION:
                material, kg = self.amounts.portion(row)
                return said | {field.at: kg, "material": material}
        return said | {field.at: self.amounts.mass(row)}

    def _sample(self, row: Row) -> Sample:
        found = _SAMPLE.fullmatch(row.get("material").strip())
        try:
            if not found:
                raise NumberError("the area of the sample in cm2")
            area = scaled(found["area"], 10_000)
        except NumberError as error:
            raise RefusedError(row.problem("material", str(error), "sample 225 cm2")) from None
        if row.get("unit").strip().lower() in WORMS:
            return Sample(area, None, self.amounts.count(row, "amount"), self._said(row))
        count = self.amounts.count(row, "count") if row.get("count").strip() else None
        return Sample(area, self.amounts.mass(row), count, self._said(row))

    def _cell(self, row: Row, field: Field, kind: Description[Any]) -> Any:
        column = field.column
        match field.of:
            case Of.CHOICE if field.choice is not None:
                needed = field.at in kind.required
                return self._choice(row, column, field.choice) if needed else self._maybe(row, column, field.choice)
            case Of.SWITCH:
                word = row.get(column).strip().lower()
                if word not in ("", field.flag):
                    self._fault(row, column, f"empty, or {field.flag} ({field.help})")
                return word == field.flag
            case Of.WORD:
                return row.text(column)
            case Of.WORDS | Of.BINS:
                return split_list(row.get(column))
            case Of.LOT | Of.BIN:
                return row.get(column).strip()
            case Of.DAY:
                return self._day(row, column)
        return self._value(row, column, (lambda cell: scaled(cell, 100)) if hundredfold(column) else number)


class Amounts:
    """Reads amounts against a material table; units met before are remembered, so a million rows stay quick."""

    def __init__(self, table: MaterialTable) -> None:
        self.table = table
        self._kg: dict[tuple[str, str], float] = {}
        self._keys: dict[str, str] = {}

    def portion(self, row: Row) -> tuple[str, float]:
        """The material's key and the fresh kg of a feeding or bedding row. Raises RefusedError."""
        words = row.get("material").strip()
        if words not in self._keys:
            try:
                self._keys[words] = self.table.find(words, kept_out=True).key
            except RefusedError as error:
                raise RefusedError(
                    [row.problem("material", each.allowed, each.example) for each in error.problems]
                ) from None
        key = self._keys[words]
        return key, self._kg_of(row, key)

    def mass(self, row: Row) -> float:
        """An amount that must be a mass, kg."""
        return self._kg_of(row, "")

    def water(self, row: Row) -> float:
        """An amount of water, kg; a litre is a kilogram."""
        return self._kg_of(row, "water")

    def castings(self, row: Row) -> float:
        """An amount of castings, kg; a volume by the bulk density of castings."""
        return self._kg_of(row, CASTINGS)

    def worms(self, row: Row) -> tuple[float, int | None]:
        """Live kg of worms, and how many when they were counted."""
        if row.get("unit").strip().lower() in ("worms", "worm"):
            count = self.count(row, "amount")
            return count * WORM_KG, count
        kg = self.mass(row)
        return kg, self.count(row, "count") if row.get("count").strip() else None

    def count(self, row: Row, column: str) -> int:
        """A whole number."""
        value = self._value(row, column)
        if value != int(value):
            raise RefusedError(row.problem(column, "a whole number of worms", "250"))
        return int(value)

    def _value(self, row: Row, column: str) -> float:
        try:
            return number(row.get(column))
        except NumberError as error:
            unit = "; its unit goes into the column unit" if column == "amount" else ""
            raise RefusedError(row.problem(column, f"{error}{unit}", "0.35")) from None

    def _kg_of(self, row: Row, material: str) -> float:
        # Fifteen digits are all that a double carries for certain: 9 g is 0.009 kg, not 0.009000000000000001.
        value, unit = self._value(row, "amount"), self._unit(row, material)
        return value if unit == 1.0 else float(f"{value * unit:.15g}")

    def _unit(self, row: Row, material: str) -> float:
        unit = row.get("unit").strip()
        if unit == "kg":
            return 1.0
        known = self._kg.get((unit, material))
        if known is None:
            known = self._kg[unit, material] = self._one(row, unit, material)
        return known

    def _one(self, row: Row, unit: str, material: str) -> float:
        allowed = "a unit of mass (g, kg, oz, lb)" + (" or of volume (mL, L, cup, qt, gal)" if material else "")
        try:
            amount: Amount = parse_amount(f"1 {unit}", field="unit")
            if amount.dimension is Dimension.MASS:
                return amount.kg()
            if amount.dimension is Dimension.VOLUME and material == "water":
                return amount.litres()
            if amount.dimension is Dimension.VOLUME and material:
                return kg_of(amount, self.table.get(material))
        except RefusedError as error:
            allowed = error.problems[0].allowed if unit else allowed
        raise RefusedError(row.problem("unit", allowed, "g"))
