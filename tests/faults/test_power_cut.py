"""Cut the power at every step of every act, with writes that were not synced held back, dropped or out of order."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from tests.faults.disks import CrashAt, CrashError, MemoryDisk, WatchedDisk
from tests.faults.scenes import ROOT, SCENES, Scene, begin, opened, prepared, state
from wormbin.store.backup import KEPT_NEWEST

FASHIONS = 2


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_the_power_may_go_at_any_step(scene: Scene, long: bool, tally: Counter[str]) -> None:
    disk, before, after = prepared(scene)
    dice = random.Random(scene.name)
    cuts = done = 0
    at = 0
    while True:
        at += 1
        crash = CrashAt(at)
        trial = disk.copy()
        store = opened(WatchedDisk(trial, crash))
        acknowledged = True
        try:
            scene.act(store)
        except CrashError:
            acknowledged = False
        for _ in range(FASHIONS * 20 if long else FASHIONS):
            cuts += 1
            left = trial.after_crash(dice)
            found = state(opened(left))
            if acknowledged:
                assert found == after, "acknowledged, and lost with the power"
            else:
                assert found in (before, after), f"half done after a cut at step {at} ({crash.where})"
            done += found == after
            assert not [name for name in left.files() if name.endswith(".part") and "/backups/" not in name]
            if found == before:
                scene.act(opened(left))
                assert state(opened(left)) == after
        if acknowledged:
            break
    assert cuts >= 6 * FASHIONS  # a save has at least six steps at which the power can go
    tally["power cuts"] += cuts
    tally["steps cut at"] += at
    tally["found done"] += done
    tally["found undone"] += cuts - done


def test_a_backup_is_whole_or_gone_when_the_power_goes_while_old_ones_are_thinned_out(
    long: bool, tally: Counter[str]
) -> None:
    disk = MemoryDisk(ROOT.parent)
    begin(opened(disk))
    while len(opened(disk).backups()) < KEPT_NEWEST:
        opened(disk).backup()
    now = state(opened(disk))
    dice = random.Random(3)
    at, made = 0, False
    while not made:
        at += 1
        trial = disk.copy()
        store = opened(WatchedDisk(trial, CrashAt(at)))
        try:
            made = store.backup() is not None
        except CrashError:
            made = False
        for _ in range(FASHIONS * 20 if long else FASHIONS):
            left = opened(trial.after_crash(dice))
            assert not left.check().flaws, f"a hollow backup after a cut at step {at}"
            assert state(left) == now
            tally["power cuts"] += 1
    assert len(opened(trial).backups()) == KEPT_NEWEST, "nothing was thinned out"
    tally["steps cut at"] += at
