"""The lines of the castings book in their ``LotLine`` envelope; the two halves of a harvest into a lot and of a move.

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
from dataclasses import replace

MARK = "~"


def is_half(entry_id: str) -> bool:
    """Whether a line is the receiving half of a move, or a harvest's in the castings book."""
    return entry_id.endswith(MARK)


def partner_id(entry_id: str) -> str:
    """The id of the other half of a move: with ``~`` for the receiving half, without it for the giving one."""
    return entry_id[: -len(MARK)] if is_half(entry_id) else entry_id + MARK


def both_halves(giving: Entry) -> tuple[Entry, Entry]:
    """The giving half as it is, and the receiving half that belongs to it.

    ``giving`` is a move with ``into`` False whose id has no ``~``. The receiving half has no compartment: the worms
    go where its bin's keeper says, in an entry of that bin.
    """
    what = giving.what
    if not isinstance(what, Move) or what.into or is_half(giving.id):
        raise ValueError("only the giving half of a move has a receiving half")
    receiving = replace(
        giving,
        id=partner_id(giving.id),
        bin=what.other,
        what=replace(what, other=giving.bin, into=True),
        compartment=0,
        replaces=partner_id(giving.replaces) if giving.replaces else "",
        order=0,
    )
    return giving, receiving


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
