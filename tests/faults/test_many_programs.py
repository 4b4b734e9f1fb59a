"""Two to four programs at once on one store: every line of each is there, and nobody waits for the dead."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from tests.faults.children import fork
from tests.store.lines import AT, move, note
from wormbin.store import BusyError, Store
from wormbin.store.disk import Disk, held
from wormbin.store.reading import LOCK

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs fork")


@pytest.mark.parametrize("writers", [2, 4])
def test_every_line_of_every_program_is_there(tmp_path: Path, writers: int, long: bool, tally: Counter[str]) -> None:
    lines = 200 if long else 40

    def write(writer: int) -> str:
        store = Store.open(tmp_path)
        for number in range(lines):
            name = f"w{writer}n{number}"
            store.record([note(name)])
            if number % 5 == 0:
                store.record(move(f"{name}m"))
            if number % 7 == 0:
                store.strike(name, "mistyped", "", AT)
            if number % 10 == 0:
                store.change_farm(lambda farm, name=name: replace(farm, keepers=(*farm.keepers, name)))  # type: ignore[misc]
        return "done"

    children = [fork(lambda writer=writer: write(writer)) for writer in range(writers)]  # type: ignore[misc]
    assert [child.answer() for child in children] == ["done"] * writers
    store = Store.open(tmp_path)
    there = {line.id: line for line in store.entries("kitchen")}
    wanted = {f"w{writer}n{number}" for writer in range(writers) for number in range(lines)}
    assert wanted <= there.keys()
    assert all((there[name].struck is not None) == (int(name.split("n")[1]) % 7 == 0) for name in wanted)
    assert len(store.entries("attic")) == writers * len(range(0, lines, 5))
    assert len(store.farm().keepers) == writers * len(range(0, lines, 10))
    assert store.check().sound
    tally["concurrent writers"] += writers
    tally["lines written at once"] += len(wanted)


def test_a_reader_never_sees_a_line_vanish_while_another_writes(tmp_path: Path, tally: Counter[str]) -> None:
    def write() -> str:
        store = Store.open(tmp_path)
        for number in range(300):
            store.record([note(f"n{number}")])
        return "done"

    Store.open(tmp_path).record([note("first")])
    child = fork(write)
    store = Store.open(tmp_path)
    seen = looks = 0
    while seen < 301:
        now = len(store.entries("kitchen"))
        assert now >= seen, "a line that was there has gone"
        seen, looks = now, looks + 1
        if os.waitpid(child.process, os.WNOHANG)[0]:
            break
    assert len(store.entries("kitchen")) == 301
    os.close(child.pipe)
    tally["looks while another wrote"] += looks


def test_a_killed_holder_of_the_lock_lets_the_next_one_in(tmp_path: Path, tally: Counter[str]) -> None:
    Store.open(tmp_path).record([note("a")])
    ready, tell = os.pipe()

    def hold() -> str:
        with held(Disk(), tmp_path / LOCK):
            os.write(tell, b"held")
            signal.pause()
        return "never"

    child = fork(hold)
    assert os.read(ready, 4) == b"held"
    with pytest.raises(BusyError, match="another program has been writing here"), held(Disk(), tmp_path / LOCK, 0.05):
        pass
    assert len(Store.open(tmp_path).entries("kitchen")) == 1, "reading must not wait for a writer"
    os.kill(child.process, signal.SIGKILL)
    child.answer()
    Store.open(tmp_path).record([note("b")])
    assert len(Store.open(tmp_path).entries("kitchen")) == 2
    tally["killed holders of the lock"] += 1


def test_threads_of_one_program_do_not_lose_lines_to_each_other(tmp_path: Path) -> None:
    store = Store.open(tmp_path)

    def write(writer: int) -> None:
        for number in range(25):
            store.record([note(f"t{writer}n{number}")])

    threads = [threading.Thread(target=write, args=(writer,)) for writer in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(Store.open(tmp_path).entries("kitchen")) == 100


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_leaves_the_store_whole(tmp_path: Path, number: signal.Signals, tally: Counter[str]) -> None:
    ready, tell = os.pipe()

    def write() -> str:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        store = Store.open(tmp_path)
        turn = 0
        while True:
            store.record([note(f"n{turn}"), note(f"x{turn}", bin_key="attic")][: 1 + turn % 2])
            turn += 1
            os.write(tell, b".")

    child = fork(write)
    os.close(tell)
    for _ in range(15):
        assert os.read(ready, 1) == b"."
    os.kill(child.process, number)
    child.answer()
    store = Store.open(tmp_path)
    assert len(store.entries("kitchen")) >= 15
    assert store.check().sound
    assert not list(tmp_path.rglob("*.part"))
    tally["signals"] += 1
