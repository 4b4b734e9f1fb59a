"""How long a person waits for ``--help`` and a warm round, against the interpreter alone. Prints, never judges."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import pytest

from tests.farm.a_farm import NOW, kitchen

ROOT = Path(__file__).resolve().parents[2]
TIMES = 11


def seconds(words: list[str], store: Path) -> float:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(store)}
    taken = []
    for _ in range(TIMES):
        start = perf_counter()
        subprocess.run([sys.executable, *words], env=env, capture_output=True, check=True)
        taken.append(perf_counter() - start)
    return median(taken)


@pytest.mark.benchmark
def test_start_up_beside_the_interpreter_alone(tmp_path: Path, say: Callable[[str], None]) -> None:
    kitchen(tmp_path)
    on = NOW.date().isoformat()
    bare = seconds(["-c", "pass"], tmp_path)
    rows = {
        "python -c pass": bare,
        "wormbin --help": seconds(["-m", "wormbin", "--help"], tmp_path),
        "wormbin note": seconds(["-m", "wormbin", "note", "kitchen", "x"], tmp_path),
        f"wormbin round --on {on}, warm": seconds(["-m", "wormbin", "round", "--on", on], tmp_path),
    }
    for name, each in rows.items():
        say(f"{name:<36}{each * 1000:8.0f} ms   {each / bare:5.1f} x")
    assert all(each > 0 for each in rows.values())
