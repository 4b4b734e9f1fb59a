"""Files that no program of ours wrote: a sentence naming the place, never a traceback, and nothing is overwritten."""

from __future__ import annotations

import os
import random
import shutil
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.faults.disks import MemoryDisk
from tests.faults.scenes import ROOT, begin, opened, state
from tests.store.lines import AT, harvest, note, sale
from wormbin.problems import RefusedError
from wormbin.store import Store, StoreError, backup
from wormbin.store.file import unsealed

HEAD = '{"store": {"1": {"format": 3, "bin": "kitchen", "year": 2026, "seq": 1}}, "entries": '
LINE = '{"id": "a", "bin": "kitchen", "when": "2026-03-02T18:10:00+00:00", "kind": "note", "note": "n"}'
HOSTILE: dict[str, bytes] = {
    "empty": b"",
    "blank": b" \n\t",
    "zeros": bytes(300),
    "latin-1": HEAD.encode() + b'{"1": {"id": "a", "note": "K\xfcche"}}}',
    "utf-16": (HEAD + "{}}").encode("utf-16"),
    "deep nesting": b"[" * 200_000 + b"]" * 200_000,
    "deep in a line": HEAD.encode() + b'{"1": {"id": "a", "x": ' + b"[" * 60 + b"]" * 60 + b"}}}",
    "a list": b"[]",
    "a word": b"null",
    "a name twice": (HEAD + '{"1": ' + LINE.replace('"note": "n"', '"note": "n", "note": "m"') + "}}").encode(),
    "a number twice": (HEAD + '{"1": ' + LINE + ', "1": ' + LINE.replace('"a"', '"b"') + "}}").encode(),
    "an id twice": (HEAD + '{"1": ' + LINE + ', "2": ' + LINE + "}}").encode(),
    "NaN": (HEAD + '{"1": ' + LINE.replace('"n"', "NaN") + "}}").encode(),
    "infinity": (HEAD + '{"1": ' + LINE.replace('"n"', "-Infinity") + "}}").encode(),
    "1e999": (HEAD + '{"1": ' + LINE.replace('"n"', "1e999") + "}}").encode(),
    "5000 digits": (HEAD + '{"1": ' + LINE.replace('"n"', "9" * 5000) + "}}").encode(),
    "half a letter": (HEAD + '{"1": ' + LINE.replace('"n"', '"\\ud83e"') + "}}").encode(),
    "a wrong type": (HEAD + '{"1": ' + LINE.replace('"n"', "7") + "}}").encode(),
    "no offset": (HEAD + '{"1": ' + LINE.replace("+00:00", "") + "}}").encode(),
    "no id": (HEAD + '{"1": {"bin": "kitchen"}}}').encode(),
    "an id like a path": (HEAD + '{"1": ' + LINE.replace('"a"', '"../../x"') + "}}").encode(),
    "another bin's line": (HEAD + '{"1": ' + LINE.replace('"kitchen"', '"attic"') + "}}").encode(),
    "another bin's book": HEAD.replace("kitchen", "attic").encode() + b"{}}",
    "a document that is no object": (HEAD + '{"1": 5}}').encode(),
    "a table that is no object": (HEAD + "[1, 2]}").encode(),
    "a document without a number": (HEAD + '{"x": ' + LINE + "}}").encode(),
    "no header": b'{"entries": {}}',
    "no format": b'{"store": {"1": {"seq": 1}}}',
    "a format in words": b'{"store": {"1": {"format": "two", "seq": 1}}}',
    "a format below one": b'{"store": {"1": {"format": 0, "seq": 1}}}',
    "a newer format": HEAD.replace('"format": 3', '"format": 4').encode() + b"{}}",
    "no sequence number": HEAD.replace('"seq": 1', '"seq": true').encode() + b"{}}",
    "a wrong checksum": HEAD.replace('"format"', '"sum": "00000000", "format"').encode() + b"{}}",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_book_is_refused_with_a_sentence(tmp_path: Path, name: str, tally: Counter[str]) -> None:
    Store.open(tmp_path).record([note("b", bin_key="attic")])
    path = tmp_path / "bins/kitchen/2026.json"
    path.parent.mkdir()
    path.write_bytes(HOSTILE[name])
    store = Store.open(tmp_path)
    acts: list[Callable[[], object]] = [lambda: store.entries("kitchen"), lambda: store.record([note("z")])]
    for act in acts:
        with pytest.raises(StoreError) as error:
            act()
        assert str(error.value).startswith(str(path))
        assert error.value.do
    assert path.read_bytes() == HOSTILE[name]
    assert [line.id for line in store.entries("attic")] == ["b"]
    report = store.check()
    assert not report.sound
    assert any(flaw.path == path for flaw in report.flaws)
    tally["hostile files"] += 1


@pytest.mark.parametrize("name", [name for name in HOSTILE if "book" not in name and "bin" not in name])
@pytest.mark.parametrize("file", ["farm.json", "redo.json", "books.json", "bins/kitchen/2026.slip.json"])
def test_no_hostile_file_leads_to_a_traceback_and_a_look_finds_each(
    tmp_path: Path, name: str, file: str, tally: Counter[str]
) -> None:
    Store.open(tmp_path).record([note("a1")])
    path = tmp_path / file
    hostile = HOSTILE[name].replace(b'"seq": 1', b'"seq": 9, "onto": 1')
    path.write_bytes(hostile)
    _use(lambda: Store.open(tmp_path))
    assert path.read_bytes() == hostile
    assert not Store.open(tmp_path).check().sound, "not found"
    tally["hostile files"] += 1


@pytest.mark.parametrize("seq", [b"1e999", b"[" * 2000 + b"]" * 2000, b"9" * 5000, b"null", b'"x"'])
def test_a_header_that_cannot_be_read_does_not_keep_the_changes_from_being_asked_for(
    tmp_path: Path, seq: bytes, tally: Counter[str]
) -> None:
    Store.open(tmp_path).record([note("a1")])
    path = tmp_path / "bins/kitchen/2026.json"
    raw = unsealed(path.read_bytes())
    assert b'"seq": 1' in raw.split(b"\n")[2], "the header stands in the third line"
    path.write_bytes(raw.replace(b'"seq": 1', b'"seq": ' + seq, 1))
    store = Store.open(tmp_path)
    assert len(store.changes()) <= 1
    with pytest.raises((StoreError, RefusedError)):
        store.undo("by", AT)
    tally["hostile files"] += 1


def _use(opener: Callable[[], Store]) -> int:
    """Ask a store for everything it can do; how many of these were refused with a sentence."""
    store = opener()
    refused = 0
    for act in (
        store.farm,
        lambda: store.entries("kitchen"),
        lambda: store.entries("attic"),
        lambda: store.find("a"),
        store.lot_lines,
        store.revision,
        store.changes,
        store.check,
        lambda: store.strike("a1", "why", "by", AT),
        lambda: store.undo("by", AT),
        lambda: store.record([note("zz")]),
        lambda: store.record(harvest("zy")),
        lambda: store.strike("h1", "why", "by", AT),
        lambda: store.change_farm(lambda farm: farm),
        store.backup,
        lambda: [store.restore_plan(name) for name in store.backups()],
        store.merge_plan,
    ):
        with suppress(StoreError, RefusedError):
            act()
            continue
        refused += 1
    return refused


@pytest.mark.skipif(sys.platform == "win32", reason="needs links and pipes")
@pytest.mark.parametrize(
    "file", ["farm.json", "redo.json", "bins/kitchen/2026.json", "bins/kitchen/2026.slip.json", "castings/2026.json"]
)
@pytest.mark.parametrize("kind", ["folder", "loop", "link", "pipe"])
def test_what_is_no_plain_file_is_refused_and_never_waited_for(
    tmp_path: Path, file: str, kind: str, tally: Counter[str]
) -> None:
    Store.open(tmp_path / "s").record([note("b", bin_key="attic")])
    path = tmp_path / "s" / file
    path.parent.mkdir(exist_ok=True)
    path.unlink(missing_ok=True)
    if kind == "folder":
        path.mkdir()
    elif kind == "loop":
        path.symlink_to(path)
    elif kind == "link":
        (tmp_path / "elsewhere").write_text("secret")
        path.symlink_to(tmp_path / "elsewhere")
    else:
        os.mkfifo(path)
    assert _use(lambda: Store.open(tmp_path / "s")) >= 1
    if kind == "link":
        assert (tmp_path / "elsewhere").read_text() == "secret"
    tally["hostile files"] += 1


def test_a_store_folder_that_is_no_folder_is_refused(tmp_path: Path) -> None:
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    with pytest.raises(StoreError, match="loop"):
        Store.open(loop)
    Store.open(tmp_path / "real").record([note("a")])
    (tmp_path / "link").symlink_to(tmp_path / "real")
    store = Store.open(tmp_path / "link")
    store.record([note("b")])
    assert len(Store.open(tmp_path / "real").entries("kitchen")) == 2


@pytest.mark.skipif(sys.platform == "win32", reason="needs links")
@pytest.mark.parametrize("folder", ["bins", "bins/kitchen", "castings"])
def test_a_link_in_the_place_of_a_folder_is_refused(tmp_path: Path, folder: str, tally: Counter[str]) -> None:
    store = Store.open(tmp_path / "s")
    store.record(harvest("h"))
    (tmp_path / "s" / folder).rename(tmp_path / "elsewhere")
    (tmp_path / "s" / folder).symlink_to(tmp_path / "elsewhere")
    before = {path: path.read_bytes() for path in (tmp_path / "elsewhere").rglob("*.json")}
    store = Store.open(tmp_path / "s")
    acts: list[Callable[[], object]] = [lambda: store.record(harvest("h2")), lambda: store.strike("h", "x", "", AT)]
    for act in acts:
        with pytest.raises(StoreError, match="plain folders only"):
            act()
    assert not store.check().sound
    assert {path: path.read_bytes() for path in (tmp_path / "elsewhere").rglob("*.json")} == before
    tally["hostile files"] += 1


@pytest.mark.skipif(sys.platform == "win32", reason="needs links")
def test_nothing_behind_a_link_among_the_bins_is_read_swept_copied_or_moved(tmp_path: Path) -> None:
    """A look says that it is a link, and ends with 3; what it leads to stays out of it."""
    store = Store.open(tmp_path / "s")
    store.record(harvest("h"))
    theirs = tmp_path / "theirs"
    shutil.copytree(store.folder / "bins/kitchen", theirs)
    copy = theirs / "2026 (conflicted copy).json"
    shutil.copy(theirs / "2026.json", copy)
    (theirs / ".diary.txt.99999999-abc.part").write_text("not the store's")
    before = {path.name: path.read_bytes() for path in theirs.iterdir()}
    (store.folder / "bins/attic").symlink_to(theirs)
    ran = run(store.folder, "store", "check")
    assert ran.code == 3
    assert "bins/attic: this is a link or a file, and the store keeps plain folders only" in ran.out
    assert "diary" not in ran.out
    assert run(store.folder, "store", "merge").code == 2, "no copy of the store's lies there"
    assert run(store.folder, "store", "backup").code == 0
    assert not [path for path in (store.folder / "backups").rglob("*") if path.name == "attic"]
    assert {path.name: path.read_bytes() for path in theirs.iterdir()} == before


def test_mutated_files_of_every_kind_never_lead_to_a_traceback(long: bool, tally: Counter[str]) -> None:
    disk = MemoryDisk(ROOT.parent)
    store = opened(disk)
    begin(store)
    store.record(harvest("h1"))
    store.record([sale("s1")])
    store.backup()
    now = state(opened(disk.copy()))
    files = {name: raw for name, raw in disk.files().items() if not name.endswith(".previous")}
    assert any(backup.FOLDER in name for name in files)
    dice = random.Random(7)
    runs = 20_000 if long else 150
    for turn in range(runs):
        name = dice.choice(sorted(files))
        seal = turn % 2 == 0
        raw = files[name] if seal else unsealed(files[name])
        mutated = _mutate(raw, dice)
        trial = disk.copy()
        trial.damage(Path(name), mutated)
        store = opened(trial)
        if seal and f"/{backup.FOLDER}/" not in name and b'"sum": ' in mutated:
            try:
                found = state(opened(trial.copy()))
            except (StoreError, RefusedError):
                tally["mutations refused"] += 1
                assert not opened(trial.copy()).check().sound, f"refused, and not found by a look: {name} {mutated!r}"
            else:
                assert found == now, f"silently wrong: {name} {mutated!r}"
        _use(lambda trial=trial: opened(trial))  # type: ignore[misc]
        tally["mutations"] += 1


WORDS = (b"null", b"[]", b"{}", b'""', b"-1", b"1e400", b"true", b"\xff", b"\\u0000")
NAMES = (b'"id"', b'"when"', b'"seq"', b'"kind"', b'"format"', b'"1"', b": ")
YEARS = (b"2025", b"0", b"99999", b"[2026]")


def _mutate(raw: bytes, dice: random.Random) -> bytes:
    for _ in range(dice.randint(1, 3)):
        place, other = sorted((dice.randrange(len(raw) + 1), dice.randrange(len(raw) + 1)))
        kind = dice.randrange(7)
        if kind == 0:
            raw = raw[:place] + raw[other:]
        elif kind == 1:
            raw = raw[:other] + raw[place:]
        elif kind == 2:
            raw = raw[:place] + bytes([dice.randrange(256)]) + raw[place + 1 :]
        elif kind == 3:
            raw = raw[:place] + dice.choice(WORDS) + raw[place:]
        elif kind == 4:
            raw = raw.replace(dice.choice(NAMES), b'"x"', 1)
        elif kind == 5:
            lines = raw.split(b"\n")
            dice.shuffle(lines)
            raw = b"\n".join(lines)
        else:
            raw = raw.replace(b"2026", dice.choice(YEARS), dice.randint(1, 3))
        if not raw:
            return raw
    return raw
