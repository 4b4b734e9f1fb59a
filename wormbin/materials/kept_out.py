"""What does not belong in a worm bin, by what it does there: what to do once it is in all the same, and who says so."""

from __future__ import annotations

from dataclasses import dataclass

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
