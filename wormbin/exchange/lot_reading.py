"""From the rows of ``castings.csv`` to new lines of the castings book: none twice, no intake without its harvest."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from wormbin.exchange.amounts import Amounts
from wormbin.exchange.cells import is_day, number
from wormbin.exchange.identity import Content, Known, content_of
from wormbin.exchange.log_reading import HISTORY
from wormbin.exchange.lot_rows import lot_row
from wormbin.exchange.row_head import CellReader
from wormbin.exchange.tables import Row
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry, Harvest
from wormbin.records.lots import Intake, LotKind, LotLine, LotStep, LotWhat, Measured, Sale, Stepped, Use, intake_of
from wormbin.records.moves import partner_id

_HEAD = frozenset(
    (
        "when",
        "lot",
        "kind",
        "by",
        "note",
        "entry",
        "replaces",
        "struck",
        "struck_by",
        "said",
        "struck_at",
        "offset",
        "order",
        "extra",
    )
)
_OF_KIND: Mapping[LotKind, frozenset[str]] = {
    LotKind.INTAKE: frozenset(("source", "amount", "unit", "moisture_pct")),
    LotKind.STEP: frozenset(("step", "amount", "unit", "moisture_pct", "litres")),
    LotKind.MEASURED: frozenset(("amount", "unit", "moisture_pct", "litres")),
    LotKind.SALE: frozenset(("amount", "unit", "for", "price")),
    LotKind.USE: frozenset(("amount", "unit", "for")),
}
LotDoor = Callable[[LotLine], LotLine]
"""The one door for lines of the castings book."""


def lot_contents(line: LotLine) -> Iterator[Content]:
    """The content of the row that the line would be written as."""
    yield content_of(lot_row(replace(line, day_only=False)), grouped=False)


@dataclass(slots=True)
class LotsRead:
    """What a castings file holds for a store: lines it does not have, and lines to which something has happened."""

    lines: list[LotLine] = field(default_factory=list)
    strikes: list[LotLine] = field(default_factory=list)
    rows: int = 0
    rows_known: int = 0


@dataclass(slots=True)
class LotReader(CellReader):
    """Reads rows of a castings file."""

    amounts: Amounts

    def read(self, row: Row) -> LotLine | None:
        """The line that a row says, its id empty when it has none; None when something is wrong with it."""
        before = len(self.problems)
        kind, when = self._choice(row, "kind", LotKind), self._when(row, "when")
        struck, extra = self._strike(row, when), self._extra(row)
        entry, replaces = self._id(row, "entry"), self._id(row, "replaces")
        order = self._order(row)
        self._too_wide(row)
        if kind is None:
            return None
        for column, cell in row.cells.items():
            if cell.strip() and column and column not in _OF_KIND[kind] and column not in _HEAD:
                self._fault(row, column, f"nothing in a row of the kind {kind.value}")
        if not entry and (kind is LotKind.INTAKE or replaces):
            allowed = "the id of its harvest with a ~, as export writes it (a harvest row with a lot brings its own)"
            self._fault(row, "entry", allowed if kind is LotKind.INTAKE else "an id beside the column replaces")
        try:
            what = self._what(row, kind)
        except RefusedError as error:
            self.problems.extend(error.problems)
            return None
        if len(self.problems) > before or what is None or when is None:
            return None
        line = LotLine(
            entry, row.get("lot"), when, what, row.get("by"), row.text("note"), replaces, struck,
            day_only=is_day(row.get("when")), order=order,
        )  # fmt: skip
        return replace(line, extra=extra) if extra else line

    def _what(self, row: Row, kind: LotKind) -> LotWhat | None:
        kg = self.amounts.castings(row) if row.get("amount").strip() else None
        moisture = self._share(row, "moisture_pct")
        litres = self._value(row, "litres", number)
        said = self._said(row)
        if kind is LotKind.STEP:
            step = self._choice(row, "step", LotStep)
            return None if step is None else Stepped(step, kg, litres, moisture, said)
        if kind is LotKind.MEASURED:
            return Measured(kg, litres, moisture, said)
        if kg is None:
            self._fault(row, "amount", "an amount of castings", "4.5")
            return None
        if kind is LotKind.INTAKE:
            return Intake(row.get("source"), kg, moisture, said)
        if kind is LotKind.SALE:
            return Sale(kg, row.text("for"), self._value(row, "price", number), said)
        return Use(kg, row.text("for"), said)


def read_lots(rows: Iterable[Row], reader: LotReader, known: Known[LotLine], door: LotDoor) -> LotsRead:
    """Read every row; faults are collected in ``reader.problems`` and then nothing of the result may be used."""
    result = LotsRead()
    met: set[str] = set()
    for row in rows:
        result.rows += 1
        line = reader.read(row)
        if line is None:
            continue
        if line.id in met:
            reader.problems.append(row.problem("entry", "one row for each line of a lot"))
            continue
        if not line.id:
            content = next(lot_contents(line))
            ordinal = known.meet(content)
            if ordinal is None:
                result.rows_known += 1
                continue
            line = replace(line, id=known.name(content, ordinal))
        met.add(line.id)
        try:
            line = door(line)
        except RefusedError as error:
            reader.problems.extend(replace(each, where=f"{row.file} line {row.line}") for each in error.problems)
            continue
        held = known.ids.get(line.id)
        if held is None:
            result.lines.append(line)
        elif _said(held) != _said(line):
            reader.problems.append(
                row.problem("entry", "what the castings book holds under this id already (amend or strike that line)")
            )
        else:
            result.rows_known += 1
            if (line.struck or line.extra.get(HISTORY)) and line != held:
                result.strikes.append(line)
    return result


def _said(line: LotLine) -> LotLine:
    """What a line says, without what happened to it since, and a day alone as its noon (as it was kept before)."""
    return replace(
        line, struck=None, day_only=False, extra={name: each for name, each in line.extra.items() if name != HISTORY}
    )


def with_their_harvests(
    lots: LotsRead, new: Iterable[Entry], held: Mapping[str, Entry], known: Mapping[str, LotLine], reader: LotReader
) -> None:
    """Give each harvest into a lot its line in the castings book; refuse an intake that no harvest stands behind."""
    coming = {entry.id: entry for entry in new}
    ids = {line.id for line in lots.lines}
    for entry in coming.values():
        if isinstance(entry.what, Harvest) and entry.what.lot and partner_id(entry.id) not in ids | set(known):
            lots.lines.append(replace(intake_of(entry), struck=entry.struck))
    there = ids | set(known)
    for line in lots.lines:
        if line.replaces and line.replaces not in there:
            reader.problems.append(Problem("replaces", line.replaces, "the id of a line of a lot", "", "castings.csv"))
        if isinstance(line.what, Intake):
            harvest = coming.get(partner_id(line.id)) or held.get(partner_id(line.id))
            if harvest is None or not _fits(harvest, line):
                allowed = "castings of a harvest in log.csv, with the same lot, bin, time and amount as there"
                reader.problems.append(Problem("entry", line.id, allowed, "", "castings.csv"))


def _fits(harvest: Entry, line: LotLine) -> bool:
    """Whether a line of the castings book is the other half of this harvest."""
    if not isinstance(harvest.what, Harvest) or not harvest.what.lot:
        return False
    half = intake_of(harvest)
    return (half.lot, half.what, half.when) == (line.lot, line.what, line.when)
