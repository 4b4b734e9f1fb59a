"""Kill a program under write load, inside each step of a save: all acknowledged lines are there, all files whole."""

from __future__ import annotations

import os
import signal
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.faults.disks import KillAt, WatchedDisk
from tests.store.lines import AT, move, note
from wormbin.records.entries import standing
from wormbin.store import Store
from wormbin.store.disk import Disk

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs fork and SIGKILL")

KILLS, MORE = 80, {"--long": 2000, "--more": 200}
SAVES_A_KILL = 2


def acts(store: Store, life: int) -> Iterator[str]:
    """Save after save; each name is given out once the store has acknowledged it."""
    for turn in range(40):
        name = f"l{life}t{turn}"
        store.record([note(name)])
        yield name
        store.record(move(f"{name}m"))
        yield f"{name}m"
        store.record([note(f"{name}x", when=AT.replace(year=2020 + turn % 6)), note(f"{name}y", bin_key="attic")])
        yield f"{name}x"
        store.strike(name, "mistyped", "", AT)
        yield f"-{name}"


def live_and_die(root: Path, life: int, at: int, pipe: int) -> None:
    disk = WatchedDisk(Disk(), KillAt(at, pipe))
    store = Store.open(root, disk=disk, clock=lambda: datetime(2026, 3, 3 + life % 20, tzinfo=UTC))
    for name in acts(store, life):
        os.write(pipe, f"saved {name}\n".encode())


def one_life(root: Path, life: int, at: int) -> tuple[list[str], str]:
    """What a child acknowledged before it was killed, and the step in which it was."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            live_and_die(root, life, at, theirs)
        finally:
            os._exit(1)
    os.close(theirs)
    with os.fdopen(ours) as pipe:
        words = [line.split() for line in pipe.read().splitlines()]
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), f"life {life} was not killed: {words[-3:]}"
    assert os.WTERMSIG(status) == signal.SIGKILL
    steps = [word for kind, word in words if kind == "killed"]
    return [word for kind, word in words if kind == "saved"], steps[-1]


def test_every_acknowledged_line_survives_being_killed(
    tmp_path: Path, pytestconfig: pytest.Config, say: Callable[[str], None]
) -> None:
    steps: Counter[str] = Counter()
    saved: set[str] = set()
    struck: set[str] = set()
    kills = next((times for name, times in MORE.items() if pytestconfig.getoption(name)), KILLS)
    for life in range(kills):
        acknowledged, step = one_life(tmp_path / "s", life, 20 + (life * 37) % 160)
        steps[step] += 1
        struck |= {name[1:] for name in acknowledged if name.startswith("-")}
        saved |= {name for name in acknowledged if not name.startswith("-")}
        if life % 10 and life != kills - 1:
            continue
        store = Store.open(tmp_path / "s")
        kitchen, attic = store.entries("kitchen"), store.entries("attic")
        there = {line.id: line for line in kitchen}
        assert not saved - there.keys(), "acknowledged and lost"
        assert all(there[name].struck for name in struck)
        # Both books of a change, or none of them.
        moved, came = {line for line in there if line[-1] == "m"}, {line.id for line in attic if line.id[-1] == "~"}
        assert {f"{line}~" for line in moved} == came
        pairs, others = {line for line in there if line[-1] == "x"}, {line.id for line in attic if line.id[-1] == "y"}
        assert {f"{line[:-1]}y" for line in pairs} == others
        assert len(standing(kitchen)) == len(kitchen) - sum(line.struck is not None for line in kitchen)
        assert not list((tmp_path / "s").rglob("*.part")), "a half-written file was not swept"
        assert store.check().sound
    assert len(saved) >= SAVES_A_KILL * kills
    for step in ("create", "write", "sync", "close", "link", "replace", "sync_folder", "unlink"):
        assert steps[step] >= 3, f"no kill landed in {step}"
    landed = ", ".join(f"{step} {count}" for step, count in sorted(steps.items()))
    say(f"{kills} kills survived, inside {landed}")
    say(f"{len(saved) + len(struck)} saves acknowledged; lost 0, silently wrong 0")
