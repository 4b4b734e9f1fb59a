"""Runs the command line in this process on a made-up farm, with what it wrote and its exit status."""

from __future__ import annotations

import contextlib
import io
import os
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen
from wormbin.cli.program import main


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


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A kitchen bin forty days old, to spoil."""
    kitchen(tmp_path / "store")
    return tmp_path / "store"
