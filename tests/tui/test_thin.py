"""The screens stay thin: what they may import, how long the program itself may grow, and what a start may load."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path

import pytest
from textual.filter import LineFilter
from textual.message import Message
from textual.message_pump import MessagePump

TUI = Path(__file__).resolve().parents[2] / "wormbin" / "tui"
MODULES = sorted(TUI.rglob("*.py"))
KEPT_OUT = ("wormbin.store", "wormbin.science", "wormbin.process", "tinydb")


def imported(path: Path) -> set[str]:
    """Every module named in an import of a file, wherever it stands in it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{each.name}" for each in node.names)}
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(TUI).as_posix())
def test_no_screen_knows_what_lies_under_the_farm(path: Path) -> None:
    assert not [name for name in imported(path) if name.startswith(KEPT_OUT)]


def test_the_program_itself_stays_short() -> None:
    assert len((TUI / "app.py").read_text("utf-8").splitlines()) < 280


def test_a_start_with_a_front_page_loads_neither_the_store_nor_the_model() -> None:
    code = (
        "import sys, wormbin.__main__, wormbin.tui.terminal, wormbin.tui.screens.round, wormbin.tui.screens.bin\n"
        "print(*[name for name in sys.modules if name.startswith("
        "('wormbin.store.store', 'tinydb', 'wormbin.process.replay', 'wormbin.advice.rules', 'wormbin.farm.session',"
        " 'wormbin.records.entries', 'wormbin.science', 'wormbin.materials', 'argparse'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []


def _our_classes() -> list[type]:
    for path in MODULES:
        importlib.import_module(".".join(("wormbin", *path.relative_to(TUI.parent).with_suffix("").parts)))
    found: list[type] = []
    waiting: list[type] = [MessagePump, LineFilter, Message]
    while waiting:
        below: list[type] = waiting.pop().__subclasses__()
        waiting += below
        found += [each for each in below if each.__module__.startswith("wormbin.tui")]
    return found


def test_nothing_private_of_the_framework_is_overridden() -> None:
    ours = _our_classes()
    assert len(ours) > 40
    overridden = [
        f"{each.__name__}.{name}"
        for each in ours
        for name, what in vars(each).items()
        if name.startswith("_") and not name.startswith("__") and getattr(what, "__module__", "").startswith("wormbin")
        if any(name in vars(base) for base in each.__mro__ if base.__module__.startswith("textual"))
    ]
    assert not overridden
