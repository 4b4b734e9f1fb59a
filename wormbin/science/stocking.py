"""How much surface, how many worms and how much feed go together, by the rules that extension services print."""

from __future__ import annotations

START_KG_M2 = 1.6
"""Live worms to begin with: gave the best castings (Ndegwa, Thompson & Das 2000); up to 2.5 is common practice."""
PLAN_AT_MOST_KG_M2 = 5.0
"""More worms than this are not planned for: one pound to the square foot, crowded [common practice, no source]."""
USUAL_FEED_KG_KG_DAY = 0.5
"""The extension rule of thumb is half to one body weight of feed a day. 0.5 is 1 lb worms to 3.5 lb scraps a week (NYC
Compost Project 2012); 0.75 gave the best castings (Ndegwa, Thompson & Das 2000)."""


def first_worms_kg(area_m2: float) -> float:
    """Live kg of worms to begin with on a surface."""
    return START_KG_M2 * area_m2


def most_worms_kg(area_m2: float) -> float:
    """Live kg of worms above which a surface is not to be planned."""
    return PLAN_AT_MOST_KG_M2 * area_m2


def feed_kg_day(worms_kg: float, rule_kg_kg_day: float = USUAL_FEED_KG_KG_DAY) -> float:
    """Feed, kg a day, by the rule of thumb: a share of the worms' own weight. The bin's own log knows better."""
    return worms_kg * rule_kg_kg_day
