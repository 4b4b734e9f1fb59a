"""The lines of the castings book, what happens to castings after the harvest: one frozen class a kind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any

from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import Entry, Harvest, Move, Strike
from wormbin.records.moves import MARK, partner_id


class LotKind(StrEnum):
    """The kinds of lines in the castings book, for records, commands and files."""

    INTAKE = "intake"
    STEP = "step"
    MEASURED = "measured"
    SALE = "sale"
    USE = "use"


class LotStep(StrEnum):
    """How far the castings of a lot are: as they came off, resting, sieved, ready in the bag."""

    HARVESTED = "harvested"
    CURING = "curing"
    SCREENED = "screened"
    STOCK = "stock"


STEPS = tuple(LotStep)
"""The steps in their order."""


@dataclass(frozen=True, slots=True)
class Intake:
    """Castings put into the lot by a harvest of the bin ``source``, wet kg, with their moisture (fraction) if known.

    It is the other half of that harvest: the two share an id but for a trailing ``~`` on this one.
    """

    source: str
    kg: float
    moisture: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Stepped:
    """The lot reached a step; with what it weighed then (wet kg), its room in litres and its moisture, if known."""

    step: LotStep
    kg: float | None = None
    litres: float | None = None
    moisture: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Measured:
    """The lot was weighed (wet kg), its room measured or its moisture read; at least one of them."""

    kg: float | None = None
    litres: float | None = None
    moisture: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Sale:
    """Wet kg sold; what for or on which occasion, and the money taken in the keeper's own currency, if said."""

    kg: float
    purpose: str = ""
    price: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Use:
    """Wet kg used by the keeper, and what for."""

    kg: float
    purpose: str = ""
    said: str = ""


LotWhat = Intake | Stepped | Measured | Sale | Use

LOT_KIND_OF: Mapping[type[LotWhat], LotKind] = {
    Intake: LotKind.INTAKE,
    Stepped: LotKind.STEP,
    Measured: LotKind.MEASURED,
    Sale: LotKind.SALE,
    Use: LotKind.USE,
}


@dataclass(frozen=True, slots=True)
class LotLine:
    """One line of the castings book, about one lot.

    ``lot`` is the lot's name as the keeper writes it; names that differ only in capitals are one lot. ``when`` is
    aware; its own wall-clock date is the day it belongs to. ``replaces`` is the id of the line that this one amends.
    ``day_only`` and ``order`` are as in ``Entry``.
    """

    id: str
    lot: str
    when: datetime
    what: LotWhat
    by: str = ""
    note: str = ""
    replaces: str = ""
    struck: Strike | None = None
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)
    day_only: bool = False
    order: int = field(default=0, compare=False)

    @property
    def kind(self) -> LotKind:
        """The line's kind, as written in files and commands."""
        return LOT_KIND_OF[type(self.what)]


Line = Entry | LotLine
"""A line of either book: a bin's log or the castings book."""


def lot_key(name: str) -> str:
    """What makes two names of lots one lot."""
    return " ".join(name.split()).casefold()


_LOT_RANK = {LotKind.INTAKE: 0, LotKind.MEASURED: 1, LotKind.STEP: 1, LotKind.SALE: 1, LotKind.USE: 1}


def lots_in_order(lines: tuple[LotLine, ...] | list[LotLine]) -> tuple[LotLine, ...]:
    """Lines by day; within a day what came in first, then by moment and as written: nothing goes out before it came in.

    Ties (lines not written down yet, copies joined) go by id.
    """
    return tuple(
        sorted(lines, key=lambda line: (line.when.date(), _LOT_RANK[line.kind], line.when, line.order, line.id))
    )


def standing_lots(lines: tuple[LotLine, ...] | list[LotLine]) -> tuple[LotLine, ...]:
    """The lines that count: not struck, and not replaced by a line that stands itself; in order."""
    unstruck = [line for line in lines if line.struck is None]
    replaced = {line.replaces for line in unstruck if line.replaces}
    return lots_in_order([line for line in unstruck if line.id not in replaced])


def intake_of(harvest: Entry) -> LotLine:
    """The half in the castings book of a harvest that names its lot."""
    what = harvest.what
    if not isinstance(what, Harvest) or not what.lot or harvest.id.endswith(MARK):
        raise ValueError("only a harvest into a lot has a line in the castings book")
    return LotLine(
        id=partner_id(harvest.id),
        lot=what.lot,
        when=harvest.when,
        day_only=harvest.day_only,
        what=Intake(harvest.bin, what.castings_kg, what.moisture, what.said),
        by=harvest.by,
        note=harvest.note,
        replaces=partner_id(harvest.replaces) if harvest.replaces else "",
    )


def with_intakes(entries: Iterable[Entry]) -> tuple[Line, ...]:
    """Entries, each harvest into a lot followed by its line in the castings book."""
    lines: list[Line] = []
    for entry in entries:
        lines.append(entry)
        if isinstance(entry.what, Harvest) and entry.what.lot:
            lines.append(intake_of(entry))
    return tuple(lines)


def is_one_of_two(line: Line) -> bool:
    """Whether the line has another half: a move of worms, a harvest into a lot, or castings that came into one."""
    what = line.what
    return isinstance(what, Move | Intake) or (isinstance(what, Harvest) and bool(what.lot))
