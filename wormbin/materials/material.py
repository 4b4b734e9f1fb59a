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


CAUTIONS: dict[str, str] = {
    "acid": "Sour: keep it a small share of a feeding, or it sours the bed.",
    "coffee": "A small share of a feeding: much of it cakes, and sours or heats the bed.",
    "dust": "Dusty: damp it down before handling, and wear a mask.",
    "fatty": "Fatty: a little at a time, it turns rancid.",
    "flat": "Packs flat and shuts out air and water: tear or shred it and mix it with something coarse.",
    "flies": "Draws fruit flies: bury it under 3 to 5 cm of bedding, or freeze it first.",
    "gypsum": "Does not sweeten a sour bed, and can feed a sulphur smell in an airless one.",
    "heats": "Heats in bulk: thin layers only, at one side, with room for the worms to leave.",
    "herbicide": "Ask what the field and the feed were sprayed with: some weedkillers pass through the bin. Try a lot "
    "on cress or beans before use or sale.",
    "leaf_kinds": "Leave out leaves of black walnut, eucalyptus, oleander and yew.",
    "lime_kind": "Ground limestone only, never slaked, hydrated or quick lime.",
    "manure": "Raw manure: wear gloves, wash hands, keep it off food. Ask what wormers and fly treatments the animals "
    "had, for these kill the herd. Let it age, and try a handful first.",
    "mould": "May be mouldy: damp it down, wear a mask and gloves, wash hands. Extra care with asthma, over age 50 or "
    "with weak immunity (bagged and composted stuff can carry Legionella longbeachae).",
    "no_cleaners": "Only if no cleaning agent or grease is on it.",
    "no_cooked": "Pick out meat, fish, dairy, and what is oily or salted.",
    "onion": "Strong: a small share of a feeding, worms avoid it until it has rotted.",
    "peat_acid": "Sour: mix in ground limestone or crushed eggshell.",
    "plain_board": "Plain brown or newsprint only: take off tape, labels, staples and shiny or coated parts.",
    "salt": "May be salty: rinse it well, and keep salts of the bed under 0.5 % (Earthworm Ecology 2004, Table 18.3).",
    "smell": "Smells of cabbage when airless: a small share, well buried.",
    "soil": "A handful only, from a clean place: it is heavy, and may bring in flatworms and jumping worms.",
    "sprayed": "Leave out what was sprayed with insecticide or weedkiller; rinse bought fruit and flowers.",
    "starch": "Plain, without salt, oil or spread; a little at a time, buried: it sours and draws mites.",
    "tea_bags": "Empty the bags unless they are plain paper: many are plastic mesh.",
    "thin": "Rich and dry: sprinkle thinly, it heats and sours in heaps.",
    "treated_wood": "Untreated wood only: no paint, glue, preservative, or cedar.",
    "weed_seed": "Only without seeds and creeping roots: a worm bin does not kill them.",
}


NEVER = ("meat", "fish", "dairy", "oil", "salty food", "pet waste")
"""In the words of a page for somebody who does not know worms; the table's own rows say why, one by one."""


@dataclass(frozen=True, slots=True)
class OnlyLittle:
    """A sort of feed: what it is called, the caution of the table that its materials carry, how little and why."""

    name: str
    caution: str
    why: str


ONLY_LITTLE = (
    OnlyLittle("citrus", "acid", "it sours the bed, and worms keep away from it"),
    OnlyLittle("bread", "starch", "it sours and draws mites; plain only, without salt, oil or spread, and buried"),
    OnlyLittle(
        "cooked food", "starch", "it sours and draws mites; plain only, without salt, oil or spread, and buried"
    ),
)


def only_little(material: Material) -> OnlyLittle | None:
    """Why this goes in only a little at a time; None when it may be fed as any other feed."""
    return next((each for each in ONLY_LITTLE if CAUTIONS[each.caution] in material.cautions), None)


def left_out() -> tuple[str, str]:
    """What never goes in, and what else to leave out who does not know the bin: two lists in words."""
    return ", ".join(NEVER), ", ".join(each.name for each in ONLY_LITTLE)
