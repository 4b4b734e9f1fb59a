"""The make-up of a single material, and its moisture from drying a sample."""

from __future__ import annotations

from typing import Protocol


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


def moisture_from_drying(wet_g: float, dry_g: float) -> float:
    """Moisture, wet basis, of a sample weighed wet and again when dried to a steady weight, any one unit of mass.

    Raises ValueError when the dry weight is not between 0 and the wet weight.
    """
    if not 0 <= dry_g <= wet_g or wet_g <= 0:
        raise ValueError("the dry weight must lie between 0 and the wet weight")
    return (wet_g - dry_g) / wet_g
