"""What every test may use: the ``--long`` option, a way to print figures, and never the keeper's own store."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

import pytest
from hypothesis import settings

from tests.second_line import KEPT, waits


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="run the fault tests and studies at their full length")
    parser.addoption("--more", action="store_true", help="run also what a neighbour holds already, at its usual length")
    parser.addoption("--part", default="1/1", help="play only this part of the numbered cases, as 3/8: parts add up")


def pytest_configure(config: pytest.Config) -> None:
    # A fifth of the usual random cases keeps the whole run short, and the same ones each time, so that red always means
    # a change; --long runs more of them, and other ones each time.
    for name, cases in {"quick": 20, "more": 100}.items():
        settings.register_profile(name, max_examples=cases, deadline=None, derandomize=True, database=None)
    settings.register_profile("long", max_examples=400, deadline=None)
    settings.load_profile(next((name for name in ("long", "more") if config.getoption(f"--{name}")), "quick"))
    if not config.getoption("--long"):
        os.fsync = lambda fd: None  # what is on the disk at a power cut no test here can see; it costs a minute
    # What is compiled once is not compiled again by each worker and each program that a test starts.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    sys.dont_write_bytecode = False
    # No test may ever come near the store of the person who runs it.
    os.environ["WORMBIN_STORE"] = str(Path(tempfile.gettempdir()) / "wormbin-tests-never-make-this")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--long"):
        return
    there = {item.nodeid.removeprefix("tests/").partition("[")[0] for item in items}
    files = {each.partition("::")[0] for each in there}
    gone = [each for each in KEPT if each not in there and each.partition("::")[0] in files]
    if gone and not config.args[0].count("::"):
        raise pytest.UsageError(f"tests/second_line.py names what is no test: {gone}")
    asked = config.getoption("markexpr") or ""
    for item in items:  # by marker: a keyword is also the name of any folder on the way here
        if item.get_closest_marker("long"):
            item.add_marker(pytest.mark.skip(reason="runs only with --long"))
        elif (item.get_closest_marker("more") or waits(item.nodeid)) and not config.getoption("--more"):
            item.add_marker(pytest.mark.skip(reason="runs only with --more, or with --long"))
        elif item.get_closest_marker("benchmark") and "benchmark" not in asked:
            item.add_marker(pytest.mark.skip(reason="runs only with -m benchmark, or with --long"))
        elif "screens" in item.path.parts and "size1" in item.name:  # journeys at the smaller size hold the keys
            item.add_marker(pytest.mark.skip(reason="the larger screen runs only with --long"))
        elif "[seller" in item.name and not {"cli", "advice", "worlds"} & set(item.path.parts):
            # Eight bins over a year take half a minute a question; the one bin and the two are asked the same.
            item.add_marker(pytest.mark.skip(reason="the largest sample log runs only with --long"))


@pytest.fixture
def long(request: pytest.FixtureRequest) -> bool:
    """Whether the tests run at their full length."""
    return bool(request.config.getoption("--long"))


@pytest.fixture
def turns(request: pytest.FixtureRequest) -> Callable[[int], range]:
    """Which of so many numbered cases are played: each, or those of ``--part``."""
    part, parts = map(int, str(request.config.getoption("--part")).split("/"))
    return lambda count: range(part - 1, count, parts)


@pytest.fixture(scope="session")
def say(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Print figures past pytest's capture, so that they are seen in every run."""
    capture = request.config.pluginmanager.get_plugin("capturemanager")

    def _say(text: str) -> None:
        with capture.global_and_fixture_disabled() if capture is not None else nullcontext():
            print(f"\n  {text}", flush=True)

    return _say
