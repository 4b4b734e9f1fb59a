"""What the made-up bins are fed with: each material's water, its delay in the bed, and what becomes of it.

These are the made-up worlds' own figures, set by hand from memory to be plausible. They are not the program's material
table, and are meant to differ from it a little, as any real peel differs from the book.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Sort(StrEnum):
    """How the keeper's material behaves once it lies in the bed."""

    SOFT = "soft"
    FIRM = "firm"
    DUNG = "dung"
    WOODY = "woody"
    FIBRE = "fibre"
    MINERAL = "mineral"


@dataclass(frozen=True, slots=True)
class Temper:
    """The gamma-shaped delay of a sort: ``stages`` (its shape) and ``days`` (its mean) when fully worked.

    ``rot`` is the share of full work that microbes do without worms at 22 C, ``taste`` what the worms care for it,
    ``kept`` the share of dry matter that ends as castings.
    """

    stages: int
    days: float
    rot: float
    taste: float
    kept: float


TEMPERS = {
    Sort.SOFT: Temper(stages=2, days=2.5, rot=0.32, taste=1.0, kept=0.46),
    Sort.FIRM: Temper(stages=2, days=3.6, rot=0.16, taste=0.85, kept=0.60),
    Sort.DUNG: Temper(stages=3, days=2.6, rot=0.06, taste=0.75, kept=0.70),
    Sort.WOODY: Temper(stages=3, days=60.0, rot=0.30, taste=0.15, kept=0.55),
    Sort.FIBRE: Temper(stages=2, days=88.0, rot=0.38, taste=0.55, kept=0.58),
    Sort.MINERAL: Temper(stages=1, days=900.0, rot=0.10, taste=0.0, kept=0.97),
}


@dataclass(frozen=True, slots=True)
class Stuff:
    """One material: its sort, moisture (fraction, wet basis), kg per litre as measured out, sour or rich or not."""

    sort: Sort
    moisture: float
    kg_per_litre: float
    sour: bool = False
    rich: bool = False

    @property
    def waits(self) -> bool:
        """Whether it counts as feed waiting: soft, firm or dung."""
        return self.sort in (Sort.SOFT, Sort.FIRM, Sort.DUNG)

    @property
    def heaps(self) -> bool:
        """Whether a thick layer of it shuts itself off; crumbly dung does not."""
        return self.sort in (Sort.SOFT, Sort.FIRM)


LARDER: dict[str, Stuff] = {
    "vegetable-scraps": Stuff(Sort.SOFT, 0.86, 0.50),
    "melon-rind": Stuff(Sort.SOFT, 0.92, 0.58, sour=True),
    "banana-peel": Stuff(Sort.SOFT, 0.86, 0.45),
    "apple": Stuff(Sort.SOFT, 0.85, 0.52, sour=True),
    "leaf-lettuce": Stuff(Sort.SOFT, 0.94, 0.18),
    "carrot": Stuff(Sort.SOFT, 0.88, 0.54),
    "potato-peel": Stuff(Sort.SOFT, 0.82, 0.50),
    "grass-clippings": Stuff(Sort.SOFT, 0.79, 0.21, rich=True),
    "bread": Stuff(Sort.FIRM, 0.38, 0.20, sour=True),
    "coffee-grounds": Stuff(Sort.FIRM, 0.65, 0.42),
    "tea-leaves": Stuff(Sort.FIRM, 0.76, 0.45),
    "spent-grain": Stuff(Sort.FIRM, 0.77, 0.55, sour=True, rich=True),
    "rabbit-manure": Stuff(Sort.DUNG, 0.56, 0.45, rich=True),
    "horse-manure": Stuff(Sort.DUNG, 0.70, 0.60),
    "egg-shell": Stuff(Sort.MINERAL, 0.02, 0.50),
    "shredded-cardboard": Stuff(Sort.FIBRE, 0.08, 0.045),
    "newspaper": Stuff(Sort.FIBRE, 0.07, 0.05),
    "egg-carton": Stuff(Sort.FIBRE, 0.08, 0.06),
    "dry-leaves": Stuff(Sort.FIBRE, 0.30, 0.07),
    "straw": Stuff(Sort.FIBRE, 0.12, 0.06),
    "coconut-coir": Stuff(Sort.FIBRE, 0.18, 0.09),
}
