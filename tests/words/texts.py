"""Everything that the program says, gathered where it is said: played, refused, explained, and as it stands in code."""

from __future__ import annotations

import ast
import re
import shlex
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.cli.running import run
from tests.cli.test_cases import CASES, read
from tests.cli.test_help import COMMANDS, VERBS
from tests.golden.answers import LOGS, kept
from tests.situations.playing import Stage, document, play
from tests.situations.situation import every

PACKAGE = Path(__file__).parents[2] / "wormbin"
SLIPS = Path(__file__).parent / "slips.txt"
"""Commands with a fault each, one a line: what is refused."""
PARTS = ("what", "why", "sure")


@dataclass(frozen=True, slots=True)
class Text:
    """Some words, the room that says them, and where."""

    room: str
    where: str
    words: str


def ended(words: str) -> str:
    """A part of a finding as the sentence that it is."""
    words = words.strip()
    return words if not words or words[-1] in ".!?" else f"{words}."


def of_findings(page: Any) -> Iterator[Text]:
    """Every finding of a document, each as its parts one after the other."""
    if isinstance(page, list):
        for each in page:
            yield from of_findings(each)
    elif isinstance(page, dict):
        if {"code", "what", "why", "do"} <= page.keys():
            said = (*(page.get(part, "") for part in PARTS), *page["do"])
            yield Text("findings", page["code"], " ".join(ended(each) for each in said if each))
        for each in page.values():
            yield from of_findings(each)


def kept_findings() -> Iterator[Text]:
    """The findings among the answers that are kept, of the sample logs and a third of the situations."""
    for name in (*LOGS, "situations"):
        yield from of_findings(kept(name))


def played_findings(folder: Path) -> Iterator[Text]:
    """The findings of every situation."""
    stage = Stage(folder)
    for number, each in enumerate(every()):
        for _asked, said in play(each, stage, str(number)):
            yield from of_findings(said.page)
        yield from of_findings(document(folder / str(number), "round"))


def refusals(store: Path) -> Iterator[Text]:
    """What is said to every command with a fault, of the cases and of the slips."""
    wrong = [case.words for path in sorted(CASES.glob("*.txt")) for case in read(path) if case.code]
    for line in (*wrong, *SLIPS.read_text("utf-8").splitlines()):
        if line and not line.startswith("#"):
            said = run(store, *shlex.split(line)).err.replace(str(store), "STORE")
            yield Text("refusals", line, said.removeprefix("wormbin: ").strip())


def helps() -> Iterator[Text]:
    """What help says of each command and option, without usage lines and examples."""
    for name, command in (COMMANDS | VERBS).items():
        yield Text("help", name, command.description or "")
        for action in command._actions:
            if isinstance(action.help, str):
                yield Text("help", f"{name} {'/'.join(action.option_strings) or action.dest}", action.help)


def in_code(*rooms: str) -> Iterator[Text]:
    """Every piece of text of three words or more that stands in the code of some rooms, with … for what is put in."""
    for room in rooms:
        for path in sorted((PACKAGE / room).rglob("*.py")):
            for line, words in _strings(ast.parse(path.read_text("utf-8"))):
                if len(re.findall(r"[A-Za-z…]{2,}", words)) > 2:
                    yield Text(room, f"{path.relative_to(PACKAGE)}:{line}", " ".join(words.split()))


def _strings(tree: ast.AST) -> Iterator[tuple[int, str]]:
    quiet = {
        id(each.value) for each in ast.walk(tree) if isinstance(each, ast.Expr) and isinstance(each.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            quiet |= {id(each) for each in ast.walk(node) if each is not node}
            if id(node) not in quiet:
                parts = (str(each.value) if isinstance(each, ast.Constant) else "…" for each in node.values)
                yield node.lineno, "".join(parts)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in quiet:
            yield node.lineno, node.value


def once(texts: Iterable[Text]) -> list[Text]:
    """Each once, whatever its figures: "40 g" and "60 g" of one sentence are one text."""
    seen: dict[str, Text] = {}
    for each in texts:
        seen.setdefault(f"{each.room} {re.sub(r'[0-9][0-9.,]*', '#', each.words)}", each)
    return list(seen.values())
