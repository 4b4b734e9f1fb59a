"""What the farm shows of its worms: each bin's herd and what it can spare, and out of which bins a sale can come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.figures import Band


@dataclass(frozen=True, slots=True)
class HerdRow:
    """One bin. Live kg; ``kg_m2`` on its footprint; ``needs_kg`` keeps it working, ``spare_kg`` may go.

    ``survey_due`` is whether no survey holds, and the figures are an estimate; ``crowded`` asks for a split.
    """

    bin: str
    name: str
    worms_kg: Band
    kg_m2: float
    needs_kg: float
    spare_kg: float
    surveyed: date | None
    survey_due: bool
    crowded: bool


@dataclass(frozen=True, slots=True)
class HerdView:
    """Every living bin, the one that can spare most first."""

    rows: tuple[HerdRow, ...]


@dataclass(frozen=True, slots=True)
class Take:
    """So many worms, live kg, out of one bin; ``survey_first`` where nobody has counted them of late."""

    bin: str
    name: str
    kg: float
    survey_first: bool


@dataclass(frozen=True, slots=True)
class HerdPlan:
    """So many worms by a day: out of which bins, and what is missing, live kg."""

    kg: float
    by: date
    takes: tuple[Take, ...]
    missing_kg: float
