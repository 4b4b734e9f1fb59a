"""A log as a plain list knows it, to hold a store against: lines, what stands of them, and what can be taken back."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from wormbin.records.entries import Feeding
from wormbin.records.lots import Intake, Line as AnyLine, LotLine, Sale

LOTS = ("spring", "autumn")


@dataclass(frozen=True)
class Line:
    """One line as a plain list knows it."""

    id: str
    bin: str
    kg: float
    text: str
    replaces: str = ""
    struck: bool = False
    lot: str = ""
    flow: float = 0.0


@dataclass
class Model:
    """A plain list of lines, and what can be taken back: which ids each change wrote and struck."""

    lines: dict[str, Line] = field(default_factory=dict)
    done: list[tuple[tuple[str, ...], tuple[str, ...]]] = field(default_factory=list)

    def copy(self) -> Model:
        return Model(dict(self.lines), list(self.done))

    def strike(self, ids: tuple[str, ...], struck: bool = True) -> None:
        for entry_id in ids:
            self.lines[entry_id] = replace(self.lines[entry_id], struck=struck)

    def write(self, entries: tuple[AnyLine, ...]) -> None:
        for entry in entries:
            self.lines[entry.id] = replace(listed(entry), struck=False)

    def standing_ids(self) -> list[str]:
        replaced = {line.replaces for line in self.lines.values() if not line.struck}
        return [line.id for line in self.lines.values() if not line.struck and line.id not in replaced]

    def in_lot(self, lot: str) -> float:
        """What came into a lot less what went out of it."""
        return sum(self.lines[key].flow for key in self.standing_ids() if self.lines[key].lot == lot)

    def may_become(self, after: Model) -> bool:
        """Whether no lot has less in it than nothing, or no less than it had already."""
        return all(after.in_lot(lot) >= min(0.0, self.in_lot(lot)) - 1e-9 for lot in LOTS)

    def amended(self, ids: tuple[str, ...]) -> tuple[str, ...]:
        """Lines that these amended, and those that they amended, which still stand unstruck."""
        found = []
        for key in ids:
            before = self.lines[key].replaces
            while before in self.lines:
                if not self.lines[before].struck and before not in found:
                    found.append(before)
                before = self.lines[before].replaces
        return tuple(found)

    def undo(self) -> None:
        wrote, struck = self.done.pop()
        self.strike(tuple(each for each in wrote if not self.lines[each].struck))
        self.strike(struck, False)

    def halves(self, entry_id: str) -> tuple[str, ...]:
        other = entry_id[:-1] if entry_id.endswith("~") else f"{entry_id}~"
        return (entry_id, other) if other in self.lines else (entry_id,)


def mass_of(entry: AnyLine) -> float:
    return sum(portion.kg for portion in entry.what.portions) if isinstance(entry.what, Feeding) else 0.0


def listed(entry: AnyLine) -> Line:
    """A line of either book as the plain list knows it."""
    what, struck = entry.what, entry.struck is not None
    if isinstance(entry, LotLine):
        flow = what.kg if isinstance(what, Intake) else -what.kg if isinstance(what, Sale) else 0.0
        return Line(entry.id, "", 0.0, entry.note, entry.replaces, struck, entry.lot, flow)
    return Line(entry.id, entry.bin, mass_of(entry), entry.note, entry.replaces, struck)
