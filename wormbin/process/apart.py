"""Two bins held against each other course by course: what the model has wrong for both falls out of the difference."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from wormbin.process import flows
from wormbin.process.ensemble import COURSES, DESIGN
from wormbin.process.look import Look, Seen
from wormbin.process.pools import Array

IN_COMMON: Final = (flows.HALF, flows.YIELDS, flows.HOLDING, flows.GROWTH, flows.AMOUNTS, flows.HARMS)
"""What two bins of one keeper have in common: the worms, the food, the scale (ours). How fast each works and dries, its
fibre and its microbes are its own, and so is all that was seen of it."""


def courses(looks: Sequence[Look], figure: str) -> Array:
    """A figure of ``Day`` on the last day by every course, ``(COURSES,)``; of what is worked off, kg, of all days."""
    if figure == "processed_kg_day":
        return np.asarray(Seen(looks).processed().sum(axis=(0, 1)))
    seen = Seen(looks[-1:])
    dry, water, castings, worms = (
        each.sum(axis=0)[0] for each in (seen.dry, seen.water, seen.castings, seen.worms)
    )  # fmt: skip
    weights = seen.dry[:, 0] + 1e-9
    figures = {
        "moisture": water / (dry + water + 1e-300),
        "castings_share": castings / (dry + 1e-300),
        "worms_kg": worms,
        "total_kg": dry + water + worms,
        "contents_m": seen.depth.sum(axis=0)[0] / (len(seen.depth) if looks[-1].housing.sideways else 1),
        "temp_c": (seen.rise[:, 0] * weights).sum(axis=0) / weights.sum(axis=0),
    }
    return np.asarray(figures[figure])


def covariance(mine: Array, theirs: Array) -> float:
    """How far two bins' courses go together through what they have in common, in the figure's unit squared.

    Every cause has its column of the design in both bins, so that each effect is a mean over the companions.
    """
    one, other = (DESIGN[list(IN_COMMON), 1:] @ each[1:] / (COURSES - 1) for each in (mine, theirs))
    return float(one @ other)
