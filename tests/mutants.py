"""Wrong programs made on purpose, and which of them no test finds: ``python -m tests.mutants [COUNT] [ROOM ...]``.

Each is held only against tests that run its line, by coverage; all happens in a copy of the tree.
"""

from __future__ import annotations

import ast
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import coverage
import pytest

ROOMS = ("advice", "schedule", "castings", "science", "store")
BESIDE = ("tests/published", "tests/process", "tests/situations", "tests/cli/test_castings.py")
"""Tests that hold these rooms from outside; a run of some rooms alone goes by their own tests."""
SHARE, BUDGET_S, LIMIT_S = 0.2, 30.0, 240
"""How far a number is changed, the seconds of tests that a mutant is held against, and when it counts as hanging."""
_PAIRS = ((ast.Lt, ast.GtE), (ast.Gt, ast.LtE), (ast.Eq, ast.NotEq), (ast.Is, ast.IsNot), (ast.In, ast.NotIn))
_FLIPS: dict[type[ast.cmpop], type[ast.cmpop]] = dict((*_PAIRS, *(pair[::-1] for pair in _PAIRS)))
_took: dict[str, float] = {}


# As a plug-in this module tells coverage which test runs, and leaves how long each took.
def pytest_runtest_logstart(nodeid: str) -> None:
    running = coverage.Coverage.current()
    if running:
        running.switch_context(nodeid)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    _took[report.nodeid] = _took.get(report.nodeid, 0.0) + report.duration


def pytest_sessionfinish() -> None:
    if coverage.Coverage.current() is not None:
        Path("took.json").write_text(json.dumps(_took), "utf-8")


@dataclass(frozen=True, slots=True)
class Mutant:
    path: Path
    line: int
    first: int
    last: int
    new: str
    names: tuple[str, ...]


def mutants(path: Path) -> Iterator[Mutant]:
    text = path.read_bytes()
    starts = [0, *(found.end() for found in re.finditer(rb"\n", text))]

    def visit(node: ast.AST, names: tuple[str, ...]) -> Iterator[Mutant]:
        if isinstance(node, ast.JoinedStr):
            return
        if isinstance(node, ast.Assign | ast.AnnAssign) and not names and node.col_offset == 0:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names = tuple(name.id for each in targets for name in ast.walk(each) if isinstance(name, ast.Name))
        if isinstance(node, ast.expr):
            first = starts[node.lineno - 1] + node.col_offset
            last = starts[(node.end_lineno or node.lineno) - 1] + (node.end_col_offset or 0)
            for new in _changed(node):
                yield Mutant(path, node.lineno, first, last, new, names)
        for field, value in ast.iter_fields(node):
            if field not in ("decorator_list", "annotation", "returns"):
                for child in value if isinstance(value, list) else [value]:
                    if isinstance(child, ast.AST):
                        yield from visit(child, names)

    yield from visit(ast.parse(text), ())


def _changed(node: ast.expr) -> Iterator[str]:
    match node:
        case ast.Constant(value=bool() as value):
            yield repr(not value)
        case ast.Constant(value=int() as value):
            yield from (repr(value + max(1, round(SHARE * value))), repr(value - max(1, round(SHARE * value))))
        case ast.Constant(value=float() as value):
            yield from (f"{value * (1 + SHARE) or 0.1:.6g}", f"{value * (1 - SHARE) or -0.1:.6g}")
        case ast.Compare(left, [op], right) if type(op) in _FLIPS:
            yield f"({ast.unparse(ast.Compare(left, [_FLIPS[type(op)]()], right))})"
        case ast.BoolOp(op, values):
            yield f"({ast.unparse(ast.BoolOp(ast.Or() if isinstance(op, ast.And) else ast.And(), values))})"
        case ast.UnaryOp(ast.Not(), operand):
            yield f"({ast.unparse(operand)})"


def _tests_of(mutant: Mutant, seen: coverage.CoverageData, took: dict[str, float], root: Path) -> list[str]:
    places = [(mutant.path, mutant.line)]
    for path in (root / "wormbin").rglob("*.py") if mutant.names else ():
        lines = enumerate(path.read_text("utf-8").splitlines(), 1)
        places += [(path, n) for n, line in lines if any(re.search(rf"\b{name}\b", line) for name in mutant.names)]
    found = {test for path, n in places for test in seen.contexts_by_lineno(str(path)).get(n, ())} & set(took)
    if len(found) < 2:  # run when its module is loaded: what uses the module may find it
        found = {test for tests in seen.contexts_by_lineno(str(mutant.path)).values() for test in tests} & set(took)
    room = f"tests/{mutant.path.relative_to(root / 'wormbin').parent.as_posix()}"
    chosen: list[str] = []
    for test in sorted(found, key=lambda each: (mutant.path.stem not in each, room not in each, took[each])):
        if sum(map(took.__getitem__, chosen)) + took[test] <= BUDGET_S:
            chosen.append(test)
    return chosen


def main(count: int, *only: str) -> int:
    rooms = only or ROOMS
    tests = [*(f"tests/{room}" for room in rooms), *(() if only else BESIDE)]
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "tree"
        shutil.copytree(".", root, ignore=shutil.ignore_patterns(".git", ".*_cache", "__pycache__"))
        run: dict[str, Any] = {"cwd": root, "stdout": subprocess.DEVNULL}
        run["env"] = env = {**os.environ, "PYTHONPATH": str(root)}
        pytest_words = ["-m", "pytest", "-q", "-x", "-p", "no:cacheprovider"]
        watch = ["-m", "coverage", "run", "--source=wormbin", *pytest_words[:-2], "-p", "tests.mutants", *tests]
        subprocess.run([sys.executable, *watch], check=True, **run)
        seen, took = coverage.CoverageData(str(root / ".coverage")), json.loads((root / "took.json").read_text("utf-8"))
        seen.read()
        env["PYTHONDONTWRITEBYTECODE"] = "1"  # the date of a file is told to the second only
        files = (path for room in rooms for path in sorted((root / "wormbin" / room).rglob("*.py")))
        every = [each for path in files for each in mutants(path)]
        alive = 0
        for each in random.Random(1).sample(every, min(count, len(every))):
            chosen, right = _tests_of(each, seen, took, root), each.path.read_bytes()
            each.path.write_bytes(right[: each.first] + each.new.encode() + right[each.last :])
            try:
                words = [sys.executable, *pytest_words, *chosen]
                lives = not chosen or not subprocess.run(words, timeout=LIMIT_S, check=False, **run).returncode
            except subprocess.TimeoutExpired:
                lives = False
            each.path.write_bytes(right)
            alive += lives
            if lives:
                where, old = each.path.relative_to(root), " ".join(right[each.first : each.last].decode().split())
                print(f"{where}:{each.line}: {old} -> {each.new} ({len(chosen)} tests)", flush=True)
        print(f"{count - alive} of {count} found, of {len(every)} that could be made")
        return alive


if __name__ == "__main__":
    sys.exit(min(1, main(int(sys.argv[1]) if len(sys.argv) > 1 else 150, *sys.argv[2:])))
