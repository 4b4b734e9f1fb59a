"""A bin as the keeper describes it: size, place, drainage, cover, species, method."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any, Final, NoReturn

USUAL_SITE_C: Final = 20.0
"""The warmth of a place of which nobody says another."""
HARVEST_SHARE: Final = 0.80
"""Of dry matter as castings: when a bin is ready to harvest, unless its keeper chose another share."""


class _Nothing(Mapping[str, Any]):
    """An empty mapping that can be hashed and copied, so that records without loose fields can be, too."""

    __slots__ = ()

    def __getitem__(self, name: str) -> NoReturn:
        raise KeyError(name)

    def __iter__(self) -> Iterator[str]:
        return iter(())

    def __len__(self) -> int:
        return 0

    def __hash__(self) -> int:
        return 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Mapping) and not other

    def __repr__(self) -> str:
        return "{}"


NOTHING_MORE: Mapping[str, Any] = _Nothing()


class Cover(StrEnum):
    """What lies over the bedding; sets how fast water leaves."""

    OPEN = "open"
    LOOSE = "loose"
    CLOSED = "closed"


class Method(StrEnum):
    """How the castings are taken off."""

    SORT = "sort"
    SIDEWAYS = "sideways"
    UPWARD = "upward"
    BAIT = "bait"
    SCREEN = "screen"
    FLOW = "flow"

    @property
    def by(self) -> str:
        """What the castings come out by, in a word: "hand", "sieve"."""
        return {"sort": "hand", "upward": "top tray", "screen": "sieve", "flow": "below"}.get(self.value, self.value)


class Species(StrEnum):
    """The composting worms that the program knows; they differ in the cold and heat they bear."""

    EISENIA = "eisenia"
    EUDRILUS = "eudrilus"
    PERIONYX = "perionyx"
    DENDROBAENA = "dendrobaena"


@dataclass(frozen=True, slots=True)
class Bin:
    """One worm bin. Lengths in m, area in m2, temperature in degC, mass in kg.

    ``key`` is its name in commands and files (lower-case letters, digits, hyphens); ``name`` is what people call it.
    ``area_m2`` is the surface of ONE compartment when given, else ``length_m * width_m`` is used (divided among the
    compartments when they lie sideways). ``beddings`` and ``feeds`` are the only materials that it is to get (none:
    any), ``feed_days`` its own weekdays (none: the farm's).
    """

    key: str
    name: str
    length_m: float | None
    width_m: float | None
    depth_m: float
    started: date
    area_m2: float | None = None
    compartments: int = 1
    drainage: bool = True
    cover: Cover = Cover.LOOSE
    species: Species = Species.EISENIA
    site_temp_c: float = USUAL_SITE_C
    method: Method = Method.SORT
    tare_kg: float | None = None
    keeper: str = ""
    ended: date | None = None
    harvest_share: float = HARVEST_SHARE
    beddings: tuple[str, ...] = ()
    feeds: tuple[str, ...] = ()
    feed_days: tuple[str, ...] = ()
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)

    @property
    def sideways(self) -> bool:
        """Whether the compartments lie side by side (halves of one box) rather than stacked as trays."""
        return self.compartments > 1 and self.method is Method.SIDEWAYS

    @property
    def surface_m2(self) -> float:
        """Surface of one compartment, m2."""
        if self.area_m2 is not None:
            return self.area_m2
        whole = (self.length_m or 0.0) * (self.width_m or 0.0)
        return whole / self.compartments if self.sideways else whole

    @property
    def footprint_m2(self) -> float:
        """Surface of the whole bin seen from above, m2."""
        return self.surface_m2 * (self.compartments if self.sideways else 1)
