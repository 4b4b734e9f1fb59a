"""What every family's bin has in common: a box with books, and what can be seen of it. How it lives differs wholly.

kg, m, days, degC, fractions. The books are written where each thing happens, so that a slip anywhere shows in them.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass, field

WORM_DRY = 0.17


@dataclass(slots=True)
class Books:
    """Dry matter, and water, that came and went since the start, kg."""

    dry_in: float = 0.0
    burned: float = 0.0
    dry_taken: float = 0.0
    water_in: float = 0.0
    made: float = 0.0
    dried: float = 0.0
    ran_out: float = 0.0
    water_taken: float = 0.0


@dataclass(slots=True)
class Lot:
    """One thing fed at one time: the fresh kg that it came as, and the share of it still there."""

    fresh_kg: float
    left: float = 1.0


@dataclass(slots=True)
class Own:
    """What is this bin's own, as factors about 1: pace of what is fed, of bedding, drying, appetite, growth, room."""

    pace: float = 1.0
    bedding: float = 1.0
    drying: float = 1.0
    appetite: float = 1.0
    growth: float = 1.0
    room: float = 1.0
    keeps: float = 1.0


@dataclass
class Box(ABC):
    """A bin of one compartment."""

    area_m2: float
    depth_m: float
    drains: bool
    evaporates: float
    """kg of water a m2 and day at 20 C, full moisture, usual air."""
    own: Own
    temp_c: float
    books: Books = field(default_factory=Books)
    worked_kg_day: float = 0.0
    air: float = 1.0
    loose: float = 0.0
    standing_kg: float = 0.0

    @abstractmethod
    def feed(self, food: str, kg: float) -> Lot: ...
    @abstractmethod
    def bed(self, bedding: str, kg: float) -> None: ...
    @abstractmethod
    def pour(self, kg: float) -> None: ...
    @abstractmethod
    def stock(self, kg: float) -> None: ...
    @abstractmethod
    def harvest(self, share: float) -> tuple[float, float]:
        """Take ``share`` of the castings with their water: wet kg, and their moisture."""

    @abstractmethod
    def live(self, room_c: float, thirst: float) -> None:
        """One day in a room of ``room_c``, the air as thirsty as ``thirst`` (1 usual)."""

    @property
    @abstractmethod
    def worms_kg(self) -> float: ...
    @property
    @abstractmethod
    def castings_kg(self) -> float: ...
    @property
    @abstractmethod
    def dry_kg(self) -> float:
        """All dry matter but the worms'."""

    @property
    @abstractmethod
    def water_kg(self) -> float:
        """All water but the worms', what stands at the base with it."""

    @property
    @abstractmethod
    def felt(self) -> float:
        """Moisture of a handful."""

    @property
    @abstractmethod
    def waiting_kg(self) -> float:
        """Feed still there, as the fresh mass that it came as."""

    @property
    @abstractmethod
    def can_kg_day(self) -> float:
        """Fresh feed that it could work today, were there enough."""

    @property
    @abstractmethod
    def contents_m(self) -> float: ...

    @property
    def moisture(self) -> float:
        """Moisture of the whole contents."""
        whole = self.water_kg + self.dry_kg
        return self.water_kg / whole if whole > 0 else 0.0

    @property
    def castings_share(self) -> float:
        """Castings of all dry matter."""
        return self.castings_kg / self.dry_kg if self.dry_kg > 0 else 0.0

    @property
    def unbalanced_kg(self) -> float:
        """The most by which the books of dry matter, or of water, do not close."""
        b, worms = self.books, self.worms_kg
        dry = b.dry_in - b.burned - b.dry_taken - self.dry_kg - WORM_DRY * worms
        water = b.water_in + b.made - b.dried - b.ran_out - b.water_taken - self.water_kg - (1 - WORM_DRY) * worms
        return max(abs(dry), abs(water))

    # -- helpers that books go through -------------------------------------------------------------------------------

    def put(self, dry: float, water: float) -> None:
        """Book what comes in."""
        self.books.dry_in += dry
        self.books.water_in += water

    def burn(self, dry: float) -> float:
        """Book dry matter burned; returns the water that it makes (0.55 a kg: C6H10O5 + 6 O2)."""
        self.books.burned += dry
        self.books.made += 0.55 * dry
        return 0.55 * dry

    def warm(self, room_c: float, burned: float, heat: float) -> None:
        """Go most of the way to the room's warmth and what is burned lifts it by."""
        lift = min(14.0, heat * burned / (self.area_m2 + 0.4 * math.sqrt(self.area_m2)))
        self.temp_c += 0.55 * (room_c + lift - self.temp_c)
        self.loose = max(0.0, self.loose - 0.15)
