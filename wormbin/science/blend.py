"""What a mix of materials comes to: mass, water, carbon, nitrogen, ash, room and air.

Everything is summed in kilograms and divided once at the end. A mean of ratios is never taken: 20:1, 20:1 and 60:1
with equal carbon come to 25.7, not 33.3.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf
from typing import Protocol

from wormbin.figures import Basis
from wormbin.science.constants import WATER_KG_M3
from wormbin.science.response import COMPOST_PARTICLES, free_air_space


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


@dataclass(frozen=True, slots=True)
class Ingredient:
    """So many wet kg of one thing. ``moisture`` wet basis; carbon, nitrogen, ash as fractions of dry matter.

    Raises ValueError when a value cannot be (negative mass, a fraction outside 0-1, no bulk density above zero).
    """

    kg: float
    moisture: float
    carbon: float
    nitrogen: float
    ash: float
    bulk_density_kg_m3: float | None = None
    name: str = ""
    basis: Basis = Basis.BOOK

    def __post_init__(self) -> None:
        """Hold the values to what can be."""
        if not 0 <= self.kg < inf:
            raise ValueError(f"kg must be 0 or more, not {self.kg}")
        for field in ("moisture", "carbon", "nitrogen", "ash"):
            value = getattr(self, field)
            if not 0 <= value <= 1:
                raise ValueError(f"{field} must be from 0 to 1, not {value}")
        if self.bulk_density_kg_m3 is not None and not 0 < self.bulk_density_kg_m3 < inf:
            raise ValueError(f"bulk density must be above 0 kg/m3, not {self.bulk_density_kg_m3}")

    @classmethod
    def of(cls, made_of: Composition, kg: float, basis: Basis = Basis.BOOK) -> Ingredient:
        """``kg`` wet kilograms of a material, as the material table describes it."""
        return cls(
            kg,
            made_of.moisture,
            made_of.carbon,
            made_of.nitrogen,
            made_of.ash,
            made_of.bulk_density_kg_m3,
            made_of.name,
            basis,
        )

    @classmethod
    def water(cls, kg: float) -> Ingredient:
        """``kg`` of plain water. It goes into pores and cells, so it is counted as taking no room of its own."""
        return cls(kg, 1.0, 0.0, 0.0, 0.0, None, "water")

    def with_kg(self, kg: float) -> Ingredient:
        """The same thing, ``kg`` wet kilograms of it."""
        return replace(self, kg=kg)

    def soaked_to(self, moisture: float) -> Ingredient:
        """The same dry matter soaked (or dried) to ``moisture``; its room stays as it was, its mass changes."""
        if not 0 <= moisture < 1:
            raise ValueError("moisture must be from 0 to under 1")
        kg = self.dry_kg / (1.0 - moisture)
        density = self.bulk_density_kg_m3
        if density is not None and self.moisture < 1:
            density *= (1.0 - self.moisture) / (1.0 - moisture)
        return replace(self, kg=kg, moisture=moisture, bulk_density_kg_m3=density)

    @property
    def dry_kg(self) -> float:
        """Dry matter, kg."""
        return self.kg * (1.0 - self.moisture)

    @property
    def water_kg(self) -> float:
        """Water in it, kg."""
        return self.kg * self.moisture

    @property
    def carbon_kg(self) -> float:
        """Carbon, kg."""
        return self.dry_kg * self.carbon

    @property
    def nitrogen_kg(self) -> float:
        """Nitrogen, kg."""
        return self.dry_kg * self.nitrogen

    @property
    def ash_kg(self) -> float:
        """Ash, kg."""
        return self.dry_kg * self.ash


@dataclass(frozen=True, slots=True)
class Blend:
    """What ingredients come to together, kg, m3 and fractions.

    ``bulk_density_kg_m3`` and ``free_air_space`` are None when an ingredient with dry matter has no
    bulk density. ``cn`` is infinite without nitrogen; ``moisture`` is 0 for nothing at all.
    """

    wet_kg: float
    dry_kg: float
    water_kg: float
    moisture: float
    carbon_kg: float
    nitrogen_kg: float
    ash_kg: float
    cn: float
    bulk_density_kg_m3: float | None
    free_air_space: float | None


def blend(ingredients: Iterable[Ingredient]) -> Blend:
    """Sum the ingredients. Volumes are added (loose, before settling), so real beds end denser and less airy.

    The room is never less than the solids and water alone fill, so free air space is never below zero.
    """
    parts = tuple(part for part in ingredients if part.kg > 0)
    dry = sum(part.dry_kg for part in parts)
    water = sum(part.water_kg for part in parts)
    carbon = sum(part.carbon_kg for part in parts)
    nitrogen = sum(part.nitrogen_kg for part in parts)
    ash = sum(part.ash_kg for part in parts)
    wet = sum(part.kg for part in parts)
    moisture = water / wet if wet > 0 else 0.0
    volume = _volume_m3(parts, dry, ash, water)
    density = wet / volume if volume else None
    air = None
    if density is not None:
        air = free_air_space(density, moisture, ash / dry if dry > 0 else 0.0)
    cn = carbon / nitrogen if nitrogen > 0 else inf
    return Blend(wet, dry, water, moisture, carbon, nitrogen, ash, cn, density, air)


def _volume_m3(parts: tuple[Ingredient, ...], dry: float, ash: float, water: float) -> float | None:
    """Loose volumes added; None when one is unknown; at least what solids and water fill without any pore."""
    loose = 0.0
    for part in parts:
        if part.bulk_density_kg_m3 is not None:
            loose += part.kg / part.bulk_density_kg_m3
        elif part.dry_kg > 0:
            return None
    solid = (dry - ash) / COMPOST_PARTICLES.volatile_kg_m3 + ash / COMPOST_PARTICLES.ash_kg_m3
    return max(loose, solid + water / WATER_KG_M3)
