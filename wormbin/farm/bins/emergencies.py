"""The five steps for worms that are dying or leaving, for any bin, whether or not a check has said so yet."""

from __future__ import annotations

from dataclasses import replace

from wormbin.advice.rules import signs
from wormbin.farm.bins.scene import Scene
from wormbin.measures import told
from wormbin.records.entries import Check, Entry


def five_steps(scene: Scene | None) -> tuple[str, ...]:
    """The steps, with the amounts for this bin where there is one."""
    if scene is None:
        return signs.five_steps()
    seen = Entry("emergency0", scene.bin.key, scene.now, Check(seen=("worms dying",)))
    found = signs.emergency(replace(scene.case, entries=(*scene.entries, seen)))
    steps = found.do if found is not None else signs.five_steps()
    return tuple(told(step, scene.settings.units) for step in steps)
