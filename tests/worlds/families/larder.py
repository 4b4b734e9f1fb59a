"""What the bins of the families get: each thing's water, ash, and how it lies, in figures of these worlds' own.

They are set by hand from handbook values and memory, and meant to differ from the program's table, as any peel does.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Food:
    """``water`` (of wet) and ``ash`` (of dry), fractions; ``quick`` is the share of the organic that is easily had.

    ``lag`` and ``span`` are the days until it is soft, and over which it then goes, with worms enough at 22 C.
    """

    water: float
    ash: float
    quick: float
    lag: float
    span: float


FOODS = {
    "vegetable-scraps": Food(0.88, 0.11, 0.65, 1.0, 3.5),
    "melon-rind": Food(0.92, 0.10, 0.70, 0.7, 3.0),
    "banana-peel": Food(0.86, 0.12, 0.60, 1.2, 4.0),
    "apple-cores": Food(0.84, 0.03, 0.70, 1.5, 4.0),
    "leaf-lettuce": Food(0.945, 0.16, 0.75, 0.5, 2.5),
    "carrots": Food(0.88, 0.08, 0.65, 2.5, 6.0),
    "potato-peel": Food(0.82, 0.07, 0.60, 1.5, 4.5),
    "bread": Food(0.38, 0.03, 0.80, 1.5, 7.0),
    "coffee-grounds": Food(0.63, 0.03, 0.35, 0.7, 8.0),
    "tea-leaves": Food(0.77, 0.05, 0.30, 0.8, 9.0),
    "orange-peel": Food(0.76, 0.04, 0.50, 4.0, 14.0),
}


@dataclass(frozen=True, slots=True)
class Bedding:
    """``water`` (of wet) and ``ash`` (of dry), fractions; ``pace`` against shredded board."""

    water: float
    ash: float
    pace: float


BEDDINGS = {
    "shredded-cardboard": Bedding(0.08, 0.05, 1.0),
    "newspaper": Bedding(0.07, 0.03, 1.6),
    "egg-cartons": Bedding(0.08, 0.06, 1.2),
    "dry-leaves": Bedding(0.28, 0.09, 1.5),
}
