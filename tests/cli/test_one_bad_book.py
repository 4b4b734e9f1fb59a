"""One bad book stays alone, what is missing is said, and what is said of a save is true."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen, made_once
from wormbin.farm import rounds, starts
from wormbin.farm.recording.lines import write
from wormbin.farm.settings import change_setting
from wormbin.farm.views.proposals import BinDraft
from wormbin.records.entries import Kind
from wormbin.store.file import unsealed

ROOT = Path(__file__).resolve().parents[2]
ANSWERS = (
    ("round",), ("harvests",), ("log", "kitchen"), ("feed", "kitchen", "50 g kale", "--yes"), ("undo",),
    ("calendar", "--out", "-"), ("keepers",), ("keepers", "--add", "Bo"), ("outlook", "kitchen", "--days", "9"),
    ("settings",), ("away", "kitchen", "--from", "2026-06-03", "--until", "2026-06-12"), ("sheet", "kitchen"),
    ("report", "kitchen", "--out", "-"), ("what-if", "kitchen", "--skip", "1"), ("castings", "yields"),
    ("castings", "plan", "--kg", "1", "--by", "2026-12-01"), ("check", "kitchen", "--temp", "21C", "--yes"),
)  # fmt: skip
LISTS = ("round", "harvests", "calendar", "keepers", "settings")


@pytest.fixture
def two_bins(tmp_path: Path) -> Path:
    _two_bins(tmp_path / "store")
    return tmp_path / "store"


@made_once
def _two_bins(folder: Path) -> None:
    farm = kitchen(folder, days=9)
    starts.start(
        farm, BinDraft(key="attic", length="60 cm", width="40 cm", depth="30 cm", worms="300 g", started="2026-05-20")
    )
    write(farm, "kitchen", Kind.MOVE, {"to": "attic", "worms": "20 g"})
    change_setting(farm, "on-hand", "1 kg shredded cardboard")
    rounds.view(farm)


def spoil(store: Path) -> None:
    for path in (store / "bins/attic").glob("*.json"):
        path.write_bytes(path.read_bytes()[:300])


@pytest.mark.parametrize("gone", [False, True], ids=["damaged", "missing"])
def test_the_other_bins_stay_fully_usable_and_every_list_says_what_is_missing(two_bins: Path, gone: bool) -> None:
    spoil(two_bins)
    for path in (two_bins / "bins/attic").glob("*.json") if gone else ():
        path.unlink()
    for words in ANSWERS:
        ran = run(two_bins, *words)
        assert ran.code in (0, 1), (words, ran.err)
        if words[0] in LISTS and words != ("keepers", "--add", "Bo"):
            assert "attic" in ran.out + ran.err, words
            assert "cannot be read" in ran.out + ran.err, words
    for words in (("log", "attic"), ("feed", "attic", "50 g kale", "--yes"), ("move", "kitchen", "attic", "9 g")):
        assert run(two_bins, *words).code == 3, words
    ran = run(two_bins, "round")
    assert "1 bin: " in ran.out
    assert "1 bin cannot be read" in ran.out
    assert "all seen" not in ran.out
    assert run(two_bins, "store", "check").code == 3


def test_an_export_is_made_and_says_which_log_it_lacks(two_bins: Path, tmp_path: Path) -> None:
    spoil(two_bins)
    ran = run(two_bins, "export", str(tmp_path / "out"))
    assert ran.code == 0
    assert "attic cannot be read: these files are without its log" in ran.err
    assert "kitchen" in (tmp_path / "out" / "log.csv").read_text()
    ran = run(two_bins, "import", str(tmp_path / "out"))
    assert ran.code == 0, ran.err
    assert "attic" in ran.err


def test_a_farm_file_that_is_gone_is_not_an_empty_farm(two_bins: Path) -> None:
    (two_bins / "farm.json").unlink()
    for words in (("round",), ("keepers", "--add", "Bo"), ("harvests",)):
        ran = run(two_bins, *words)
        assert (ran.code, ran.out) == (3, ""), words
        assert "the file of bins, keepers and settings is missing, though there are logs of attic, kitchen" in ran.err
    assert not (two_bins / "farm.json").exists()
    assert run(two_bins, "store", "check", "--accept", "farm.json").code == 0
    assert "the farm knows no bin with this key" in run(two_bins, "store", "check").out


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that takes nothing")
@pytest.mark.parametrize(
    ("words", "out"),
    [("note kitchen once", ">/dev/full"), ("keepers --add Bo", ">&-"), ("undo", ">/dev/full"), ("store backup", ">&-")],
)
def test_a_save_whose_answer_cannot_be_printed_says_that_it_is_saved(two_bins: Path, words: str, out: str) -> None:
    run(two_bins, "note", "kitchen", "before")
    ran = subprocess.run(
        ["sh", "-c", f'exec "{sys.executable}" -m wormbin {words} {out}'],
        env={**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(two_bins)},
        stderr=subprocess.PIPE, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert ran.returncode == 0
    assert "saved, but the answer could not be written out" in ran.stderr
    assert "Do not do it again" in ran.stderr
    assert "othing was written" not in ran.stderr


@pytest.mark.parametrize("words", [("note", "kitchen", "Gr\udcf6sse"), ("amend", "abc", "note", "Gr\udcf6sse")])
def test_bytes_that_are_no_letters_are_refused_and_not_dropped(two_bins: Path, words: tuple[str, ...]) -> None:
    ran = run(two_bins, *words)
    assert ran.code == 2
    assert "holds bytes that are no letters" in ran.err
    assert "sse" not in run(two_bins, "log", "kitchen").out


def test_a_keeper_whose_name_holds_such_bytes_is_refused(two_bins: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WORMBIN_KEEPER", "J\udcf6rg")
    assert run(two_bins, "note", "kitchen", "hello").code == 2


def test_a_sample_without_an_area_is_refused_with_a_sentence(two_bins: Path) -> None:
    ran = run(two_bins, "survey", "kitchen", "12 g", "--sample", "0 cm2")
    assert ran.code == 2
    assert "above zero" in ran.err


HOSTILE = {
    "more": lambda raw: raw.replace('"seq": ', '"more": 5, "seq": ', 1),
    "meta": lambda raw: raw.replace("{\n", '{\n"meta": {"1": {}},\n', 1),
    "digits": lambda raw: raw.replace('"1": {', f'"{"9" * 5000}": {{', 2),
    "a number of many digits": lambda raw: raw.replace('"seq": ', f'"seq": {"9" * 5000}', 1),
    "cut": lambda raw: raw[: len(raw) // 2],
}
FILES = ("farm.json", "bins/attic/2026.json", "books.json")


@pytest.mark.parametrize(
    ("file", "how"),
    [
        # Each way once, each file at least once; all of them together at length.
        pytest.param(file, how, marks=[] if at == which % len(FILES) else pytest.mark.long)
        for which, how in enumerate(HOSTILE)
        for at, file in enumerate(FILES)
    ],
)
def test_the_check_survives_every_patient(two_bins: Path, file: str, how: str) -> None:
    path = two_bins / file
    spoilt = HOSTILE[how](unsealed(path.read_bytes()).decode())
    path.write_text(spoilt)
    ran = run(two_bins, "store", "check")
    assert ran.code in (0, 3)
    assert ran.code == 3 or how in ("meta", "more"), "found, and not said by its exit status"
    for words in ANSWERS:
        assert run(two_bins, *words).code in (0, 1, 2, 3)


@pytest.mark.parametrize("name", ["x" * 5000, "a/" * 2500 + "b"], ids=["long", "deep"])
def test_a_path_that_is_too_long_is_refused_with_a_sentence(two_bins: Path, name: str) -> None:
    for words in (("import", name), ("export", name), ("report", "kitchen", "--out", name), ("store", "merge", name),
                  ("calendar", "--out", name), ("store", "restore", name), ("store", "check", "--accept", name),
                  ("--store", name, "round")):  # fmt: skip
        ran = run(two_bins, *words)
        assert ran.code in (2, 3), words
        assert "wormbin: " in {line[:9] for line in ran.err.splitlines()}
        assert words[0] != "import" or "written" not in ran.err
