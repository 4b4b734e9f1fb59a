"""The five steps for worms that are dying or leaving, for any bin, whether or not a check has said so yet."""

from __future__ import annotations

from dataclasses import replace

from wormbin.advice.rules.signs import emergency
from wormbin.farm.scenes import Scene
from wormbin.records.entries import Check, Entry

ANY_BIN = (
    "1 lid off, under a light, out of sun and frost: light keeps worms down",
    "2 stop feeding, and take out feed that is hot, sour or rotten",
    "3 lift and fluff to the bottom, and let standing water out",
    "4 make a refuge: fresh bedding, wrung-sponge damp, on one side; put the liveliest worms there",
    "5 measure: temperature, squeeze, smell, pH; write a check, and set right what is out of its band",
)


def five_steps(scene: Scene | None) -> tuple[str, ...]:
    """The steps, with the amounts for this bin where there is one."""
    if scene is None:
        return ANY_BIN
    seen = Entry("emergency0", scene.bin.key, scene.now, Check(seen=("worms dying",)))
    found = emergency(replace(scene.case, entries=(*scene.entries, seen)))
    return found.do if found is not None else ANY_BIN
