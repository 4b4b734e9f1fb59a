"""Store files and log files as people, spreadsheets and accidents leave them: a sentence each time, never a traceback.

The files stay readable as JSON or CSV more often than not, so that odd values reach the model and the screens' words.
"""

from __future__ import annotations

import json
import random
import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm import log_files, rounds
from wormbin.farm.lots import Lots
from wormbin.farm.materials import set_material
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.settings import add_keeper, change_setting
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind
from wormbin.records.farm_rules import VALUES as OWN_VALUES
from wormbin.records.kinds.castings import LotKind
from wormbin.store.file import unsealed

VALUES: tuple[Any, ...] = (
    0, -1, 1e308, -1e308, 1e-308, 1, True, None, "", "x", [], {}, "2026-13-45", "1e5", 10**30, -0.0, "kitchen", "attic",
    "9999-12-31", "0001-01-01", "2026-05-20T08:00:00+14:00", "9999-12-31T23:59:59-12:00", "nowhere",
)  # fmt: skip
TIMES = (0.0, -1.0, 1e3, 1e6, 1e-6, 10.0, 1e-12, -0.5)
ASKED = (
    ("round",), ("log", "kitchen", "--struck"), ("outlook", "kitchen", "--days", "10"), ("harvests",), ("settings",),
    ("sheet", "kitchen"), ("feed", "kitchen", "100 g kale", "--yes"), ("check", "kitchen", "--temp", "21C", "--yes"),
    ("store", "check"), ("away", "kitchen", "--from", "2026-06-03", "--until", "2026-06-12"), ("materials", "coffee"),
    ("what-if", "kitchen", "--skip", "1"), ("calendar", "--out", "-"), ("undo",), ("mix", "1 kg coffee grounds"),
    ("castings",), ("castings", "show", "may", "--struck"), ("castings", "sell", "may", "10 g"), ("castings", "yields"),
    ("castings", "stock", "--json"), ("castings", "from", "kitchen"),
)  # fmt: skip
CELLS = (
    b"", b"=1+1", b"-", b"1,5", b'"1,500"', b"1e5", b"1e400", b"-1", b"0", b"NaN", b"inf", b"9" * 400, "٣".encode(),
    b"1/2", b"1/0", b"7/8/2026", b"0001-01-01", b"9999-12-31T23:59:59-14:00", b"2026-05-20T24:00", b"2026-02-30", b"\0",
    b"2026-05-20T08:00+24:00", b'"', b'""', b"\xff", b"[", b"{}", b'"{""history"": 5}"', b'"[1,2]"', b'"{""a"": {}}"',
    b'"{""history"": [1, {""did"": ""struck"", ""at"": 5}]}"', b'"{""values"": {""moisture_pct"": ""x""}}"', b"null",
    b"kitchen", b"attic", b"../x", b"feeding", b"move", b"survey", b"sample 0 cm2", b"sample 1e9 cm2", b"12%", b"1_000",
    b"sample 1,500 cm2", b"x" * 200, b"x" * 5000, b"0x10", "²".encode(), b"tare", b"\r", b'"a\nb"', "\u202e".encode(),
    b"abc~", b"'", b"1e-320", b"1e308", b"0.000001", b"true", b"6",
)  # fmt: skip


def everything(folder: Path) -> Session:
    """A farm with a line of nearly every kind, and every setting said."""
    farm = kitchen(folder, days=9)
    write(farm, "kitchen", Kind.WEIGHING, {"amount": "8 kg"})
    write(farm, "kitchen", Kind.SURVEY, {"samples": "12 g; 9 g", "area": "225 cm2"})
    write(farm, "kitchen", Kind.HARVEST, {"castings": "500 g", "moisture": "70", "lot": "may"})
    lots = Lots(farm)
    lots.write("may", LotKind.STEP, {"step": "screened", "mass": "450 g", "volume": "1 L", "moisture": "60"})
    lots.write("may", LotKind.SALE, {"amount": "100 g", "purpose": "=market", "price": "2.50"})
    lots.write("may", LotKind.USE, {"amount": "100 mL", "purpose": "pots"})
    write(farm, "kitchen", Kind.DRAINING, {"amount": "1 cup"})
    write(farm, "kitchen", Kind.FLUFF, {})
    write(farm, "kitchen", Kind.NOTE, {"words": "=a note"})
    set_material(farm, "coffee grounds", ["moisture_pct=50"])
    add_keeper(farm, "Ana")
    for name, words in (
        ("feed-days", "monday"), ("moisture", "75-85"), ("on-hand", "1 kg shredded cardboard"), ("tare", "tub: 240 g"),
        ("bucket", "a: 150 g coffee grounds"), ("away", "2026-07-01 to 2026-07-05: x"),
    ):  # fmt: skip
        change_setting(farm, name, words)
    return farm


