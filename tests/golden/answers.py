"""Asks every command that answers with a document, on the sample logs and on the situations; reads and writes answers.

An answer is kept with floats of six digits, one file a log, so that a sum done in another order is the same answer.
"""

from __future__ import annotations

import gzip
import json
import shlex
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from tests.cli.running import run
from tests.situations.playing import Stage, ask, play
from tests.situations.situation import every
from tests.worlds.write import SAMPLE_LOGS

KEPT = Path(__file__).parent / "answers"
LOGS = ("apartment", "classroom", "seller")
EVENING = datetime(2026, 10, 30, 18, 30, tzinfo=timezone(timedelta(hours=1)))
EACH_OF_BINS = (
    "log {bin}",
    "outlook {bin} --days 30",
    "away {bin} --from 2026-11-06 --until 2026-11-27",
    'feed {bin} "400 g melon rind" "2 cups coffee grounds" --bedding "60 g shredded cardboard" --try',
    "castings from {bin}",
    *(f"outlook {{bin}} --explain {code}" for code in ("moisture", "feed_waiting", "worms", "castings", "air")),
)
FIRST_OF_BINS = ("what-if {bin} --skip 1", "report {bin} --out -", "sheet {bin}")
OF_THE_FARM = (
    "round",
    "round --on 2026-09-15",
    "round --units us",
    "harvests",
    "settings",
    "keepers",
    "castings",
    "castings stock",
    "castings yields",
    "castings plan --kg 4 --by 2027-03-01",
    "calendar --out -",
    "store check",
)
OF_NO_FARM = (
    "materials",
    'mix "2 kg coffee grounds" --add shredded-cardboard --cn 25-30 --moisture 70-80',
    'mix "10 kg grass-clippings" --add dry-leaves --moisture 60 --set grass-clippings.moisture_pct=77',
    'trial --area 0.24 --worms "500 g" --bedding "1.2 kg shredded-cardboard" --daily "300 g kale" --days 40',
    'trial --area 900cm2 --start "2 kg cattle-manure" --every "20 d: 20 g cattle-manure" --hold-moisture 80 --days 60',
)
EVERY_SITUATION, EVERY_BIN = 16, 3
"""One of so many situations, and one of so many bins, is kept whole; all situations are judged in tests/situations."""


def of_log(name: str, folder: Path) -> dict[str, Any]:
    """Every answer on one of the sample logs, by the command that it answers."""
    store = folder / name
    assert run(store, "import", str(SAMPLE_LOGS / name), now=EVENING).code == 0
    bins = [each["bin"] for each in json.loads(run(store, "round", "--json", now=EVENING).out)["bins"]]
    commands = [each.format(bin=bin) for bin in sorted(bins)[::EVERY_BIN] for each in EACH_OF_BINS] + [*OF_THE_FARM]
    commands += [each.format(bin=min(bins)) for each in FIRST_OF_BINS]
    if name == LOGS[0]:
        commands += OF_NO_FARM
    if (SAMPLE_LOGS / name / "castings.csv").exists():
        lots = json.loads(run(store, "castings", "--json", now=EVENING).out)["lots"]
        commands += [f"castings show {shlex.quote(lot['lot'])}" for lot in lots]
    return {command: _answer(store, command) for command in commands}


def _answer(store: Path, command: str) -> Any:
    ran = run(store, *shlex.split(command), "--json", now=EVENING)
    said = ran.out if ran.out else ran.err
    try:
        return {"exit": ran.code, "document": tidied(json.loads(said))}
    except ValueError:
        return {"exit": ran.code, "text": said.replace(str(store), "STORE").splitlines()}


def of_situations(folder: Path) -> dict[str, Any]:
    """The round and the harvests of some of the situations, by their names."""
    stage = Stage(folder)
    answers = {}
    told = [each for each in every() if each.group != "edges"]
    for number, each in enumerate(told[::EVERY_SITUATION]):
        for _asked in play(each, stage, str(number)):
            pass
        store = stage.folder / str(number)
        answers[each.name] = tidied([ask(store, words).page for words in ("round", "harvests")])
    return answers


def tidied(value: Any) -> Any:
    """The same document with floats of six digits."""
    if isinstance(value, float):
        return float(f"{value:.6g}")
    if isinstance(value, dict):
        return {name: tidied(each) for name, each in value.items()}
    return [tidied(each) for each in value] if isinstance(value, list) else value


def kept(name: str) -> Any:
    """The answers that were kept under a name."""
    return json.loads(gzip.decompress((KEPT / f"{name}.json.gz").read_bytes()))


def keep(name: str, answers: Any) -> None:
    """Keep answers, the same to the byte wherever they are written."""
    text = json.dumps(answers, ensure_ascii=False, indent=0, sort_keys=True)
    (KEPT / f"{name}.json.gz").write_bytes(gzip.compress(text.encode(), mtime=0))


def differences(before: Any, after: Any, where: str = "") -> Iterator[str]:
    """Every field that is not what it was; a float may differ in its fifth digit."""
    if isinstance(before, dict) and isinstance(after, dict):
        for name in sorted(before.keys() | after.keys()):
            if name not in after:
                yield f"{where}/{name}: gone"
            elif name not in before:
                yield f"{where}/{name}: new"
            else:
                yield from differences(before[name], after[name], f"{where}/{name}")
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for number, (one, other) in enumerate(zip(before, after, strict=True)):
            yield from differences(one, other, f"{where}/{number}")
    elif isinstance(before, float) and isinstance(after, float):
        if abs(before - after) > 2e-5 * max(abs(before), abs(after), 1e-6):
            yield f"{where}: {before} -> {after}"
    elif before != after:
        yield f"{where}: {before!r} -> {after!r}"
