"""What a seller asks of 8, 40 and 200 bins, warm, each in a program of its own, beside one that paints an empty app.

The plan is asked for with stock in hand that all but covers the wish, and with an amount that no farm brings: what it
costs must not hang on either. Prints, and judges only what has gone out of all proportion.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from statistics import median
from time import perf_counter

import pytest

from tests.benchmarks.many_bins import many_bins
from tests.benchmarks.terminal import EMPTY, Terminal
from tests.farm.many_due import NOW, due_farm, lay_ready
from wormbin.castings.plan import KEPT, Delivery, outcome
from wormbin.farm import rounds
from wormbin.figures import Band

ROOT = Path(__file__).resolve().parents[2]
SIZES = (8, 40, 200)
TIMES = 2
PROGRAM = (
    "import sys\nfrom datetime import datetime\nfrom wormbin.cli.program import main\n"
    "sys.exit(main(sys.argv[2:], clock=lambda: datetime.fromisoformat(sys.argv[1])))"
)
WORDS = {
    "round": ["round"],
    "week": ["week", "--days", "14"],
    "plan of 40 kg": ["castings", "plan", "--kg", "40", "--by", "2026-05-01"],
    "plan of 4 t": ["castings", "plan", "--kg", "4000", "--by", "2026-05-01"],
    "orders": ["orders"],
    "calendar": ["calendar", "--out", "-"],
    "yields": ["castings", "yields"],
    "harvests": ["harvests"],
}

LATER = ["castings", "plan", "--kg", "40", "--by", "2027-01-20"]
OF_LOGS = {
    "plan of 40 kg": LATER, "plan of 4 t": [*LATER[:3], "4000", *LATER[4:]], "castings": ["castings"],
    "a lot's record": ["castings", "record", "May sacks"], "loads": ["loads"],
    "recall": ["loads", "recall", "grain 26"], "costs": ["costs", "lots"], "worms": ["worms"],
    "a log": ["log", "barn-1"],
}  # fmt: skip
"""Of the years' farm, with a plan for a day that is to come there."""


def seconds(words: list[str], store: Path, now: datetime) -> float:
    """Processor seconds of a program of its own; the least of a few runs."""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(store)}
    taken = []
    for _ in range(TIMES):
        before = os.times()
        subprocess.run(
            [sys.executable, "-c", PROGRAM, now.isoformat(), *words], env=env, capture_output=True, check=True
        )
        after = os.times()
        taken.append(after.children_user + after.children_system - before.children_user - before.children_system)
    return min(taken)


def empty_app(folder: Path) -> float:
    """The same of a program that paints an empty app."""
    taken = []
    for _ in range(TIMES):
        terminal = Terminal(["-c", EMPTY], folder)
        try:
            terminal.until(b"painted")
            taken.append(terminal.used())
        finally:
            terminal.close()
    return median(taken)


@pytest.mark.benchmark
def test_what_a_seller_asks_beside_an_empty_app(tmp_path: Path, say: Callable[[str], None]) -> None:
    """Rows laid ready, so that what is measured is the asking, not the working out of the bins."""
    empty = empty_app(tmp_path)
    found: dict[str, list[float]] = {name: [] for name in WORDS}
    for bins in SIZES:
        farm = due_farm(tmp_path / f"farm-{bins}", bins)
        list(rounds.rows(farm))
        for name, words in WORDS.items():
            found[name].append(seconds(words, farm.folder, NOW))
    say(f"{'an empty app painted':<24}{empty:6.2f} s; ratios to it for {SIZES} bins:")
    for name, each in found.items():
        say(f"{name:<24}" + "".join(f"{one / empty:7.2f}" for one in each) + f"   ({each[1]:.2f} s for 40 bins)")
    for name, (_, forty, many) in found.items():
        assert many < 8 * forty, f"{name}: 200 bins against 40"


@pytest.mark.benchmark
def test_what_reading_three_years_of_forty_bins_costs(tmp_path: Path, say: Callable[[str], None]) -> None:
    """Rows laid ready over 24,500 lines of log: what an answer takes that reads them, and one that does not."""
    empty = empty_app(tmp_path)
    farm = many_bins(tmp_path / "years", 40, 3)
    lay_ready(farm)
    say(f"{'an empty app painted':<24}{empty:6.2f} s; ratios to it:")
    for name, words in {**WORDS, **OF_LOGS}.items():
        took = seconds(words, farm.folder, farm.clock())
        say(f"{name:<24}{took / empty:7.2f}   ({took:.2f} s)")
        assert took < 20 * empty, name


@pytest.mark.benchmark
def test_the_odds_of_two_hundred_bins_hang_on_no_amount(say: Callable[[str], None]) -> None:
    by = date(2026, 5, 1)
    for bins in SIZES:
        each = [
            Delivery(str(at), Band(8, 10, 13), by - timedelta(days=20), by, by + timedelta(days=40))
            for at in range(bins)
        ]
        for kg in (1e-6, 3.0 * bins, 1e6):
            start = perf_counter()
            outcome(each, kg, by, by + timedelta(days=200), kept=KEPT, today=by - timedelta(days=90))
            say(f"{bins:>4} bins, {kg:>10g} kg wanted: {(perf_counter() - start) * 1000:6.0f} ms")


@pytest.mark.benchmark
def test_a_cold_start_of_the_sellers_bins(tmp_path: Path, say: Callable[[str], None]) -> None:
    """The sample logs' bins over a year and more, once from nothing: what a first start of 8 and 40 takes."""
    for bins in SIZES[:2]:
        farm = many_bins(tmp_path / f"cold-{bins}", bins)
        start = perf_counter()
        assert len(rounds.view(farm).rows) == bins
        cold = perf_counter() - start
        start = perf_counter()
        rounds.calendar(farm)
        then = perf_counter() - start
        say(f"{bins:>4} bins: cold {cold:5.1f} s, {cold / bins:4.2f} s a bin; calendar then {then:4.2f} s")