@pytest.fixture(scope="module")
def a_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("edited") / "store"
    everything(folder)
    return folder


def places(value: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, each in items:
        yield (*at, name)
        yield from places(each, (*at, name))


def edited(document: Any, dice: random.Random) -> None:
    """One value changed to another that could stand there, to one that could not, or taken out."""
    every = list(places(document))
    *way, last = dice.choice([place for place in every if place[0] != "store" or dice.random() < 0.1] or every)
    held = document
    for name in way:
        held = held[name]
    known = held[last]
    if dice.random() < 0.1:
        del held[last]
    elif isinstance(known, float | int) and not isinstance(known, bool) and dice.random() < 0.7:
        held[last] = known * dice.choice(TIMES)
    else:
        held[last] = dice.choice([each for each in VALUES if type(each) is type(known)] or VALUES)


def test_values_changed_by_hand_never_lead_to_a_traceback(
    a_store: Path, tmp_path: Path, long: bool, turns: Callable[[int], range], tally: Counter[str]
) -> None:
    files = [path for path in a_store.rglob("*.json") if "cache" not in path.parts]
    assert {"farm.json", "2026.json", "2026.slip.json"} <= {path.name for path in files}
    for turn in turns(6000 if long else 20):
        dice = random.Random(f"store {turn}")
        store = tmp_path / "store"
        shutil.copytree(a_store, store)
        path = dice.choice(files)
        document = json.loads(unsealed(path.read_bytes()))
        for _ in range(dice.choice((1, 1, 2))):
            edited(document, dice)
        (store / path.relative_to(a_store)).write_text(json.dumps(document), "utf-8")
        for words in dice.sample(ASKED, 2):
            ran = run(store, *words)
            assert ran.code in (0, 1, 2, 3)
            assert ran.code in (0, 1) or ran.err or words[0] == "store", "refused without a word"
            tally[f"commands that ended with {ran.code}"] += 1
        tally["store files edited by hand"] += 1
        shutil.rmtree(store)


def _in_a_cell(raw: bytes, dice: random.Random) -> bytes:
    lines = raw.split(b"\r\n")
    row = dice.randrange(len(lines))
    cells = lines[row].split(b",")
    cells[dice.randrange(len(cells))] = dice.choice(CELLS)
    lines[row] = b",".join(cells)
    return b"\r\n".join(lines)


def _cut(raw: bytes, dice: random.Random) -> bytes:
    first, last = sorted((dice.randrange(len(raw) + 1), dice.randrange(len(raw) + 1)))
    return raw[:first] + raw[last:] if dice.random() < 0.7 else raw[:last] + raw[first:]


def _a_byte(raw: bytes, dice: random.Random) -> bytes:
    place = dice.randrange(len(raw) + 1)
    return raw[:place] + bytes([dice.randrange(256)]) + raw[place + 1 :]


def _parted(raw: bytes, dice: random.Random) -> bytes:
    return raw.replace(b",", dice.choice((b";", b"\t", b",,", b"|")), dice.choice((1, -1)))


def _as_a_whole(raw: bytes, dice: random.Random) -> bytes:
    text = raw.decode("utf-8", "replace")
    return dice.choice(
        (
            text.encode("utf-16"), b"\xef\xbb\xbf" + raw, raw.replace(b"\r\n", b"\r"), raw.replace(b"\r\n", b"\n"), b"",
            raw + raw, text.encode("latin-1", "replace"),
        )
    )  # fmt: skip


HOW: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _in_a_cell, _in_a_cell, _in_a_cell, _in_a_cell, _in_a_cell, _cut, _a_byte, _parted, _as_a_whole,
)  # fmt: skip


