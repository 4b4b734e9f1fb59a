"""What a number looks like when it may be uncertain: a band, where it comes from, and the sum that made it.

Everything above this floor speaks of numbers in these words, so that an estimate can never be shown as a reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """Where a figure comes from; shown as a word beside it, never by colour alone."""

    READ = "read"
    WORKED_OUT = "worked out"
    SAID = "said"
    BOOK = "book value"


class Level(StrEnum):
    """The three severities of the whole program; each has a word here, a shape and a colour on the screen."""

    STEADY = "steady"
    WATCH = "watch"
    ACT = "act"

    @property
    def rank(self) -> int:
        """0, 1 or 2: higher is worse."""
        return ("steady", "watch", "act").index(self.value)


@dataclass(frozen=True, slots=True)
class Band:
    """A 10/50/90 % band: eight times in ten the true value is between ``p10`` and ``p90``."""

    p10: float
    p50: float
    p90: float

    @classmethod
    def exactly(cls, value: float) -> Band:
        """A band of no width, for what is known."""
        return cls(value, value, value)

    @property
    def width(self) -> float:
        """``p90 - p10``, in the unit of the values."""
        return self.p90 - self.p10

    def times(self, factor: float) -> Band:
        """The band with every value multiplied by a known ``factor`` (>= 0)."""
        return Band(self.p10 * factor, self.p50 * factor, self.p90 * factor)


@dataclass(frozen=True, slots=True)
class Quantity:
    """One named number that goes into a working: SI or fraction, with its unit in words, and where it comes from."""

    name: str
    value: float
    unit: str
    basis: Basis
    note: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """A number opened: what went in, the formula, the source, how sure it is, and what it means in plain words.

    ``formula`` is arithmetic over the names of ``inputs`` (operators, ``min``, ``max``, ``exp``, ``log``, ``sqrt``), so
    that anyone can put the shown inputs in and get ``value`` to the shown digits.
    """

    title: str
    value: float
    unit: str
    formula: str
    inputs: tuple[Quantity, ...]
    source: str
    sure: str
    plain: str = ""
    rests_on: tuple[str, ...] = ()
