"""What castings are to be used on, and whether there are enough."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class UseLine:
    """One use: ``said`` by the keeper, litres of castings, and of ``other`` that goes with them; what to do."""

    said: str
    castings_l: float
    other_l: float
    other: str
    do: str
    source: str


@dataclass(frozen=True, slots=True)
class UseView:
    """Uses together. ``stock_l`` is ready, ``waiting_kg`` still cures; ``cautions`` are sentences."""

    uses: tuple[UseLine, ...]
    needed_l: float
    stock_l: float
    waiting_kg: float
    cautions: tuple[str, ...]
