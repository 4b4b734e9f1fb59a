"""One material: its composition, its pace, where each value comes from, and what to do with what is kept out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

# Volatile solids over carbon: Adams et al. 1951 (New Zealand Engineering); used by Cornell Composting.
SOLIDS_PER_CARBON = 1.8

SOAKS_UP = 3.0
"""Kg of water that a kg of dry board or paper takes up overnight, and a bedding of which nobody says: newspaper 3
(University of Illinois Extension); corrugated board 2-4 (from memory)."""

CASTINGS = "vermicast"
"""The key of finished castings."""

# Carbon of lignin's building block C9H10O3, by its formula: no plant matter without fat or charcoal holds more.
MOST_CARBON = 0.65


@dataclass(frozen=True, slots=True)
class Composition:
    """Fractions of dry matter, and ``moisture`` wet basis."""

    nitrogen: float
    carbon: float
    ash: float
    moisture: float

    @property
    def cn(self) -> float:
        """Carbon to nitrogen by mass; infinite without nitrogen."""
        return self.carbon / self.nitrogen if self.nitrogen > 0 else float("inf")


# Carbon of starch and cellulose C6H10O5, by the formula; of protein and of fat, from memory.
STARCH_CARBON, PROTEIN_CARBON, FAT_CARBON = 0.444, 0.53, 0.77


def carbon_bound(ash: float) -> float:
    """The most carbon that dry matter with this ash (fraction) is taken to hold: (1 - ash)/1.8."""
    return (1.0 - ash) / SOLIDS_PER_CARBON


def measured_carbon_bound(ash: float) -> float:
    """The most carbon believed where carbon and ash of dry matter were both measured: all its organic matter lignin."""
    return (1.0 - ash) * MOST_CARBON


def from_proximate(
    water: float, protein: float, ash: float, factor: float = 6.25, fat: float | None = None
) -> Composition:
    """Composition from a food table's row, all in g per 100 g as eaten; ``factor`` is g protein per g nitrogen.

    Nitrogen is protein / factor (factors of USDA SR28; 6.25 for most), carbon (1 - ash of dry matter)/1.8, which
    overstates sugary and starchy food by 20-25 %: where ``fat`` is given, it is that of starch, protein and fat.
    ValueError when the row leaves no dry matter or cannot be.
    """
    dry = 100.0 - water
    starch = dry - protein - ash - (fat or 0.0)
    if not 0.0 <= water < 100.0 or not 0.0 <= ash <= dry or not 0.0 <= protein <= dry or factor <= 0.0 or starch < 0.0:
        raise ValueError(f"no such food: water {water}, protein {protein}, ash {ash} g per 100 g, factor {factor}")
    carbon = carbon_bound(ash / dry)
    if fat is not None:
        carbon = (STARCH_CARBON * starch + PROTEIN_CARBON * protein + FAT_CARBON * fat) / dry
    return Composition(protein / factor / dry, carbon, ash / dry, water / 100.0)


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


_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class KeptOut:
    """What it brings, in a few words; what to do when it went in; the source of that."""

    brings: str
    do: str
    source: str


KEPT_OUT = {
    "vermin": KeptOut(
        "rats, flies and stench", "take it out today with gloves, and lay dry bedding over the place", _PRACTICE
    ),
    "disease": KeptOut(
        "disease", "take it out today with gloves, wash your hands, and keep the castings off food crops",
        "Hill et al. 2013: eggs of Ascaris survived 90 days in a worm bin; the rest is common practice, no source",
    ),
    "blight": KeptOut(
        "plant disease", "take it out today, and keep the castings away from plants of its kind", _PRACTICE
    ),
    "burns": KeptOut(
        "salt, lye or ammonia that burns worms", "take it out today with gloves, and look for worms that leave",
        "over pH 9 worms die within a week (Kaplan et al. 1980); the rest is common practice, no source",
    ),
    "residue": KeptOut(
        "poison that stays in the castings", "take it out today with gloves, and keep the castings off food crops",
        _PRACTICE,
    ),
    "pieces": KeptOut("scraps that never rot", "pick the pieces out as you find them", _PRACTICE),
}  # fmt: skip
"""By the mark that a row of the table carries."""
UNSAID = KeptOut("what the keeper keeps out", "take it out today", "the keeper's own material")


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
    def kept_out_words(self) -> str:
        """That it stays out of worm bins, and why: "No meat: it rots and draws flies and rats"."""
        return f"No {self.name[:1].lower()}{self.name[1:]}: {self.kept_out_because}"

    @property
    def cn(self) -> float:
        """Carbon to nitrogen ratio by mass; infinite without nitrogen."""
        return self.carbon / self.nitrogen if self.nitrogen > 0 else float("inf")