def told_clearly(refused: RefusedError) -> None:
    assert refused.problems
    for problem in refused.problems:
        assert problem.field
        assert problem.allowed
        assert len(problem.sentence()) < 700


def test_log_files_of_any_kind_are_taken_wholly_or_refused_with_their_place(
    a_store: Path, tmp_path: Path, long: bool, turns: Callable[[int], range], tally: Counter[str]
) -> None:
    farm = open_farm(a_store)
    log_files.write_out(farm, tmp_path / "files")
    files = {path.name: path.read_bytes() for path in (tmp_path / "files").iterdir()}
    assert set(files) >= {"bins.csv", "log.csv", "castings.csv", "materials.csv", "settings.csv"}
    before = farm.store.revision()
    incoming, fresh = tmp_path / "in", tmp_path / "fresh"
    incoming.mkdir()
    for turn in turns(12_000 if long else 120):
        dice = random.Random(f"log {turn}")
        name = dice.choice((*sorted(files), "log.csv", "log.csv"))
        mutated = files[name]
        for _ in range(dice.choice((1, 1, 1, 2, 4))):
            mutated = dice.choice(HOW)(mutated, dice)
        for each, raw in files.items():
            (incoming / each).write_bytes(mutated if each == name else raw)
        try:
            if turn % 2:
                log_files.bring_in(farm, incoming, only_try=True)
            else:
                new = open_farm(fresh)
                log_files.bring_in(new, incoming)
                again = open_farm(fresh)
                assert all(again.entries(one.key) == new.entries(one.key) for one in again.bins())
                assert Lots(again).all() == Lots(new).all()
                assert log_files.bring_in(again, incoming).ids == (), "the same twice added something"
                if turn % 40 == 0:
                    rounds.view(again)
        except RefusedError as refused:
            told_clearly(refused)
            assert not fresh.exists(), "refused, and something was written"
            tally["log files refused"] += 1
        else:
            tally["log files taken"] += 1
        shutil.rmtree(fresh, ignore_errors=True)
    assert farm.store.revision() == before


NUMBERS = [
    *((("bins", "1", name), 9e9) for name in ("length_m", "width_m", "depth_m", "area_m2", "site_temp_c", "tare_kg")),
    *((("bins", "1", "harvest_share"), value) for value in (9e9, 1.01, 0.09)),
    (("bins", "1", "compartments"), 6), (("bins", "1", "ended"), "9999-12-31"),
    *((("materials", "1", "values", name), 9e9) for name in OWN_VALUES),
    (("materials", "1", "values", "nitrogen_pct"), 20.1), (("materials", "1", "values", "water_holding"), 0.09),
    (("settings", "1", "moisture_low"), 9e9), (("settings", "1", "moisture_high"), 0.96),
    (("settings", "1", "check_every_days"), 61), (("settings", "1", "tares", "tub"), 9e9),
    (("settings", "1", "on_hand", 0, "kg"), 9e9), (("settings", "1", "on_hand", 0, "shredded_kg"), 9e9),
    (("settings", "1", "on_hand", 0, "used_kg"), 9e9), (("settings", "1", "on_hand", 0, "used_kg"), -1.0),
    (("settings", "1", "measures"), {"handful": "9000 kg"}), (("settings", "1", "measures"), {"handful": "much"}),
]  # fmt: skip


@pytest.mark.parametrize(("place", "value"), NUMBERS, ids=str)
def test_no_number_of_a_bin_or_a_setting_is_without_limits(
    a_store: Path, tmp_path: Path, place: tuple[Any, ...], value: object
) -> None:
    """Named with its place, exit 3; the books are not touched, and are read again once the number is mended."""
    folder = tmp_path / "store"
    shutil.copytree(a_store, folder)
    path = folder / "farm.json"
    good = unsealed(path.read_bytes())
    document = json.loads(good)
    held = document
    for name in place[:-1]:
        held = held[name]
    held[place[-1]] = value
    path.write_text(json.dumps(document))
    ran = run(folder, "round")
    assert (ran.code, ran.out) == (3, "")
    assert "farm.json" in ran.err
    assert "does not fit" in ran.err
    path.write_bytes(good)
    assert run(folder, "log", "kitchen").code == 0
