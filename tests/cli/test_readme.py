"""Every command that README shows is one that the program understands."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from wormbin.cli.program import parser

README = Path(__file__).resolve().parents[2] / "README.md"
SHOWN = sorted(
    {
        line
        for block in re.findall(r"```sh\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
        for line in block.splitlines()
        if line.startswith("wormbin ")
    }
    | set(re.findall(r"`(wormbin(?: [a-z-]+)+)`", README.read_text(encoding="utf-8")))
)


def test_readme_shows_commands() -> None:
    assert len(SHOWN) > 12


@pytest.mark.parametrize("line", SHOWN)
def test_a_command_of_readme_is_understood(line: str) -> None:
    words = [word for word in shlex.split(line, comments=True)[1:] if word != "--help"]
    if words and "--help" not in line:
        assert callable(parser(words).parse_args(words).run)
    else:
        assert all(word in parser().format_help() for word in words)
