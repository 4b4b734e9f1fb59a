"""The command line's grammar: how words are refused, the options everywhere, and how a command is described."""

from __future__ import annotations

import argparse
import re
from argparse import Namespace
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NoReturn

from wormbin.cli.call import Call
from wormbin.cli.output import Exit
from wormbin.figures import VOICES

Handler = Callable[[Call], Exit]


class RefusedWordsError(Exception):
    """The words of the command line are not a command: what is wrong, and how to find out what is allowed."""


class Parser(argparse.ArgumentParser):
    """Says what is wrong with the words in one sentence, instead of leaving; no option may be shortened."""

    command = ""
    meant: Parser | None = None

    def __init__(self, *args: Any, **named: Any) -> None:
        super().__init__(*args, **{"allow_abbrev": False, **named})

    def parse_args(self, args: Any = None, namespace: Any = None) -> Any:
        """Keep the command that was said: its own help and example are what a wrong option of it points to."""
        said, self.meant = list[str](), self
        for word in args or ():
            subs = (each.choices for each in self.meant._actions if isinstance(each, argparse._SubParsersAction))
            if (found := next(subs, {}).get(word)) is not None:
                self.meant = found
                said.append(word)
        self.command = " ".join(said)
        return super().parse_args(args, namespace)

    def error(self, message: str) -> NoReturn:
        """Raise instead of printing; a mistyped command is asked about."""
        shown = re.match(r"examples:.*\n +(.+)", (self.meant or self).epilog or "", re.DOTALL)
        example = f" Example: {shown[1]}" if shown else ""
        said = re.match(r"argument COMMAND: invalid choice: '(.*?)' \(choose from (.*)\)", message)
        if said is not None:
            from difflib import get_close_matches

            near = get_close_matches(said[1], re.findall(r"[a-z-]+", said[2]), 2, 0.6)
            mean = f" Did you mean {' or '.join(near)}?" if near else ""
            raise RefusedWordsError(f"No command {said[1]}.{mean}", f"All commands: {self.prog} --help")
        said = re.match(r"argument (\S+): invalid choice: '(.*)' \(choose from (.*)\)", message, re.DOTALL)
        if said is not None:
            allowed = ", ".join(re.findall(r"'(.*?)'", said[3])) or said[3]
            message = f"{said[1].lower()}: “{said[2]}” does not fit. Write one of {allowed}.{example}"
        said = re.match(r"argument (\S+): invalid (int|float) value: '(.*)'", message, re.DOTALL)
        if said is not None:
            kind, example = (
                ("a whole number", "2026" if "year" in said[1] else "12") if said[2] == "int" else ("a number", "1.5")
            )
            message = f"{said[1].lower()}: “{said[3]}” does not fit. Write {kind}. Example: {example}"
        said = re.match(r"unrecognized arguments: ((\S+).*)", message, re.DOTALL)
        if said is not None:
            from difflib import get_close_matches

            word = said[2].partition("=")[0]
            near = [CALLED[word]] if word in CALLED else get_close_matches(word, {*_options(self)} - {word}, 1, 0.7)
            mean = f" Did you mean {near[0]}?" if near else ""
            message = (
                f"No option {said[2]}.{mean or example}"
                if said[2].startswith("-")
                else f"One word too many: “{said[1]}”."
            )
        message = re.sub(r"^one of the arguments (\S+) (\S+) is required", r"Say \1 or \2.", message)
        message = re.sub(r"^the following arguments are required: (.*)", r"Still missing: \1.", message)
        message = re.sub(r"^argument (\S+): expected \S+ arguments?", r"\1 needs a value after it.", message)
        message = re.sub(r"^argument (\S+): not allowed with argument (\S+)", r"Say \1 or \2, not both.", message)
        about = f" {self.command}" if self.command else ""
        raise RefusedWordsError(message, f"Try: {self.prog}{about} --help")


CALLED = {
    "--room": "--site-temp", "--temperature": "--site-temp", "--holes": "--drainage", "--lid": "--cover",
    "--trays": "--compartments", "--bedding": "--beddings", "--date": "--when",
}  # fmt: skip
"""What people call an option, and what it is called."""


