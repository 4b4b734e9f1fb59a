"""Bins worked out side by side come out as one after the other."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, farmstead
from wormbin.farm import rounds, starts
from wormbin.farm.rounds import pool as hands
from wormbin.farm.views.proposals import BinDraft
from wormbin.store.errors import StoreError

BINS = ("one", "two", "three", "four")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    farm = farmstead(tmp_path)
    started = (NOW.date() - timedelta(days=6)).isoformat()
    for number, key in enumerate(BINS):
        size = f"{50 + number} cm"
        starts.start(farm, BinDraft(key=key, length=size, width="40 cm", depth="30 cm", worms="300 g", started=started))
    return tmp_path


def test_four_bins_come_out_as_one_by_one(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WORMBIN_HANDS", "1")
    alone = rounds.view(farmstead(folder))
    shutil.rmtree(folder / "cache")
    monkeypatch.setenv("WORMBIN_HANDS", "2")
    monkeypatch.setattr(hands, "LEAST_BINS", 4)
    together = rounds.view(farmstead(folder))
    assert [(row.bin, row.moisture, row.do) for row in together.rows] == [
        (row.bin, row.moisture, row.do) for row in alone.rows
    ]


def test_a_book_that_cannot_be_read_is_an_error_in_its_place(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WORMBIN_HANDS", "2")
    (folder / "bins" / "three" / "2026.json").write_text("{ torn")
    rows = list(hands.rows_of(folder, BINS, NOW, None, ""))
    assert [isinstance(row, StoreError) for row in rows] == [False, False, True, False]
    assert "three" in str(rows[2])


def test_without_more_hands_everything_is_left_to_the_caller(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WORMBIN_HANDS", "1")
    assert list(hands.rows_of(folder, BINS, NOW, None, "")) == [None] * 4
    monkeypatch.setenv("WORMBIN_HANDS", "2")
    assert list(hands.rows_of(folder, BINS[:2], NOW, None, "")) == [None] * 2


def test_hands_help_also_where_standard_error_is_no_file(folder: Path) -> None:
    """A full-screen program puts something in the place of standard error that a new process cannot inherit."""
    code = f"""
import sys
from datetime import datetime
from pathlib import Path
from wormbin.farm.rounds.pool import rows_of
class NoFile:
    def write(self, text): pass
    def flush(self): pass
    def fileno(self): return -1
if __name__ == "__main__":
    sys.stderr = NoFile()
    rows = list(rows_of(Path({str(folder)!r}), ["one"], datetime.fromisoformat({NOW.isoformat()!r}), None, "", 1))
    print([getattr(row, "bin", None) for row in rows])
"""
    script = folder / "ask.py"
    script.write_text(code)
    environment = {**os.environ, "WORMBIN_HANDS": "2", "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    made = subprocess.run([sys.executable, str(script)], env=environment, capture_output=True, text=True, check=True)
    assert made.stdout.strip() == "['one']"
