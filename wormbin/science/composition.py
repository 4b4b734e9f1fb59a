"""The make-up of a single material: carbon from ash, nitrogen from protein, wet and dry basis."""

from __future__ import annotations

from math import inf
from typing import Protocol

CARBON_DIVISOR = 1.8
"""Organic matter over carbon: Adams et al. 1951, New Zealand Engineering; used by Cornell Composting."""

PROTEIN_FACTOR = 6.25
"""Grams protein per gram nitrogen in most foods (USDA SR28)."""


PROTEIN_FACTORS: dict[str, float] = {
    "whole wheat": 5.83,
    "white flour, pasta": 5.70,
    "wheat bran": 6.31,
    "rye, barley, oats": 5.83,
    "rice": 5.95,
    "peanut": 5.46,
    "soya bean": 5.71,
    "nuts, coconut": 5.30,
    "milk": 6.38,
}
"""The foods with a factor of their own, grams protein per gram nitrogen: Jones's factors, as in USDA SR28."""


class Composition(Protocol):
    """Anything with the make-up of a material: ``moisture`` wet basis, the rest of dry matter."""

    @property
    def name(self) -> str:
        """The material in the keeper's words."""

    @property
    def moisture(self) -> float:
        """Fraction, wet basis."""

    @property
    def carbon(self) -> float:
        """Fraction of dry matter."""

    @property
    def nitrogen(self) -> float:
        """Fraction of dry matter."""

    @property
    def ash(self) -> float:
        """Fraction of dry matter."""

    @property
    def bulk_density_kg_m3(self) -> float | None:
        """Loose, as measured out; None where unknown."""


def carbon_from_ash(ash: float) -> float:
    """Carbon of dry matter from ash of dry matter: ``(1 - ash) / 1.8`` (Adams et al. 1951).

    Overstates the carbon of sugary and starchy food by 20-25 %: a measured value wins where there is one.
    """
    return (1.0 - ash) / CARBON_DIVISOR


def nitrogen_from_protein(protein: float, factor: float = PROTEIN_FACTOR) -> float:
    """Nitrogen from protein, in the same basis as ``protein``: protein over the food's factor (USDA SR28)."""
    return protein / factor


def of_dry_matter(as_fed: float, moisture: float) -> float:
    """A fraction of the wet mass turned into one of the dry matter. Raises ValueError for pure water."""
    if moisture >= 1:
        raise ValueError("there is no dry matter to take a fraction of")
    return as_fed / (1.0 - moisture)


def wet_basis(dry_basis: float) -> float:
    """Moisture as water per dry matter turned into water per wet mass: 50 % becomes 33 %."""
    return dry_basis / (1.0 + dry_basis)


def dry_basis(moisture: float) -> float:
    """Moisture per wet mass turned into water per dry matter; infinite for pure water."""
    return moisture / (1.0 - moisture) if moisture < 1 else inf


def moisture_from_drying(wet_g: float, dry_g: float) -> float:
    """Moisture, wet basis, of a sample weighed wet and again when dried to a steady weight, any one unit of mass.

    Raises ValueError when the dry weight is not between 0 and the wet weight.
    """
    if not 0 <= dry_g <= wet_g or wet_g <= 0:
        raise ValueError("the dry weight must lie between 0 and the wet weight")
    return (wet_g - dry_g) / wet_g
