"""One durable save beside a bare append and fsync, on a new store and on ten years, and beside TinyDB's own storage."""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median
from time import perf_counter

import pytest
from tinydb import TinyDB

from wormbin.records.codec import line_to_json
from wormbin.records.entries import Check, Entry, Feeding, Portion, Squeeze
from wormbin.store import Store

pytestmark = pytest.mark.benchmark

SAVES = 130  # two turns of the slip, so that folds are in it
TEN_YEARS = 50_000
NOW = datetime(2026, 6, 1, 18, tzinfo=UTC)
# Generous, for a shared machine: the aims printed beside are 15, 1.2 and 40.
APPEND_LIMIT, GROWTH_LIMIT, STOCK_LIMIT = 40.0, 2.0, 20.0


def line(number: int, when: datetime) -> Entry:
    if number % 3:
        what = Feeding((Portion("melon-rind", 0.3, "300 g"), Portion("coffee-grounds", 0.11, "1 cup")))
        return Entry(f"e{number}", "kitchen", when, what, by="Ana")
    check = Check(moisture=0.8, squeeze=Squeeze.DAMP, temp_c=21.5, left=0.2, smell="earthy")
    return Entry(f"e{number}", "kitchen", when, check, by="Ana")


def ten_years() -> list[Entry]:
    start, gap = NOW - timedelta(days=3652), timedelta(days=3652) / TEN_YEARS
    return [line(number, start + gap * number) for number in range(TEN_YEARS)]


def in_turn(acts: dict[str, Callable[[int], object]]) -> dict[str, list[float]]:
    """Seconds of each act, taken in turn in a shuffled order, so that the machine's slow moments fall on all alike."""
    taken: dict[str, list[float]] = {name: [] for name in acts}
    dice = random.Random(1)
    for number in range(SAVES):
        for name in dice.sample(sorted(acts), len(acts)):
            begun = perf_counter()
            acts[name](number)
            taken[name].append(perf_counter() - begun)
    return taken


def appender(path: Path) -> Callable[[int], None]:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def append(number: int) -> None:
        os.write(handle, (str(line_to_json(line(number, NOW))) + "\n").encode())
        os.fsync(handle)

    return append


def saver(store: Store) -> Callable[[int], object]:
    store.entries("kitchen")
    store.record([line(10**6, NOW)])
    return lambda number: store.record([line(10**6 + 1 + number, NOW + timedelta(minutes=number))])


def test_one_durable_save(tmp_path: Path, say: Callable[[str], None]) -> None:
    everything = ten_years()
    Store.open(tmp_path / "ten").record(everything)
    stock = TinyDB(tmp_path / "stock.json")
    stock.insert_multiple(line_to_json(entry) for entry in everything)
    taken = in_turn(
        {
            "append": appender(tmp_path / "bare.log"),
            "new": saver(Store.open(tmp_path / "new")),
            "ten": saver(Store.open(tmp_path / "ten")),
        }
    )
    theirs = []
    for number in range(5):
        begun = perf_counter()
        stock.insert(line_to_json(line(number, NOW)))
        theirs.append(perf_counter() - begun)
    stock.close()
    cold = cold_saves(tmp_path)
    middle = {name: median(values) for name, values in taken.items()}
    mean = {name: sum(values) / len(values) for name, values in taken.items()}
    against_append = middle["ten"] / middle["append"]
    growth = middle["ten"] / middle["new"]
    mean_growth = mean["ten"] / mean["new"]
    faster = median(theirs) / mean["ten"]
    say(f"this machine's append and fsync      {middle['append'] * 1e3:7.2f} ms (median of {SAVES})")
    say(f"one durable save, new store          {middle['new'] * 1e3:7.2f} ms, mean {mean['new'] * 1e3:.2f}")
    say(f"one durable save, {TEN_YEARS} lines in ten years {middle['ten'] * 1e3:5.2f} ms, mean {mean['ten'] * 1e3:.2f}")
    say(f"ten years against a bare append      {against_append:7.1f} times (aim: at most 15)")
    say(f"ten years against a new store        {growth:7.2f} times, means {mean_growth:.2f} (aim: at most 1.2)")
    say(f"TinyDB's own storage, {TEN_YEARS} lines   {median(theirs) * 1e3:7.0f} ms")
    say(f"ours against TinyDB's own storage    {faster:7.0f} times faster (aim: at least 40)")
    say(f"opening and saving once, ten years against new  {cold:.2f} times")
    assert against_append < APPEND_LIMIT
    assert growth < GROWTH_LIMIT
    assert faster > STOCK_LIMIT


def cold_saves(root: Path) -> float:
    """Opening a store and saving once: with one year of log against with ten years of the same size each."""
    one = Store.open(root / "one")
    one.record([entry for entry in ten_years() if entry.when.year == NOW.year])
    times: dict[str, list[float]] = {"one": [], "ten": []}
    for number in range(9):
        for name, taken in times.items():
            begun = perf_counter()
            Store.open(root / name).record([line(2 * 10**6 + number, NOW)])
            taken.append(perf_counter() - begun)
    return _ratio(times["ten"], times["one"])


def _ratio(above: Sequence[float], below: Sequence[float]) -> float:
    return median(above) / median(below)
