"""Runs the command line in this process on a made-up farm, with what it wrote and its exit status."""

from __future__ import annotations

import contextlib
import io
import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen
from wormbin.cli.program import main
from wormbin.farm import rounds


@dataclass(frozen=True, slots=True)
class Ran:
    """What came of a command."""

    code: int
    out: str
    err: str


class Words(io.StringIO):
    """Standard output that is no terminal."""

    encoding = "utf-8"


def run(store: Path, *words: str, now: datetime = NOW) -> Ran:
    """One command on a store, on the made-up farm's day or another."""
    out, err = Words(), Words()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), no_input(), in_store(store):
        code = main(words, clock=lambda: now)
    return Ran(code, out.getvalue(), err.getvalue())


@contextlib.contextmanager
def in_store(store: Path) -> Iterator[None]:
    before = os.environ.get("WORMBIN_STORE", "")
    os.environ["WORMBIN_STORE"] = str(store)
    try:
        yield
    finally:
        os.environ["WORMBIN_STORE"] = before


@contextlib.contextmanager
def no_input() -> Iterator[None]:
    import sys

    before = sys.stdin
    sys.stdin = io.StringIO("")
    try:
        yield
    finally:
        sys.stdin = before


@pytest.fixture(scope="session")
def a_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A kitchen bin forty days old, replayed once so that every copy of it starts warm."""
    folder = tmp_path_factory.mktemp("cli") / "store"
    rounds.view(kitchen(folder))
    return folder


@pytest.fixture
def store(a_store: Path, tmp_path: Path) -> Path:
    """A copy of it to spoil."""
    folder = tmp_path / "store"
    shutil.copytree(a_store, folder)
    return folder
