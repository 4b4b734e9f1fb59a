"""The lines of the castings book in their ``LotLine`` envelope, and the half of a harvest that stands there.

The kinds themselves are in ``records/kinds/castings``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import LOG_KINDS, Entry, Harvest, Move, Strike, What
from wormbin.records.kinds.castings import (
    LOT_KINDS as LOT_KINDS, STEPS as STEPS, Intake as Intake, LotKind as LotKind, LotStep as LotStep,
    LotWhat as LotWhat, Measured as Measured, Sale as Sale, Stepped as Stepped, Use as Use,
)  # fmt: skip
from wormbin.records.kinds.fields import Description
from wormbin.records.moves import MARK, partner_id


@dataclass(frozen=True, slots=True)
class LotLine:
    """One line of the castings book, about one lot, load, pile or sort of cost.

    ``lot`` is its name as the keeper writes it; names that differ only in capitals are one. ``when`` is
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
        return LOT_KINDS[type(self.what)].kind

    @property
    def about(self) -> str:
        """What ``lot`` is the name of: "lot", "load", "pile" or "cost"."""
        return LOT_KINDS[type(self.what)].about


Line = Entry | LotLine
"""A line of either book: a bin's log or the castings book."""


def described(what: What | LotWhat) -> Description[Any]:
    """The description of what a line of either book says."""
    return LOG_KINDS.get(type(what)) or LOT_KINDS[type(what)]


def lot_key(name: str) -> str:
    """What makes two names of lots one lot."""
    return " ".join(name.split()).casefold()


def lots_in_order(lines: tuple[LotLine, ...] | list[LotLine]) -> tuple[LotLine, ...]:
    """Lines by day; within a day what came in first, then by moment and as written: nothing goes out before it came in.

    Ties (lines not written down yet, copies joined) go by id.
    """
    return tuple(
        sorted(lines, key=lambda line: (line.when.date(), described(line.what).rank, line.when, line.order, line.id))
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
