"""Readings of many as they are shown: each day by itself, with who read what."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.records.bins import Bin


@dataclass(frozen=True, slots=True)
class ManyDay:
    """What several read on one day with one instrument, in SI. ``read`` is who, what, and whether it stands far off."""

    on: date
    quantity: str
    name: str
    words: str
    read: tuple[tuple[str, float, bool], ...]
    mean: float
    spread: float
    mean_words: str
    spread_words: str
    ends: tuple[str, str]
    """The lowest and the highest of them in words."""


@dataclass(frozen=True, slots=True)
class ManyView:
    """All such days of a bin, the latest first; ``still`` says why the estimate stood still beside them."""

    bin: Bin
    on: date
    days: tuple[ManyDay, ...]
    still: tuple[str, ...]

    @property
    def document(self) -> dict[str, object]:
        """What goes out as JSON."""
        days = [
            {"date": day.on, "quantity": day.quantity, "instrument": day.name, "mean": day.mean, "spread": day.spread,
             "read": [{"by": by, "value": value, "far_off": far} for by, value, far in day.read]}
            for day in self.days
        ]  # fmt: skip
        return {"bin": self.bin.key, "days": days, "still": self.still}
