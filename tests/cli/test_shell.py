"""What a shell asks: how a line goes on, by the table of commands and by what is in the store; and a manual page."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.cli.running import run
from wormbin.cli.program import GROUPS
from wormbin.cli.shell import SCRIPTS

NAMES = {each.name for _, modules in GROUPS for module in modules for each in module.COMMANDS.all}


def finished(store: Path, *line: str) -> list[str]:
    ran = run(store, "completion", "words", "--", *line)
    assert (ran.code, ran.err) == (0, "")
    return [each.partition("\t")[0] for each in ran.out.splitlines()]


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        (("fe",), ["feed"]),
        (("feed", ""), ["kitchen"]),
        (("feed", "kitchen", "--tr"), ["--try"]),
        (("check", "kitchen", "--squeeze", "d"), ["dry", "damp", "dripping"]),
        (("--units", ""), ["metric", "us"]),
        (("castings", "sh"), ["show"]),
        (("settings", "feed-"), ["feed-days"]),
        (("demo", "s"), ["seller"]),
        (("nothing-like-it", ""), []),
    ],
)
def test_a_line_is_finished(store: Path, line: tuple[str, ...], offered: list[str]) -> None:
    assert finished(store, *line) == offered


def test_two_dashes_alone_offer_the_options(store: Path) -> None:
    assert {"--json", "--bedding"} <= set(finished(store, "feed", "--"))
    assert "--bedding" not in finished(store, "--")
    assert "--json" in finished(store, "--")


def test_the_first_word_may_be_any_command_and_a_line_to_strike_any_of_the_last(store: Path) -> None:
    assert set(finished(store, "")) == NAMES
    newest = json.loads(run(store, "log", "kitchen", "--json").out)["entries"][-1]
    assert finished(store, "strike", "")[0] == newest["entry"]


def test_a_store_that_is_not_there_finishes_commands_and_makes_nothing(tmp_path: Path) -> None:
    assert finished(tmp_path / "none", "feed", "") == []
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize("shell", sorted(SCRIPTS))
def test_what_a_shell_reads_is_written_as_it_reads_it(store: Path, shell: str) -> None:
    script = run(store, "completion", shell).out
    assert "wormbin completion words" in script
    if shutil.which(shell):
        done = subprocess.run([shell, "-n"], input=script, capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")


def test_the_manual_has_every_command_with_its_options_and_examples(store: Path) -> None:
    page = run(store, "completion", "man").out
    assert page.startswith(".TH WORMBIN 1")
    for name in NAMES:
        assert f".SS wormbin {name}".replace("-", "\\-") in page
    assert "\\-\\-squeeze" in page
    if man := shutil.which("groff"):
        done = subprocess.run([man, "-man", "-Tutf8", "-ww"], input=page, capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize(
    "line", [("feed", "kitchen", "lots"), ("feed", "kitchen", "--nothing"), ("round", "--on", "soon")]
)
def test_what_is_wrong_is_one_line_of_json_where_json_is_asked_for(store: Path, line: tuple[str, ...]) -> None:
    ran = run(store, *line, "--json")
    assert (ran.code, ran.out) == (2, "")
    (told,) = ran.err.splitlines()
    assert json.loads(told)["error"]
    assert run(store, *line).err.startswith("wormbin: ")


def test_bad_days_have_their_commands(store: Path) -> None:
    assert "1 Stop feeding." in run(store, "emergency").out
    assert "white or brown mites" in run(store, "troubles", "kitchen", "--seen", "mites").out
    assert run(store, "troubles", "kitchen").code == 2
    assert "No days are missing" in run(store, "catch-up", "kitchen").out
    assert run(store, "catch-up", "kitchen", "--not-known").code == 2
    ran = run(store, "catch-up", "kitchen", "--fed", "2026-05-31", "--bucket", "300 g kale")
    assert "1 feeding caught up" in ran.out
