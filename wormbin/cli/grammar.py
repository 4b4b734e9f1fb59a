"""The command line's grammar: the program, its shared options (before or after the command), and how help reads."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Sequence
from typing import NoReturn

from wormbin.cli.desk import Desk
from wormbin.cli.exits import Exit

Handler = Callable[[Desk], Exit]

HELP = """\
wormbin keeps a worm bin's log, works out what is going on inside, warns in time, and says when there are castings.

Without a command it opens the full-screen program on your store (standard output must be a terminal; else it prints
the round)."""

EPILOG = """\
examples:
  wormbin demo seller                              look round a made-up farm of eight bins
  wormbin start kitchen --length 60cm --width 40cm --depth 30cm --drainage no --worms "500 g" --yes
  wormbin feed kitchen "300 g melon rind" "2 cups coffee grounds" --bedding "60 g shredded cardboard"
  wormbin check kitchen --squeeze sponge --temp 21C --left 30%
  wormbin round                                    what each bin needs today, worst first

amounts   300 g, 1.5 kg, 2 cups, 1/2 lb, 3 qt, 5 gal, 72F, 21C, 18 cm: always with their unit
days      2026-03-02, today, yesterday, saturday; times 2026-03-02T18:10 (10/11 is asked about, never guessed)
store     --store, else WORMBIN_STORE, else your user data folder; WORMBIN_KEEPER says who writes
exit      0 done · 1 held back, nothing saved (--yes saves it) · 2 not understood · 3 store not usable · 130 stopped
"""


_VALUED = ("--store", "--on", "--units")


class RefusedWordsError(Exception):
    """The words of the command line are not a command: what is wrong, and how to find out what is allowed."""


class Parser(argparse.ArgumentParser):
    """Says what is wrong with the words in one sentence, instead of printing usage and leaving."""

    def error(self, message: str) -> NoReturn:
        """Raise instead of printing; a mistyped command is asked about."""
        said = re.match(r"argument COMMAND: invalid choice: '(.*?)' \(choose from (.*)\)", message)
        if said is not None:
            from difflib import get_close_matches

            near = get_close_matches(said[1], re.findall(r"[a-z-]+", said[2]), 2, 0.6)
            mean = f"; did you mean {' or '.join(near)}?" if near else ""
            raise RefusedWordsError(f"“{said[1]}” is no command{mean}", f"All commands: {self.prog} --help")
        said = re.match(r"argument (\S+): invalid choice: '(.*)' \(choose from (.*)\)", message, re.DOTALL)
        if said is not None:
            allowed = ", ".join(re.findall(r"'(.*?)'", said[3])) or said[3]
            message = f"{said[1].lower()}: “{said[2]}” was read; allowed is one of {allowed}"
        said = re.match(r"argument (\S+): invalid (int|float) value: '(.*)'", message, re.DOTALL)
        if said is not None:
            kind, example = (
                ("a whole number", "2026" if "year" in said[1] else "12") if said[2] == "int" else ("a number", "1.5")
            )
            message = f"{said[1].lower()}: “{said[3]}” was read; allowed is {kind}. Example: {example}"
        message = re.sub(r"^unrecognized arguments: (.*)", r"“\1” is too much", message, flags=re.DOTALL)
        message = re.sub(r"^one of the arguments (\S+) (\S+) is required", r"\1 or \2 is needed", message)
        message = re.sub(r"^the following arguments are required: (.*)", r"nothing was read for \1", message)
        raise RefusedWordsError(message, f"Try: {self.prog} --help")


def shared(*, top: bool) -> Parser:
    """The options that stand before or after any command."""
    options = Parser(add_help=False, argument_default=None if top else argparse.SUPPRESS)
    group = options.add_argument_group("everywhere")
    group.add_argument(
        "--store", metavar="FOLDER", help="the store to work on (else WORMBIN_STORE, else your data folder)"
    )
    switch = False if top else argparse.SUPPRESS
    group.add_argument("--json", action="store_true", default=switch, help="one JSON document on standard output")
    group.add_argument("--on", metavar="DATE", help="ask as of this day (2026-03-02, yesterday, saturday)")
    group.add_argument("--units", choices=("metric", "us"), help="which measures are printed (both are always read)")
    return options


class _Elsewhere:
    """Stands for a command that is not the one asked for: takes its options and forgets them, since they cost time."""

    def add_argument(self, *_words: object, **_named: object) -> None:
        """Forget an option."""

    def add_mutually_exclusive_group(self, **_named: object) -> _Elsewhere:
        """Forget a group."""
        return self

    def set_defaults(self, **_named: object) -> None:
        """Forget defaults."""


Options = Parser | _Elsewhere


class Commands:
    """Adds commands to the program, each with its help, its examples and its handler.

    With ``only`` the other commands are listed by name and line alone.
    """

    def __init__(self, top: Parser, only: str | None = None) -> None:
        self._sub = top.add_subparsers(title="commands", metavar="COMMAND", dest="command", parser_class=Parser)
        self._shared = shared(top=False)
        self._only = only

    def add(self, name: str, run: Handler, what: str, *, examples: Sequence[str] = (), more: str = "") -> Options:
        """A command: ``what`` is its line in the list, ``more`` explains it, ``examples`` show it."""
        if self._only is not None and name != self._only:
            self._sub.add_parser(name, help=what, add_help=False)
            return _Elsewhere()
        shown = "".join(f"\n  wormbin {example}" for example in examples)
        command: Parser = self._sub.add_parser(
            name,
            parents=[self._shared],
            help=what,
            description=what[:1].upper() + what[1:] + "." + (f"\n\n{more}" if more else ""),
            epilog=f"examples:{shown}" if shown else None,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        command.set_defaults(run=run)
        return command


def command_in(words: Sequence[str]) -> str:
    """The first word that is neither an option nor an option's value; "" when there is none."""
    skip = False
    for word in words:
        if skip:
            skip = False
        elif word in _VALUED:
            skip = True
        elif not word.startswith("-"):
            return word
    return ""


def parser(words: Sequence[str] | None = None) -> Parser:
    """The program's parser: whole, or with the options of the one command that ``words`` hold."""
    from wormbin import __version__
    from wormbin.cli import asking, castings_words, keeping, report_words, store_words, trying, writing_words

    top = Parser(
        prog="wormbin",
        description=HELP,
        epilog=EPILOG,
        parents=[shared(top=True)],
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"wormbin {__version__}")
    commands = Commands(top, None if words is None else command_in(words))
    for group in (asking, report_words, writing_words, castings_words, trying, keeping, store_words):
        group.add_commands(commands)
    return top
