"""An open full-screen program, the command line and a second program on one store, each as a person uses them."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import NOW, kitchen
from tests.faults.children import Child, fork
from wormbin.farm import drafts, feedings, recording, rounds
from wormbin.farm.backups import care
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.settings import add_keeper, change_setting, keepers
from wormbin.records.entries import Kind
from wormbin.store.disk import Disk, held_if_free
from wormbin.store.reading import LOCK

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs fork")


def opened(folder: Path) -> Session:
    """A program of its own: other ids, the same day."""
    return Session(folder, clock=lambda: NOW)


def notes(farm: Session) -> set[str]:
    return {entry.note for entry in farm.entries("kitchen") if entry.note}


def lock_is_free(folder: Path) -> bool:
    with held_if_free(Disk(), folder / LOCK) as lock:
        return lock is not None


def test_three_programs_write_at_once_and_each_sees_what_the_others_wrote(
    tmp_path: Path, long: bool, tally: Counter[str]
) -> None:
    kitchen(tmp_path, days=8)
    times = 60 if long else 12
    first = opened(tmp_path)
    first.changed()
    seen = 0

    def commands() -> str:
        codes = [run(tmp_path, "note", "kitchen", f"command {number}").code for number in range(times)]
        return "done" if not any(codes) else f"{codes}"

    def second_screen() -> str:
        farm = opened(tmp_path)
        for number in range(times):
            write(farm, "kitchen", Kind.CHECK, {"temp": "21C"}, Heading(note=f"screen {number}"))
        return "done"

    children: list[Child] = [fork(commands), fork(second_screen)]
    for number in range(times):
        write(first, "kitchen", Kind.NOTE, {"words": f"first {number}"})
        # Asking is all that an open screen does twice a second; it shows what is new when the answer is yes.
        seen += first.changed()
    assert [child.answer() for child in children] == ["done", "done"]
    seen += first.changed()
    assert seen, "the first never noticed that others wrote"
    wanted = {f"{who} {number}" for who in ("first", "command", "screen") for number in range(times)}
    assert notes(first) >= wanted
    assert notes(first) == notes(opened(tmp_path))
    ids = [entry.id for entry in first.entries("kitchen")]
    assert len(set(ids)) == len(ids)
    assert care(first).check().sound
    tally["programs at once"] += 3
    tally["lines of three programs"] += len(wanted)
    tally["times that the first noticed another"] += seen


def test_what_another_program_wrote_is_there_when_next_asked_and_own_work_is_not_lost(tmp_path: Path) -> None:
    kitchen(tmp_path, days=8)
    first, second = opened(tmp_path), opened(tmp_path)
    assert not first.changed()
    assert not second.changed()
    # A person has typed half a feeding, and thinks about what the program says of it.
    drafts.save(first, "feed-kitchen", {"portions": "300 g mel"})
    preview = feedings.preview(first, "kitchen", ["100 g melon rind"])
    assert lock_is_free(tmp_path), "the lock is held while a person thinks"
    assert not first.changed(), "one's own half-filled form is no news"
    assert run(tmp_path, "note", "kitchen", "from the command line").code == 0
    assert first.changed()
    assert second.changed()
    assert not first.changed(), "told once"
    write(second, "kitchen", Kind.NOTE, {"words": "from the second screen"})
    assert first.changed()
    assert notes(first) >= {"from the command line", "from the second screen"}
    assert drafts.read(first, "feed-kitchen") == {"portions": "300 g mel"}
    # The form that was open all the while is saved upon what the others wrote.
    record_feeding(first, "kitchen", ["100 g melon rind"], anyway=preview.too_much)
    assert second.changed()
    assert second.entries("kitchen") == first.entries("kitchen")
    assert lock_is_free(tmp_path)


def test_an_own_save_does_not_hide_what_another_wrote_just_before_it(tmp_path: Path) -> None:
    kitchen(tmp_path, days=8)
    first, second = opened(tmp_path), opened(tmp_path)
    first.changed()
    write(first, "kitchen", Kind.NOTE, {"words": "mine"})
    assert not first.changed(), "an own save is no news"
    write(second, "kitchen", Kind.NOTE, {"words": "theirs"})
    write(first, "kitchen", Kind.NOTE, {"words": "mine again"})
    assert first.changed()
    assert not first.changed()
    recording.strike(first, first.entries("kitchen")[-1].id, "wrong", "Ana")
    recording.undo(first)
    change_setting(first, "units", "us")
    care(first).backup()
    assert not first.changed()


def test_a_setting_and_a_new_bin_of_another_program_are_seen_and_built_upon(tmp_path: Path) -> None:
    kitchen(tmp_path, days=8)
    first, second = opened(tmp_path), opened(tmp_path)
    keepers(first)
    add_keeper(second, "Ana")
    add_keeper(first, "Bo")
    change_setting(first, "units", "us")
    assert keepers(second) == ("Ana", "Bo")
    assert second.units == "us"
    size = ("--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes")
    assert run(tmp_path, "start", "attic", *size).code == 0
    assert {row.bin for row in rounds.view(first).rows} == {"kitchen", "attic"}
