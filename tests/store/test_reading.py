"""A long log that was read stays, so nobody looks through its lines for unused objects."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from tests.store.lines import AT, feeding
from wormbin.store import Store, reading

LINES = 400


@pytest.fixture(autouse=True)
def as_it_was() -> Iterator[None]:
    frozen = gc.get_freeze_count()
    yield
    if not frozen:
        gc.unfreeze()


@pytest.mark.parametrize(("many", "kept_out"), [(LINES, True), (100 * LINES, False)])
def test_the_lines_of_a_long_log_are_kept_out_of_the_search(
    many: int, kept_out: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading, "A_LONG_LOG", many)
    Store.open(tmp_path).record([feeding(f"f{number}", when=AT + timedelta(hours=number)) for number in range(LINES)])
    store = Store.open(tmp_path)
    before = gc.get_freeze_count()
    assert len(store.entries("kitchen")) == LINES
    assert (gc.get_freeze_count() - before >= LINES) is kept_out
    assert gc.isenabled()
