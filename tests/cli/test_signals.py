"""Ctrl-C, a closed terminal and a shutting-down machine, at any step of a command: the store is whole afterwards."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.cli.running import Words
from tests.farm.a_farm import NOW, kitchen, open_farm
from tests.faults.disks import CHANGING, WatchedDisk
from wormbin.cli import output
from wormbin.cli.program import main
from wormbin.farm import starts
from wormbin.farm.backups import care
from wormbin.farm.views.proposals import BinDraft
from wormbin.store import Store, writing
from wormbin.store.disk import Disk

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs fork and signals")
ROOT = Path(__file__).resolve().parents[2]
SHUT = (signal.SIGTERM, signal.SIGHUP)


@dataclass
class SignalAt:
    """Send this process a signal in its N-th step on the disk that changes something."""

    at: int
    number: int
    steps: int = 0

    def __call__(self, step: str) -> None:
        if step in CHANGING:
            self.steps += 1
            if self.steps == self.at:
                os.kill(os.getpid(), self.number)


def interrupted(store: Path, words: tuple[str, ...], at: int, number: int) -> tuple[int, str, str]:
    """A command in a process of its own, sent a signal in step ``at``: its wait status, and what it said."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        code = 99
        try:
            signal.signal(signal.SIGINT, signal.default_int_handler)
            watch = SignalAt(at, number)
            vars(writing)["Disk"] = lambda: WatchedDisk(Disk(), watch)
            sys.stdout, sys.stderr = Words(), io.StringIO()
            code = main(("--store", str(store), *words), clock=lambda: NOW)
            os.write(theirs, f"{sys.stdout.getvalue()}\x1f{sys.stderr.getvalue()}\x1f{watch.steps}".encode())
        finally:
            os._exit(code)
    os.close(theirs)
    with os.fdopen(ours) as pipe:
        said = pipe.read()
    return os.waitpid(child, 0)[1], said, said.rpartition("\x1f")[2]


@pytest.fixture
def two_bins(tmp_path: Path) -> Path:
    farm = kitchen(tmp_path / "store", days=8)
    starts.start(
        farm, BinDraft(key="attic", length="60 cm", width="40 cm", depth="30 cm", worms="300 g", started="2026-05-30")
    )
    care(farm).backup()
    return tmp_path / "store"


def halves(store: Path) -> tuple[int, int]:
    farm = open_farm(store)
    return tuple(sum(entry.kind == "move" for entry in farm.entries(key)) for key in ("kitchen", "attic"))  # type: ignore[return-value]


def test_a_signal_in_any_step_of_a_command_leaves_the_store_whole(
    two_bins: Path, long: bool, say: Callable[[str], None]
) -> None:
    words = ("move", "kitchen", "attic", "50 g", "--yes")
    interrupted(two_bins, words, 0, signal.SIGINT)  # the first of a day also begins the slips
    count = int(interrupted(two_bins, words, 0, signal.SIGINT)[2])
    assert count >= 20
    moved, sent, done = 2, 0, 0
    for number in (signal.SIGINT, *SHUT):
        for at in range(1, count + 1, 1 if long or number == signal.SIGINT else 4):
            status, said, _ = interrupted(two_bins, words, at, number)
            sent += 1
            if number == signal.SIGINT:
                assert os.waitstatus_to_exitcode(status) == output.Exit.INTERRUPTED, f"step {at}: {said}"
                assert "stopped" in said
            else:
                assert os.waitstatus_to_exitcode(status) == -number
            went, came = halves(two_bins)
            assert went == came, f"half a move after {signal.Signals(number).name} in step {at}"
            assert went in (moved, moved + 1)
            done += went - moved
            moved = went
            assert Store.open(two_bins).check().sound
            assert not list(two_bins.rglob("*.part"))
    assert 0 < done < sent, "some were cut before they counted, and some after"
    say(f"{sent} signals in {count} steps of a move: {done} done all the same, {sent - done} not done, 0 half done")


@pytest.mark.parametrize("module", ["argparse", "wormbin.cli.grammar", "wormbin.farm.session", "wormbin.store.store"])
def test_ctrl_c_while_the_program_is_still_being_loaded_is_130_without_a_traceback(two_bins: Path, module: str) -> None:
    code = f"""
import os, signal, sys
class Stop:
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            sys.meta_path.remove(self)
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, Stop())
from wormbin.__main__ import main
sys.exit(main(["note", "kitchen", "x"]))
"""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(two_bins)}
    ran = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, timeout=60, check=False)
    assert ran.returncode == 130
    assert "Traceback" not in ran.stderr
    assert ran.stdout == ""