def _options(parser: argparse.ArgumentParser) -> Iterator[str]:
    """The options of a parser and of the commands within it."""
    for action in parser._actions:
        yield from (word for word in action.option_strings if word.startswith("--"))
        if isinstance(action, argparse._SubParsersAction):
            for each in {*action.choices.values()} - {None}:
                yield from _options(each)


@cache
def shared(*, top: bool) -> Parser:
    """The options that stand before or after any command."""
    options = Parser(add_help=False, argument_default=None if top else argparse.SUPPRESS)
    group = options.add_argument_group("everywhere")
    group.add_argument(
        "--store", metavar="FOLDER", help="the store to work on (else WORMBIN_STORE, else your data folder)"
    )
    switch = False if top else argparse.SUPPRESS
    group.add_argument("--json", action="store_true", default=switch, help="one JSON document on standard output")
    group.add_argument(
        "--on",
        metavar="DATE",
        help="ask as of this day (2026-03-02, yesterday, saturday); the full screen writes on it, too",
    )
    group.add_argument("--units", choices=("metric", "us"), help="which measures are printed (both are always read)")
    return options


Added = tuple[tuple[str, ...], dict[str, Any]]


@dataclass(frozen=True, slots=True)
class OneOf:
    """Options of which exactly one must be said."""

    options: tuple[Added, ...]


def option(*words: str, **named: Any) -> Added:
    """An option or argument of a command, as ``argparse`` takes it."""
    return words, named


def one_of(*options: Added) -> OneOf:
    """Options of which exactly one must be said."""
    return OneOf(options)


BIN = option("bin", metavar="BIN", help="which bin")


@dataclass(frozen=True, slots=True)
class Command:
    """A command: ``what`` is its line in the list, ``more`` explains it, ``examples`` show it.

    ``writes`` is whether it changes the store, or what tells that from its arguments.
    """

    name: str
    what: str
    run: Handler
    options: tuple[Added | OneOf, ...]
    examples: Sequence[str]
    more: str
    writes: bool | Callable[[Namespace], bool]
    verbs: Commands | None = None
    """The words that it may be followed by, each a command of its own; without one it runs itself."""
    was: str = ""
    """The name that it had before: still understood, and told nowhere."""

    def put(self, parsers: Any) -> Parser:
        """Add it with all its options to the parsers of the program, or of the command that it is a word of."""
        shown = "".join(f"\n  wormbin {example}" for example in self.examples)
        parser: Parser = parsers.add_parser(
            self.name,
            parents=[shared(top=False)],
            help=self.what,
            description=self.what[:1].upper() + self.what[1:] + "." + (f"\n\n{self.more}" if self.more else ""),
            epilog=f"examples:{shown}" if shown else None,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        if self.was:
            parsers._name_parser_map[self.was] = parser
        parser.set_defaults(run=self.run, writes=self.writes)
        for each in self.options:
            if isinstance(each, OneOf):
                group = parser.add_mutually_exclusive_group(required=True)
                for words, named in each.options:
                    group.add_argument(*words, **named)
            else:
                parser.add_argument(*each[0], **each[1])
        if self.verbs is not None:
            what, none = "what to look at or to write", f"without a word: {self.verbs.all[0].what.partition(':')[0]}"
            after = parser.add_subparsers(title=what, metavar="WHAT", dest="what", help=none)
            for verb in self.verbs.all:
                verb.put(after)
        return parser


class Commands:
    """The commands of one module, in the order in which help lists them: each registers itself by ``add``."""

    def __init__(self) -> None:
        self.all: list[Command] = []

    def add(
        self,
        name: str,
        what: str,
        *options: Added | OneOf,
        examples: Sequence[str] = (),
        more: str = "",
        writes: bool | Callable[[Namespace], bool] = False,
        verbs: Commands | None = None,
        was: str = "",
    ) -> Callable[[Handler], Handler]:
        """Register the function below as a command."""

        def register(run: Handler) -> Handler:
            self.all.append(Command(name, what, run, options, examples, more, writes, verbs, was))
            return run

        return register


OPENING = (
    option(
        "--voice", choices=VOICES, default="plain", help="of what is explained: plain words, the sum, or the source"
    ),
    option(
        "--down", metavar="N", type=int, default=0, help="of what is explained: open what goes in N levels more (0)"
    ),
)
"""What every command takes that explains."""
