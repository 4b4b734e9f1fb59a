"""The figures of air opened: pores, how deep air reaches through them, and how much of the depth that is."""

from __future__ import annotations

from functools import cached_property

from wormbin.advice import limits
from wormbin.advice.rules.air import share_told
from wormbin.farm.bins.opening import FILLED, Opening, book, made, model, opens
from wormbin.figures import LEFT_BY_ROUNDING, Band, Quantity, Working
from wormbin.process.inside import Inside
from wormbin.science.air import (
    AIR_SOURCE,
    COMPOST_PARTICLES,
    OXYGEN_DIFFUSIVITY_M2_S,
    OXYGEN_IN_AIR_KG_M3,
    OXYGEN_PER_BURNED,
)
from wormbin.science.constants import SECONDS_A_DAY

AIR_DAYS = 180
"""Days that tell whether the bin is under a warning still."""
NO_END_M = 50
"""Stands for a reach without end."""
HEIGHT = ("contents_m", "total_kg")


class AirOpening(Opening):
    """Figures of the compartment in which air is shortest."""

    @property
    def _worst(self) -> Inside:
        return self.bed.parts[self.bed.worst]

    @cached_property
    def _room(self) -> Quantity:
        deep = model("depth", self._worst.depth_m, "m", "how deep it lies")
        source, plain = "by definition; 1000 L are 1 m3", "As a box: how deep it lies, times the surface."
        room = made("Room that the contents take", "L", "1000 * depth * surface", (deep, self.surface), source, plain)
        return opens("room", room)

    @cached_property
    def free_air(self) -> Working:
        """Pores."""
        inputs = (*self.solids(self._worst), self._room)
        of = made("", "fraction", f"1 - ({FILLED}) / room", inputs, COMPOST_PARTICLES.source)
        plain = "The part of the room that neither solids nor water fill."
        return self.figure("Free air space", self.today.free_air_space, of, plain, HEIGHT)

    @cached_property
    def air_reach(self) -> Working:
        """How deep oxygen gets against what burns."""
        burning = model("burning", self._worst.needs_kg_day, "kg a day", "dry matter that burns", "with air enough")
        needs = book("needs", OXYGEN_PER_BURNED, "kg", "oxygen needed", "for each kg that burns", AIR_SOURCE)
        used = made(
            "Oxygen used up in a day", "g a day", "1000 * needs * burning", (needs, burning), AIR_SOURCE,
            "What worms and microbes breathe. 1000 g are 1 kg.",
        )  # fmt: skip
        speed = book("speed", OXYGEN_DIFFUSIVITY_M2_S * 1e4, "cm2 a second", "spread", "in free air", AIR_SOURCE)
        seconds = book("seconds", SECONDS_A_DAY, "s", "seconds in a day", "", "by definition")
        spread = made(
            "How fast oxygen spreads", "m2 a day", "speed * seconds / 10000", (speed, seconds), AIR_SOURCE,
            "Oxygen drifts through still air. 10000 cm2 are 1 m2.",
        )  # fmt: skip
        inputs: tuple[Quantity, ...] = (
            opens("spread", spread, "spread of oxygen"), opens("pores", self.free_air, "free air space"),
            book("oxygen", 1000 * OXYGEN_IN_AIR_KG_M3, "g a m3", "oxygen in air", "", AIR_SOURCE), self._room,
            opens("used", used, "oxygen used up"),
        )  # fmt: skip
        formula = f"min({NO_END_M}, sqrt(2 * spread * pores * pores * oxygen * room / 1000 / used))"
        if burning.value <= LEFT_BY_ROUNDING:
            formula, inputs = str(NO_END_M), ()
        plain = f"How deep air gets from the top before it is used up. {NO_END_M} m stands for no end."
        of = made("", "m", formula, inputs, AIR_SOURCE)
        return self.figure("Air reach", self.today.air_reach_m, of, plain, HEIGHT)

    @cached_property
    def air(self) -> Working:
        """The share of the depth that the gauge shows, and so what the bin is judged by."""
        limit, _, share = share_told(self.scene.past.days[-AIR_DAYS:], self.scene.bin.footprint_m2)
        deep = max(self.today.contents_m.p50, 1e-6)
        inputs = [opens("reach", self.air_reach), opens("depth", self.depth)]
        formula, source = "min(1, reach / depth)" if self.depth.value > 1e-6 else "1", AIR_SOURCE
        if limit is limits.AIR_CAREFUL:
            formula, source = "min(1, reach / depth * clear)", limit.source
            inputs.append(opens("clear", self._clear(limit.source), "part of its way that is clear"))
        share = share or self.today.air_reach_m.times(1.0 / deep)
        band = Band(*(min(1.0, each) for each in (share.p10, share.p50, share.p90)))
        of = made("", "fraction", formula, inputs if formula != "1" else (), source)
        plain = "Air seeps in from the top and is used on the way. 100 % is air to the floor of the bin."
        return self.figure("Air to depth", band, of, plain, HEIGHT)

    def _clear(self, source: str) -> Working:
        """How much of its way water leaves to air (Papendick & Campbell 1981)."""
        pores = opens("pores", self.free_air, "free air space")
        filled = made(
            "The part of the room that water fills", "fraction", "total * moisture / (1000 * surface * depth)",
            (opens("total", self.total, "mass of the contents"), opens("moisture", self.moisture), self.surface,
             opens("depth", self.depth)),
            "by definition; 1000 kg of water are 1 m3", "Water in the pores keeps air out.",
        )  # fmt: skip
        formula, inputs = "min(1, pores ** (2 / 3) / min(1, pores + filled))", [pores, opens("filled", filled)]
        if pores.value + filled.value <= LEFT_BY_ROUNDING:
            formula, inputs = "1", []
        plain = "In a wet bed the pores are cut off from each other."
        return made("How much of its way water leaves to air", "fraction", formula, inputs, source, plain)
