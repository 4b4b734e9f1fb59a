"""How often the truth lies in the bands after forty silent days, for keepers who went on, did half, or nothing."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.benchmarks.silent_logs import KINDS, QUANTITIES, asked, coverage

BINS, SEED = 60, 2026


@pytest.mark.benchmark
def test_silences_read_and_taken_for_nothing(say: Callable[[str], None]) -> None:
    said = [each for kind in KINDS for number in range(BINS) for each in asked(number, SEED, kind)]
    lines = [
        f"{BINS} made-up bins, seed {SEED}; in the band on the last of forty silent days, of a hundred:",
        "| keeper | " + " | ".join(QUANTITIES) + " |",
    ]
    for kind in KINDS:
        for read, how in ((False, "taken for nothing done"), (True, "read as a silence")):
            cells = (f"{100 * coverage(said, kind, name, read=read):.0f}" for name in QUANTITIES)
            lines.append(f"| {kind}, {how} | " + " | ".join(cells) + " |")
    say("\n  ".join(lines))
    assert all(coverage(said, "as usual", name, read=True) >= 0.70 for name in QUANTITIES)
