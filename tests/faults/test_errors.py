"""Fail the N-th step of every act, for N = 1, 2, 3 … until it passes: nothing half done, and it works again after."""

from __future__ import annotations

from collections import Counter
from errno import EACCES, EIO, ENOSPC

import pytest

from tests.faults.disks import CHANGING, FailAt, WatchedDisk
from tests.faults.scenes import SCENES, Scene, opened, prepared, state
from wormbin.store import Store, StoreError


def _numbers(long: bool, scene: Scene) -> tuple[int, ...]:
    return (ENOSPC, EIO, EACCES) if long else ((ENOSPC, EIO, EACCES)[len(scene.name) % 3],)


def _told(scene: Scene, store: Store) -> StoreError | None:
    try:
        scene.act(store)
    except StoreError as error:
        return error
    return None


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_an_error_at_any_step_changes_nothing_or_everything(scene: Scene, long: bool, tally: Counter[str]) -> None:
    disk, before, after = prepared(scene)
    counts: Counter[str] = Counter()
    failed: Counter[str] = Counter()
    for number in _numbers(long, scene):
        for for_ever in (False, True):
            at = 0
            while True:
                at += 1 if long else 5 if for_ever else 2
                fault = FailAt(at, number, for_ever, on=False)
                trial = disk.copy()
                store = opened(WatchedDisk(trial, fault))
                state(store)
                fault.on = True
                told = _told(scene, store)
                fault.on = False
                if not fault.failed:
                    break
                assert told is None or (told.path and told.do)
                failed.update(fault.failed)
                counts["injected"] += 1
                found = state(opened(trial.copy()))
                if told is None:
                    assert found == after, f"acknowledged and lost at step {at}, {fault.failed}"
                    counts["passed all the same"] += 1
                elif for_ever:
                    assert found in (before, after), f"half done at step {at}, {fault.failed}"
                    counts["told"] += 1
                else:
                    assert found == before, f"told of an error and done at step {at}, {fault.failed}"
                    counts["told"] += 1
                assert state(store) == found, "memory and disk differ"
                if found == before:
                    scene.act(store)
                    assert state(store) == after
                    assert state(opened(trial.copy())) == after
                assert at % 5 or opened(trial.copy()).check().sound
    assert counts["injected"] >= 20
    assert counts["told"] >= 10
    tally["errors injected"] += counts["injected"]
    for name in sorted(failed.keys() & CHANGING):
        tally[f"in {name}"] += failed[name]
    tally["told to the keeper"] += counts["told"]
    tally["done all the same"] += counts["passed all the same"]


def test_a_save_that_the_disk_did_not_confirm_says_that_it_may_be_saved() -> None:
    disk, _before, after = prepared(SCENES[0])
    fault = FailAt(1, EIO, only=frozenset({"sync_folder"}), on=False)
    store = opened(WatchedDisk(disk, fault))
    state(store)
    fault.on = True
    with pytest.raises(StoreError, match="did not confirm the save") as told:
        SCENES[0].act(store)
    assert "before you do it again" in told.value.do
    SCENES[0].act(store)
    assert state(opened(disk)) == after, "and done again it is one line, by its id"
