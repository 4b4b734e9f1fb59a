"""Files handed out: one way to write them all, whole, private, through no link, and over nothing that is foreign."""

from __future__ import annotations

import os
import sys
import threading
from contextlib import suppress
from errno import ENOSPC
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen
from tests.faults.disks import FailAt, WatchedDisk
from wormbin.farm.reports import write_page
from wormbin.problems import RefusedError
from wormbin.store import StoreError
from wormbin.store.disk import Disk
from wormbin.store.whole import hand_out, named

OUT = {"report": ("report", "kitchen", "--out"), "calendar": ("calendar", "--out"), "costs": ("costs", "export")}


@pytest.fixture
def store(tmp_path: Path) -> Path:
    kitchen(tmp_path / "store", days=9)
    return tmp_path / "store"


@pytest.mark.skipif(sys.platform == "win32", reason="needs devices")
def test_a_name_that_is_refused_is_neither_read_nor_worked_for(
    store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A pipe would never end, and ``/dev/zero`` fill the memory, when the old calendar is looked for in it."""
    monkeypatch.setattr("wormbin.farm.rounds.calendar", lambda *_, **__: pytest.fail("worked out for nothing"))
    for name, code in (("", 2), ("/dev/null", 3), (str(tmp_path), 3)):
        assert run(store, "calendar", "--out", name).code == code


@pytest.mark.parametrize("what", OUT)
def test_a_file_that_is_something_else_is_written_over_only_when_asked(store: Path, tmp_path: Path, what: str) -> None:
    path = tmp_path / "out"
    path.write_text("my diary")
    ran = run(store, *OUT[what], str(path))
    assert (ran.code, path.read_text()) == (2 if what == "costs" else 1, "my diary")
    assert f"{path} is there already" in ran.err
    assert run(store, *OUT[what], str(path), "--yes").code == 0
    assert path.read_text() != "my diary"
    assert run(store, *OUT[what], str(path)).code == 0, "its own kind is replaced without asking"


def test_an_export_writes_over_an_export_and_over_nothing_else(store: Path, tmp_path: Path) -> None:
    assert run(store, "export", str(tmp_path / "out")).code == 0
    assert run(store, "export", str(tmp_path / "out")).code == 0
    mine = tmp_path / "mine" / "log.csv"
    mine.parent.mkdir()
    mine.write_text("when,bin,kind,note\n2026-05-20,kitchen,note,mine\n")
    ran = run(store, "export", str(mine.parent))
    assert ran.code == 2
    assert "not as an export writes it" in ran.err
    assert [each.name for each in mine.parent.iterdir()] == ["log.csv"]
    assert "mine" in mine.read_text()
    assert run(store, "export", str(mine.parent), "--yes").code == 0


@pytest.mark.skipif(sys.platform == "win32", reason="needs pipes")
@pytest.mark.parametrize(("more", "name"), [((), "log.csv"), (("--lesson",), "words.txt")])
def test_a_pipe_is_never_waited_for_nor_replaced(store: Path, tmp_path: Path, more: tuple[str, ...], name: str) -> None:
    (tmp_path / "out").mkdir()
    os.mkfifo(tmp_path / "out" / name)
    ran = run(store, "export", str(tmp_path / "out"), *more, "--yes")
    assert ran.code == 3
    assert "it is a pipe" in ran.err
    assert [each.is_fifo() for each in (tmp_path / "out").iterdir()] == [True], "nothing else was written either"


def test_a_full_disk_in_the_midst_of_an_export_leaves_all_old_files(
    store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    assert run(store, "export", str(out)).code == 0
    before = {each.name: each.read_bytes() for each in out.iterdir()}
    run(store, "note", "kitchen", "one more")
    whole = Disk.write
    for full_at in range(1, len(before) + 1):
        written: list[int] = []

        def write(disk: Disk, handle: int, data: bytes | memoryview, at: int = full_at, n: list[int] = written) -> int:
            n.append(handle)
            if len(n) == at:
                raise OSError(ENOSPC, "No space left on device")
            return whole(disk, handle, data)

        with monkeypatch.context() as patch:
            patch.setattr(Disk, "write", write)
            ran = run(store, "export", str(out))
        assert ran.code == 3
        assert "no space left on device" in ran.err
        assert {each.name: each.read_bytes() for each in out.iterdir()} == before
    assert run(store, "export", str(out)).code == 0
    assert "one more" in (out / "log.csv").read_text()


@pytest.mark.parametrize(
    "words", [(*OUT["report"], ""), (*OUT["calendar"], ""), (*OUT["calendar"], " "), ("export", "")]
)
def test_no_name_is_refused(
    store: Path, words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    assert run(store, *words).code == 2
    assert list((tmp_path / "here").iterdir()) == []


@pytest.mark.parametrize("name", ["", "  ", "a\0b", ".", "there/", "x" * 5000, "a/" * 2500 + "b"])
def test_what_is_no_file_name_is_refused(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises((RefusedError, OSError)):
        hand_out({named(name, "--out", "kitchen.html"): "page"})
    with pytest.raises(RefusedError):
        write_page(name, ["page"])


@pytest.mark.skipif(sys.platform == "win32", reason="needs links")
def test_no_link_is_followed(store: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text("mine")
    (tmp_path / "link").symlink_to(secret)
    for what in OUT.values():
        assert run(store, *what, str(tmp_path / "link"), "--yes").code in (2, 3)
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "log.csv").symlink_to(secret)
    assert run(store, "export", str(tmp_path / "out"), "--yes").code == 3
    with pytest.raises(OSError, match="link"):  # one that came there meanwhile
        hand_out({tmp_path / "link": "page"})
    assert secret.read_text() == "mine"


def test_six_at_once_all_succeed_and_leave_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "page"
    faults: list[BaseException] = []

    def write(number: int) -> None:
        try:
            for _ in range(20):
                hand_out({path: f"{number}" * 5000})
        except BaseException as error:  # told below, in the test's own thread
            faults.append(error)

    threads = [threading.Thread(target=write, args=(number,)) for number in range(6)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert faults == []
    assert len(set(path.read_text())) == 1
    assert [each.name for each in tmp_path.iterdir()] == ["page"]


def test_a_full_disk_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "page"
    hand_out({path: "old"})
    for at in range(1, 30):
        fault = FailAt(at, ENOSPC)
        with suppress(OSError, StoreError):
            hand_out({path: "new"}, WatchedDisk(Disk(), fault))
        if not fault.failed:
            break
        assert path.read_text() in ("old", "new")
        assert fault.failed.keys() & {"sync_folder", "stamp", "names"} or path.read_text() == "old"
        hand_out({path: "old"})
        assert [each.name for each in tmp_path.iterdir()] == ["page"]
    assert at > 5


def test_a_file_is_private_and_keeps_the_mode_it_has(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        hand_out({tmp_path / "page": "one"})
        assert (tmp_path / "page").stat().st_mode & 0o777 == 0o600
        (tmp_path / "page").chmod(0o644)
        hand_out({tmp_path / "page": "two"})
        assert (tmp_path / "page").stat().st_mode & 0o777 == 0o644
    finally:
        os.umask(before)


@pytest.mark.skipif(sys.platform == "win32", reason="asks whether a process runs")
def test_what_a_killed_run_left_half_written_is_taken_away_by_the_next(tmp_path: Path) -> None:
    dead = tmp_path / f".page.{2**22 + 1}-0123456789abcdef.part"
    alive = tmp_path / f".page.{os.getpid()}-0123456789abcdef.part"
    for each in (dead, alive):
        each.write_text("half")
    hand_out({tmp_path / "page": "whole"})
    assert sorted(each.name for each in tmp_path.iterdir()) == sorted(["page", alive.name])
