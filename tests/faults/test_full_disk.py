"""A file that may not grow, a folder that may not be written to: a sentence, nothing lost, and it works again after."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.children import as_nobody, fork
from tests.store.lines import note
from wormbin.store import Store, StoreError

if sys.platform == "win32":
    pytest.skip("needs POSIX limits and permissions", allow_module_level=True)

import resource


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that another person than the system's master can reach, unlike pytest's own."""
    folder = Path(tempfile.mkdtemp(prefix="wormbin-test-"))
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


@pytest.mark.parametrize("limit", [0, 100, 400, 900])
def test_a_file_that_may_not_grow_loses_nothing(tmp_path: Path, limit: int, tally: Counter[str]) -> None:
    Store.open(tmp_path).record([note("a")])

    def act() -> str:
        store = Store.open(tmp_path)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
        try:
            store.record([note("b", text="x" * 1000)])
            return "saved"
        except StoreError as error:
            told = str(error)
        assert [line.id for line in store.entries("kitchen")] == ["a"]
        resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
        store.record([note("b", text="x" * 1000)])
        assert [line.id for line in store.entries("kitchen")] == ["a", "b"]
        return told

    answer = fork(act).answer()
    assert "may not grow any further" in answer
    assert [line.id for line in Store.open(tmp_path).entries("kitchen")] == ["a", "b"]
    assert not list(tmp_path.rglob("*.part"))
    tally["full disks"] += 1


def test_a_read_only_store_can_be_read_and_is_not_half_written(open_folder: Path, tally: Counter[str]) -> None:
    root = open_folder / "s"
    Store.open(root).record([note("a"), note("b", bin_key="attic")])
    before = {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}
    for path in (root, *root.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)

    def act() -> str:
        store = Store.open(root)
        assert [line.id for line in store.entries("kitchen")] == ["a"]
        assert store.check().sound
        told = []
        for line in (note("c"), note("d", bin_key="cellar")):
            try:
                store.record([line])
            except StoreError as error:
                told.append(str(error))
        return "\n".join(told)

    answer = as_nobody(root, act).splitlines()
    assert len(answer) == 2
    assert all("not allowed by its permissions" in line and str(root) in line for line in answer), answer
    assert {path: path.read_bytes() for path in root.rglob("*") if path.is_file()} == before
    for path in (root, *root.rglob("*")):
        path.chmod(0o755 if path.is_dir() else 0o644)
    Store.open(root).record([note("c")])
    tally["read-only folders"] += 1


def test_a_folder_that_may_not_be_made_is_told(open_folder: Path) -> None:
    open_folder.chmod(0o555)

    def act() -> str:
        try:
            Store.open(open_folder / "s").record([note("a")])
        except StoreError as error:
            return str(error)
        return "saved"

    answer = as_nobody(open_folder, act)
    assert "not allowed by its permissions" in answer
    open_folder.chmod(0o755)


def test_a_store_that_may_not_be_read_is_told(open_folder: Path) -> None:
    root = open_folder / "s"
    Store.open(root).record([note("a")])

    def act() -> str:
        try:
            Store.open(root).entries("kitchen")
        except StoreError as error:
            return str(error)
        return "read"

    (root / "bins/kitchen").chmod(0o000)
    answer = as_nobody(open_folder, act)
    assert "not allowed by its permissions" in answer
    (root / "bins/kitchen").chmod(0o700)
