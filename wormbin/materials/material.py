"""One material: its composition, pace, and where each value comes from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from wormbin.materials.kept_out import KeptOut


class Role(StrEnum):
    """What a material is for in a worm bin."""

    BEDDING = "bedding"
    FEED = "feed"
    AMENDMENT = "amendment"
    KEEP_OUT = "keep out"


class Pace(StrEnum):
    """How fast a material goes; names the pool of the process model that it enters."""

    QUICK = "quick"
    STEADY = "steady"
    SLOW = "slow"
    AGED = "aged"
    FIBRE = "fibre"


_EMPTY: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Material:
    """Composition as fractions of dry matter, ``moisture`` wet basis, ``bulk_density_kg_m3`` as it is measured out.

    ``water_holding`` is kg water per kg dry matter, for beddings. ``sources`` names the source of each value by field
    name. ``acid`` marks sour feed (citrus, pineapple ...), ``rich`` what heats or gives off ammonia in bulk.
    ``kept_out_because`` is the reason, for the role KEEP_OUT, and ``kept_out`` what to do once it is in all the same.
    """

    key: str
    name: str
    role: Role
    pace: Pace
    nitrogen: float
    carbon: float
    ash: float
    moisture: float
    bulk_density_kg_m3: float | None = None
    water_holding: float | None = None
    acid: bool = False
    rich: bool = False
    cautions: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    kept_out_because: str = ""
    kept_out: KeptOut | None = None
    sources: Mapping[str, str] = field(default_factory=lambda: _EMPTY)
    own: bool = False

    @property
    def cn(self) -> float:
        """Carbon to nitrogen ratio by mass; infinite without nitrogen."""
        return self.carbon / self.nitrogen if self.nitrogen > 0 else float("inf")
