"""Guesses as they are shown: each beside what came."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.drawing.series import Series
    from wormbin.records.bins import Bin


@dataclass(frozen=True, slots=True)
class GuessRow:
    """One guess of ``moisture`` (fraction), ``worms`` (kg) or ``harvest`` (ordinal of a day), and what came of it.

    ``read`` is whether what came was read by somebody, or worked out. ``off`` says how far off it was, in words.
    """

    entry: str
    on: date
    by: str
    quantity: str
    guess: float
    words: str
    came: float | None
    came_words: str
    read: bool
    off: str


@dataclass(frozen=True, slots=True)
class GuessesView:
    """The guesses of a bin, the oldest first; ``charts`` one a quantity."""

    bin: Bin
    on: date
    rows: tuple[GuessRow, ...]
    charts: tuple[Series, ...]

    def off_by(self, quantity: str) -> tuple[float, ...]:
        """How far off the guesses of a quantity were, the oldest first, whichever way; those that came."""
        return tuple(
            abs(row.guess - row.came) for row in self.rows if row.quantity == quantity and row.came is not None
        )

    @property
    def document(self) -> dict[str, object]:
        """What goes out as JSON."""
        rows = [
            {"entry": row.entry, "date": row.on, "by": row.by, "quantity": row.quantity, "guess": row.words,
             "came": row.came_words or None, "read": row.read, "off": row.off or None}
            for row in self.rows
        ]  # fmt: skip
        return {"bin": self.bin.key, "guesses": rows}
