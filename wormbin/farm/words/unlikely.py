"""Amounts that hardly fit the box: saved, as the keeper may know better, but said so at once, with how to take it back.

Held against the box alone, so that saving never waits for a replay.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wormbin.materials.material import Role
from wormbin.materials.table import MaterialTable
from wormbin.measures import mass, volume
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Draining, Feeding, Harvest, Move, Portion, Stocking, Watering, What
from wormbin.records.kinds.castings import Bad
from wormbin.science.constants import DENSEST_CASTINGS_KG_M3
from wormbin.science.practice import PLAN_AT_MOST_KG_M2

if TYPE_CHECKING:
    from wormbin.farm.session import Session

MOST_WORMS_KG_M2 = 2.0 * PLAN_AT_MOST_KG_M2
"""Twice what is planned for at the most; the doubling is ours."""
WATER_SHARE = 0.25
LOOSE_KG_L = 1.0
HEAP_KG_M2 = 10.0
"""Twice the feed that a square metre takes in a week (1 ft2 to a lb: NC State AG-473-18; the doubling is ours)."""
TAKE_BACK = "A slip? Take it back with wormbin undo, or u on the screen."


def unlikely(what: What, one: Bin, units: str) -> tuple[str, ...]:
    """What to say of an amount that hardly fits this bin, once it is saved; empty when it fits."""
    said = hardly(what, one, units)
    return (f"{said}. {TAKE_BACK}",) if said else ()


def kept_out_words(portions: Sequence[Portion], table: MaterialTable) -> tuple[str, ...]:
    """For each portion of what does not belong in a worm bin: that it does not, and why; without a full stop."""
    found = [table.get(each.material) for each in portions if each.material in table]
    return tuple(each.kept_out_words for each in found if each.role is Role.KEEP_OUT)


def hardly(what: What, one: Bin, units: str) -> str:
    """Why an amount hardly fits this bin, in words without a full stop; empty when it fits."""
    storeys = 1 if one.sideways else one.compartments
    box_l = one.footprint_m2 * one.depth_m * storeys * 1000.0
    if box_l <= 0:
        return ""
    box = volume(box_l, units)
    match what:
        case Watering(kg=kg) if kg > WATER_SHARE * box_l:
            said = f"{volume(kg, units)} of water would flood a box of {box}"
        case Draining(kg=kg) if kg > box_l:
            said = f"you let out {volume(kg, units)}, but the box holds only {box}"
        case Harvest(castings_kg=kg) if kg > DENSEST_CASTINGS_KG_M3 / 1000.0 * box_l:
            said = f"{mass(kg, units)} of castings is more than a box of {box} holds"
        case Stocking(worms_kg=kg) | Move(worms_kg=kg) if abs(kg) > MOST_WORMS_KG_M2 * one.footprint_m2 * storeys:
            said = f"{mass(abs(kg), units)} of worms is too much for this box"
        case Feeding(portions=portions) | Bedding(portions=portions) if (
            kg := sum(portion.kg for portion in portions)
        ) > LOOSE_KG_L * box_l:
            said = f"{mass(kg, units)} is more than a box of {box} holds"
        case Feeding(portions=portions) if sum(each.kg for each in portions) > HEAP_KG_M2 * one.footprint_m2:
            said = f"{mass(sum(each.kg for each in portions), units)} at once is more than this box takes in two weeks"
        case _:
            return ""
    return said


def not_meant(farm: Session, one: Bin, what: Bedding | Feeding) -> tuple[str, ...]:
    """In words: what goes in beside what the bin keeps to, and which load it may be of that turned out bad."""
    own = one.beddings if isinstance(what, Bedding) else one.feeds
    given = {each.material for each in what.portions}
    others = sorted(given - set(own)) if own else []
    said = [f"{one.name} keeps to {', '.join(own)}; this is {', '.join(others)}"] if others else []
    if any(isinstance(line.what, Bad) for line in farm.store.lot_lines()):
        bad = (each for each in farm.cache.larder().loads if each.bad is not None and each.kg)
        said += [
            f"load {each.name} turned out bad: {each.bad or 'nobody said how'}"
            for each in bad
            if each.material in given
        ]
    return tuple(said)
