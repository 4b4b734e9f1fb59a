"""Each promise of the store names the tests that hold it, and these tests are there."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

TESTS = Path(__file__).resolve().parent.parent
PROMISES = files("wormbin.store").joinpath("promises.md").read_text(encoding="utf-8")


def test_every_named_test_is_there() -> None:
    there = {
        name
        for folder in ("store", "faults", "castings", "farm", "cli", "screens")
        for path in (TESTS / folder).glob("test_*.py")
        for name in re.findall(r"^(?:async )?def (test_\w+)\(", path.read_text(encoding="utf-8"), re.MULTILINE)
    }
    named = set(re.findall(r"`(test_\w+)`", PROMISES))
    assert len(named) >= 40
    assert named <= there, f"promised and not held: {sorted(named - there)}"


def test_every_promise_names_a_test() -> None:
    promised, _, limits = PROMISES.partition("## What it does not promise")
    assert limits
    for promise in re.split(r"^- ", promised, flags=re.MULTILINE)[1:]:
        assert "`test_" in promise, f"nothing holds: {promise.splitlines()[0]}"


def test_the_store_is_about_a_dozen_files_none_of_them_long() -> None:
    lengths = [len(each.read_text("utf-8").splitlines()) for each in files("wormbin.store").iterdir()
               if each.name.endswith(".py")]  # fmt: skip
    assert len(lengths) <= 15
    assert max(lengths) <= 400
