"""What is done about a bed that is too sour or too alkaline, and the most that a bin takes of sour feed."""

from __future__ import annotations

from wormbin.advice import limits
from wormbin.advice.action import Action, Doing
from wormbin.advice.case import Case
from wormbin.advice.rations import hold
from wormbin.advice.wording import scooped
from wormbin.figures import Level

LEAVES_KG_M2 = 0.5
"""Moist leaves mixed in (ours)."""
WAIT_DAYS = 4


def lime(case: Case) -> tuple[Action, ...]:
    """Ground eggshell or calcium carbonate, a light dusting, with its caution."""
    kg = limits.LIME_KG_M2 * case.bin.footprint_m2
    words = f"dust with {scooped(kg, case.settings.units)} of crushed eggshell or calcium carbonate"
    return (Action(Doing.LIME, words, kg), Action(Doing.CAUTION, limits.LIME_CAUTION))


def sour_steps(case: Case, level: Level, ph: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bed that is too sour."""
    stop = (
        (hold(case, WAIT_DAYS - age),)
        if level is Level.ACT
        else (Action(Doing.THEN, "no fruit, citrus or bread for now"),)
    )
    return (*lime(case), Action(Doing.FLUFF, "lift and fluff", 0.05), *stop)


def alkaline_steps(case: Case, level: Level, ph: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bed that is too alkaline."""
    kg = LEAVES_KG_M2 * case.bin.footprint_m2
    stop = (hold(case, WAIT_DAYS - age),) if level is Level.ACT else ()
    return (
        Action(Doing.BEDDING, f"mix in {scooped(kg, case.settings.units)} of moist leaves", kg),
        Action(Doing.THEN, "no manure and no lime until it is back"),
        Action(Doing.FLUFF, "lift and fluff", 0.05),
        *stop,
    )
