"""What the farm shows of money: exact decimals in the keeper's own currency."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from wormbin.castings.money import Entered, Made


@dataclass(frozen=True, slots=True)
class Span:
    """A month or a year: taken, spent, wet kg of castings sold."""

    name: str
    taken: Decimal
    spent: Decimal
    sold_kg: float


@dataclass(frozen=True, slots=True)
class AccountView:
    """All money. ``bins`` are name, taken, spent; ``rest`` is what was spent and is in no lot yet, by where it is."""

    currency: str
    taken: Decimal
    spent: Decimal
    months: tuple[Span, ...]
    years: tuple[Span, ...]
    lots: tuple[Made, ...]
    bins: tuple[tuple[str, Decimal, Decimal], ...]
    rest: tuple[tuple[str, Decimal], ...]
    entered: tuple[Entered, ...]
    own_hours: Decimal
    """How much of what is spent is own hours."""
