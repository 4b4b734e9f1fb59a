"""Plays a situation: brings its bin in, writes its lines by commands, and asks."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from collections.abc import Iterator, Set
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.cli.running import run
from tests.farm.a_farm import NOW
from tests.situations.kept import KEY, Base, files
from tests.situations.situation import Ask, Line, Situation

WITHOUT_BIN = ("round", "harvests", "settings", "calendar")
ASKING = ("round", "harvests", "calendar", "away", "outlook", "sheet")
GROUNDS = frozenset(("source", "sure", "name"))
"""Keys of a document that say where a thing comes from, not what it is or what to do."""
_WHY = re.compile(r"^ +(?:why|source): .*\n(?:^ {7,}.*\n)*", re.MULTILINE)


class UnwrittenError(Exception):
    """A line of the log that the program did not take."""


@dataclass(frozen=True, slots=True)
class Said:
    """All that came of one question: as text and as a document, with the exit status."""

    code: int
    text: str
    page: dict[str, Any] = field(default_factory=dict)
    err: str = ""

    @property
    def bin(self) -> dict[str, Any]:
        """The bin's row of a round; the document itself of anything else."""
        rows = self.page.get("bins")
        return rows[0] if rows else self.page

    @property
    def words(self) -> str:
        """Everything that is said, once as text in one line, and each sentence of the document."""
        return "\n".join((" ".join(self.text.split()), *strings(self.page, GROUNDS)))

    @property
    def told(self) -> str:
        """The same without the grounds, which may quote what a source says of other bins."""
        return "\n".join((" ".join(_WHY.sub("", self.text).split()), *strings(self.page, GROUNDS | {"why"})))

    @property
    def now(self) -> list[str]:
        """What to do now, each step once: nothing that is dated later or told to a neighbour."""
        row = self.bin
        found = [*row.get("do", ()), *row.get("also", ()), *row.get("before", ())]
        found += [step for each in row.get("findings", ()) for step in each["do"]]
        return list(dict.fromkeys(found))

    @property
    def steps(self) -> list[str]:
        """What to do now, later, and by whom."""
        later = [step["what"] for step in self.bin.get("steps", ())]
        return [*self.now, *self.bin.get("neighbour", ()), *later]


def strings(value: Any, without: Set[str]) -> Iterator[str]:
    """Every sentence of a document, but for those under some keys."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for name, each in value.items():
            if name not in without:
                yield from strings(each, without)
    elif isinstance(value, list):
        for each in value:
            yield from strings(each, without)


class Stage:
    """A folder in which bins are brought in once and copied for each situation that begins with them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.brought: dict[str, Path] = {}

    def store(self, base: Base, name: str) -> Path:
        """A store of its own that holds the bin of ``base``."""
        known = repr(base)
        if known not in self.brought:
            self.brought[known] = self._bring(base, self.folder / f"base-{len(self.brought)}")
        mine = self.folder / name
        shutil.copytree(self.brought[known], mine)
        return mine

    def _bring(self, base: Base, store: Path) -> Path:
        rows = store.with_name(f"{store.name}-files")
        rows.mkdir(parents=True)
        for name, text in zip(("bins.csv", "log.csv"), files(base, NOW.date()), strict=True):
            (rows / name).write_text(text, "utf-8")
        ran = run(store, "import", str(rows))
        if ran.code:
            raise UnwrittenError(ran.err)
        run(store, "round")
        return store


def write(store: Path, line: Line) -> None:
    """One line of a log, with "yes" where the program asks. Raises UnwrittenError."""
    before, time, said = line
    words = shlex.split(said)
    day = NOW.date() + timedelta(days=before)
    if words[0] not in WITHOUT_BIN:
        words.insert(1, KEY)
        words += ["--when", f"{day}T{time}"]
    ran = run(store, *words)
    if ran.code == 1:
        ran = run(store, *words, "--yes")
    if ran.code:
        raise UnwrittenError(f"not written: {said}: {' '.join(ran.err.split())}")


def ask(store: Path, question: Ask | str) -> Said:
    """What is answered to a question, once as text and once as a document."""
    words = shlex.split(question if isinstance(question, str) else question.words)
    if words[0] not in WITHOUT_BIN:
        words.insert(1, KEY)
    text = run(store, *words)
    page = document(store, *words) if words[0] in ASKING or "--try" in words else {}
    return Said(text.code, text.out, page, text.err)


def document(store: Path, *words: str) -> dict[str, Any]:
    """The answer to a question as a document alone; empty where there is none."""
    page = run(store, *words, "--json").out
    return json.loads(page) if page.startswith("{") else {}


def play(situation: Situation, stage: Stage, name: str) -> Iterator[tuple[Ask, Said]]:
    """Each question of a situation with its answer. Raises UnwrittenError."""
    store = stage.store(situation.base, name)
    for line in sorted(situation.log, key=_moment):
        write(store, line)
    for question in situation.asks:
        yield question, ask(store, question)


def _moment(line: Line) -> tuple[int, str]:
    return line[0], line[1]
