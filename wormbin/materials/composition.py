"""Nitrogen and carbon of dry matter from what food tables and furnaces give: water, protein and ash."""

from __future__ import annotations

from dataclasses import dataclass

# Volatile solids over carbon: Adams et al. 1951 (New Zealand Engineering); used by Cornell Composting.
SOLIDS_PER_CARBON = 1.8

SOAKS_UP = 3.0
"""Kg of water that a kg of dry board or paper takes up overnight, and a bedding of which nobody says: newspaper 3
(University of Illinois Extension); corrugated board 2-4 (from memory)."""

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
