"""A terminal that goes away, by whatever way, with a form half filled: it is offered again at the next start."""

from __future__ import annotations

import os
import signal
import sys
from collections import Counter
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm import drafts
from wormbin.farm.backups import care

if sys.platform == "win32":
    pytest.skip("needs a pseudo-terminal", allow_module_level=True)

from tests.faults.terminals import Terminal
from wormbin.records.entries import Check, Squeeze

KEYS = {"ctrl-c": "\x03", "ctrl-backslash": "\x1c"}
FILLED = {"squeeze": "sponge", "left": "20%"}


HOWS = ("closed", "SIGHUP", "SIGTERM", "SIGINT", "SIGQUIT", "ctrl-c", "ctrl-backslash")
QUICK = ("SIGHUP", "ctrl-c")
"""Each starts the program twice; the other ways go by the same handlers, with ``--more``."""


@pytest.mark.parametrize("how", [how if how in QUICK else pytest.param(how, marks=pytest.mark.more) for how in HOWS])
def test_a_half_filled_form_outlives_its_terminal_and_is_offered_at_the_next_start(
    tmp_path: Path, how: str, tally: Counter[str]
) -> None:
    store = tmp_path / "store"
    before = kitchen(store, days=8).entries("kitchen")
    first = Terminal(store)
    first.waits_for("Kitchen")
    first.presses("c")
    first.waits_for("squeeze a handful")
    first.presses("3")
    first.waits_for("> left of last feed")
    first.presses("2")
    first.waits_for("[2 20]")
    if how == "closed":
        first.close()
    elif how in KEYS:
        first.presses(KEYS[how])
    else:
        os.kill(first.pid, getattr(signal, how))
    first.ended()
    farm = open_farm(store)
    assert drafts.read(farm, "check-kitchen") == FILLED
    assert farm.entries("kitchen") == before, "nothing half filled is saved"
    assert care(farm).check().sound
    second = Terminal(store)
    second.waits_for("half-filled")
    second.presses("c")
    second.waits_for("Half filled before")
    second.presses("\r")
    second.waits_for("written down")
    second.presses("\x11")
    assert second.ended() == 0
    (line,) = [entry for entry in open_farm(store).entries("kitchen") if entry not in before]
    assert line.what == Check(squeeze=Squeeze.SPONGE, left=0.2)
    assert drafts.names(open_farm(store)) == ()
    tally["terminals lost with a form half filled"] += 1


@pytest.mark.long
def test_ctrl_z_puts_the_program_to_sleep_and_it_wakes_with_its_form(tmp_path: Path) -> None:
    store = tmp_path / "store"
    kitchen(store, days=3)
    program = Terminal(store)
    program.waits_for("Kitchen")
    program.presses("c")
    program.waits_for("squeeze a handful")
    program.presses("3")
    program.waits_for("> left of last feed")
    program.presses("\x1a")
    _, status = os.waitpid(program.pid, os.WUNTRACED)
    assert os.WIFSTOPPED(status)
    program.forgets()  # a key that comes before it reads keys again is the shell's, not the program's
    os.kill(program.pid, signal.SIGCONT)
    program.waits_for("left of last feed")
    program.presses("\x11")
    assert program.ended() == 0
    assert drafts.read(open_farm(store), "check-kitchen") == {"squeeze": "sponge"}
