"""The command line's behaviour as files that a person can read: input, expected output, exit status."""

from __future__ import annotations

import shlex
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.cli.running import run

CASES = Path(__file__).parent / "cases"


@dataclass(slots=True)
class Case:
    words: str
    code: int = 0
    out: list[str] = field(default_factory=list)
    err: list[str] = field(default_factory=list)
    no_out: bool = False
    no_err: bool = False


def read(path: Path) -> list[Case]:
    cases: list[Case] = []
    for line in path.read_text("utf-8").splitlines():
        mark, _, rest = line.partition(" ")
        if mark == "$":
            cases.append(Case(rest))
        elif mark == "?":
            cases[-1].code = int(rest)
        elif mark == ">":
            cases[-1].out.append(rest)
        elif mark == "!":
            cases[-1].err.append(rest)
        elif mark == ".":
            cases[-1].no_out = True
        elif mark == ",":
            cases[-1].no_err = True
        else:
            assert not line or mark == "#", f"{path.name}: {line!r} is no line of a case"
    return cases


EVERY = [
    pytest.param(case, id=f"{path.stem}: {case.words[:60]}")
    for path in sorted(CASES.glob("*.txt"))
    for case in read(path)
]


@pytest.mark.parametrize("case", EVERY)
def test_a_command_answers_as_written_down(case: Case, store: Path) -> None:
    ran = run(store, *shlex.split(case.words))
    shown = f"\n{ran.out}\n--\n{ran.err}"
    assert ran.code == case.code, shown
    flat_out, flat_err = " ".join(ran.out.split()), " ".join(ran.err.split())
    for piece in case.out:
        assert " ".join(piece.split()) in flat_out, piece + shown
    for piece in case.err:
        assert " ".join(piece.split()) in flat_err, piece + shown
    assert not (case.no_out and ran.out), shown
    assert not (case.no_err and ran.err), shown


@pytest.mark.more
def test_what_is_held_back_or_refused_or_tried_changes_no_file(store: Path) -> None:
    def files() -> dict[str, bytes]:
        return {
            str(path.relative_to(store)): path.read_bytes()
            for path in sorted(store.rglob("*"))
            if path.is_file() and "cache" not in path.parts
        }

    before = files()
    for param in EVERY:
        case = param.values[0]
        assert isinstance(case, Case)
        if case.code in (1, 2) or "--try" in case.words:
            run(store, *shlex.split(case.words))
            assert files() == before, case.words
