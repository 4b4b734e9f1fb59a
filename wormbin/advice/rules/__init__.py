"""All rules in one place: each a pure function from a case to a finding or nothing."""

from __future__ import annotations

from collections.abc import Callable

from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.rations import Ration
from wormbin.advice.rules import air, feeding, feedstock, harvest, moisture, readings, signs, silence, warmth, worms

Rule = Callable[[Case], Finding | None]
FedRule = Callable[[Case, Ration], Finding | None]

RULES: tuple[Rule, ...] = (
    signs.emergency,
    signs.seen_and_smelt,
    feeding.overfed,
    feeding.left_waits,
    feeding.thick_layer,
    feedstock.nitrogen_rich,
    feedstock.sour,
    feedstock.kept_out,
    feeding.new_bin,
    feeding.back,
    air.air_short,
    air.dense_castings,
    moisture.too_wet,
    moisture.standing_water,
    moisture.too_dry,
    moisture.beside_the_aim,
    moisture.no_bedding,
    moisture.wet_ahead,
    warmth.too_hot,
    warmth.too_cold,
    warmth.heat_to_come,
    worms.none_yet,
    worms.too_few,
    worms.too_crowded,
    worms.falling,
    harvest.harvest,
    harvest.full,
    readings.old_readings,
    readings.questioned,
    readings.ask_reading,
)

FED_RULES: tuple[FedRule, ...] = (feeding.hungry, feeding.over_fed)
"""Those that hold the bin against what it may be fed, which comes of the others."""

EMPTY_RULES: tuple[Rule, ...] = (signs.emergency, signs.seen_and_smelt, silence.nothing_in)
"""Those of a bin in which nothing is by the log; the others judge what is not there."""
