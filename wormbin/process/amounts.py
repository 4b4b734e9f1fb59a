"""What is made of an amount said: how unsure it is, and of what when nobody knows its material any more."""

from __future__ import annotations

from math import log

from wormbin.materials.material import Material, Pace, Role
from wormbin.materials.table import pieces
from wormbin.measures.units import HANDY
from wormbin.problems import RefusedError
from wormbin.process.pools import Materials
from wormbin.records.entries import Portion
from wormbin.science.constants import TENTH_SD

AMOUNTS_SD = 0.10
"""How unsure an amount is that was weighed or measured out, standard deviation of its natural log (ours)."""
HANDY_SD = 0.25
"""The same of handfuls, pieces and the like, whose size the keeper has said (ours)."""

ABOUT = "about "
"""What is said of an amount begins so when it was worked out: as unsure as a handful."""


def times_as_unsure(portion: Portion) -> float:
    """How many times less sure the amount is than one that was weighed; 1 for what was weighed or measured out."""
    if portion.said.startswith(ABOUT):
        return HANDY_SD / AMOUNTS_SD
    number, _, word = portion.said.rpartition(" ")
    measure = next((each for each in (word, word.removesuffix("s"), word.removesuffix("es")) if each in HANDY), "")
    if not measure:
        return 1.0
    piece = pieces().get((measure, portion.material))
    try:
        if piece is not None and piece.is_ours(portion.kg, float(number)):
            return max(1.0, log(piece.high / piece.low) / (2.0 * TENTH_SD) / AMOUNTS_SD)
    except ValueError:
        pass  # "half a"
    return HANDY_SD / AMOUNTS_SD


MIXED_SCRAPS = Material("mixed-scraps", "Mixed scraps", Role.FEED, Pace.QUICK, 0.024, 0.46, 0.08, 0.85)
PLAIN_BEDDING = Material("plain-bedding", "Plain bedding", Role.BEDDING, Pace.FIBRE, 0.003, 0.46, 0.06, 0.10)


def material_of(table: Materials, key: str, *, feed: bool) -> Material:
    """The material with this key; when it has gone from the table (an own material taken off), a plain stand-in."""
    try:
        found = table.get(key)
    except (RefusedError, KeyError):
        found = None
    if found is not None:
        return found
    return MIXED_SCRAPS if feed else PLAIN_BEDDING
