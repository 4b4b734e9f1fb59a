"""``--help`` teaches: every command and every option is there, with what it does; shared options go anywhere."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from tests.cli.running import run
from wormbin.cli.grammar import Parser
from wormbin.cli.program import parser

COMMANDS = {
    name: each
    for action in parser()._actions
    if isinstance(action, argparse._SubParsersAction)
    for name, each in action.choices.items()
}
VERBS = {
    f"{name} {word}": verb
    for name, each in list(COMMANDS.items())
    for action in each._actions
    if isinstance(action, argparse._SubParsersAction)
    for word, verb in action.choices.items()
    if verb.prog.endswith(f" {word}")  # not the name that it had before
}
"""With the words that a command has of its own: castings sell, castings show ..."""
AGREED = {
    "round", "feed", "check", "start", "stock", "bedding", "water", "drain", "weigh", "survey", "fluff", "move",
    "harvest", "note", "amend", "strike", "undo", "what-if", "settings", "keepers", "log", "mix", "trial", "outlook",
    "away", "castings",
    "emergency", "troubles", "catch-up", "use", "completion",
    "harvests", "calendar", "sheet", "report", "materials", "import", "export", "store", "demo",
}  # fmt: skip


def test_every_agreed_command_is_there() -> None:
    assert set(COMMANDS) >= AGREED


def test_the_programs_help_names_every_command_and_the_exit_codes() -> None:
    text = parser().format_help()
    for name in COMMANDS:
        assert f"    {name} " in text, name
    for name in VERBS:
        command, verb = name.split(" ")
        assert f"    {verb} " in COMMANDS[command].format_help(), name
    for code in ("0 done", "1 held back", "2 not understood", "3 store not usable", "130 stopped"):
        assert code in text


@pytest.mark.parametrize("name", sorted(COMMANDS | VERBS))
def test_every_option_says_what_it_does_and_every_command_shows_an_example(name: str) -> None:
    command: Parser = (COMMANDS | VERBS)[name]
    text = command.format_help()
    assert f"wormbin {name}" in (command.epilog or ""), "an example"
    assert "%%" not in text
    for action in command._actions:
        assert action.help, f"{name} {action.dest} is undocumented"
        for option in action.option_strings:
            assert option in text
    assert command.description


@pytest.mark.parametrize("name", sorted(COMMANDS | VERBS))
def test_every_example_of_the_help_is_understood(name: str) -> None:
    import shlex

    for line in ((COMMANDS | VERBS)[name].epilog or "").splitlines():
        if line.strip().startswith("wormbin "):
            args = parser().parse_args(shlex.split(line)[1:])
            assert args.command == name.split(" ")[0]
            assert name in COMMANDS or args.what == name.split(" ")[1]


@pytest.mark.parametrize("words", [("--json", "round"), ("round", "--json"), ("--on", "yesterday", "round", "--json")])
def test_shared_options_stand_before_or_after_the_command(store: Path, words: tuple[str, ...]) -> None:
    assert run(store, *words).out.startswith("{")


def test_no_option_is_shortened_and_no_placeholder_is_an_example(store: Path) -> None:
    assert run(store, "feed", "kitchen", "100 g kale", "--tr").code == 2
    for name, command in (COMMANDS | VERBS).items():
        for action in command._actions:
            place = str(action.metavar or "")
            assert not any(letter.isdigit() for letter in place.replace("M2", "")), f"{name} {place}"


def test_help_and_version_end_with_nothing_wrong(store: Path) -> None:
    assert run(store, "--help").code == 0
    assert run(store, "feed", "--help").code == 0
    assert run(store, "--version").out.startswith("wormbin ")
