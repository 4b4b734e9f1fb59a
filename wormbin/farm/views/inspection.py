"""What the farm shows an inspector: the record of a bed, of a lot with its beds, and a bag's label."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.castings.inspection import BedRecord
from wormbin.farm.views.lots import LotPage
from wormbin.records.lots import LotStep


@dataclass(frozen=True, slots=True)
class LoadFact:
    """A load that went into a lot's beds: its name, material, kg, from whom, what it was treated with, bad or not."""

    load: str
    material: str
    kg: float
    sure: bool
    supplier: str
    treated: str
    heat: str
    bad: bool


@dataclass(frozen=True, slots=True)
class LotRecord:
    """A lot for an inspector: its page, the record of each bed up to its harvest, the loads in it."""

    page: LotPage
    beds: tuple[BedRecord, ...]
    loads: tuple[LoadFact, ...]


@dataclass(frozen=True, slots=True)
class LabelView:
    """What a bag's label says. Masses in kg, room in litres (``litres_read``: by this lot's own measure)."""

    lot: str
    kg: float
    litres: float
    litres_read: bool
    packed: date
    made_of: tuple[str, ...]
    bad: tuple[str, ...]
    step: LotStep = LotStep.STOCK
    sized: bool = True
    """Whether it is of a bag whose size somebody said."""
