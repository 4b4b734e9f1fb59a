"""What never goes in, and what goes in only a little at a time: one list for the keeper and for whoever feeds instead.

All of it is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.materials.cautions import CAUTIONS
from wormbin.materials.material import Material

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
