"""The command line as a whole: words to a command, what went wrong to an exit code."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from errno import EBADF
from typing import TYPE_CHECKING

from wormbin import __version__
from wormbin.cli import asking, bins, castings, feedstock, keeping, shell, trying, writing
from wormbin.cli.asking import without_command
from wormbin.cli.call import Call, Clock, Screen
from wormbin.cli.grammar import Parser, RefusedWordsError, shared
from wormbin.cli.output import Exit, ask_words, complain, complain_in_json, tell

if TYPE_CHECKING:
    from argparse import Namespace

    from wormbin.problems import Problem


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
store     --store, else WORMBIN_STORE, else your user data folder
set       WORMBIN_STORE the folder; WORMBIN_KEEPER who writes; WORMBIN_ASCII=1 plain signs; NO_COLOR or FORCE_COLOR;
          COLUMNS how wide; TERM, LC_ALL what your terminal can show
exit      0 done · 1 held back, nothing saved (--yes saves it) · 2 not understood · 3 store not usable · 130 stopped
"""
GROUPS = (
    ("look", (asking,)), ("write down", (writing, bins)), ("plan", (trying,)), ("sell", (castings, feedstock)),
    ("keep", (keeping, shell)),
)  # fmt: skip
"""The modules of the commands, by what one wants to do."""
_VALUED = ("--store", "--on", "--units")


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


def listed() -> str:
    """Every command with what it does, by what one wants to do."""
    lines = []
    for title, modules in GROUPS:
        lines.append(f"to {title}:")
        lines += [f"    {each.name:<11} {each.what}" for module in modules for each in module.COMMANDS.all]
    return "\n".join(lines)


def parser(words: Sequence[str] | None = None) -> Parser:
    """The program's parser: whole, or with the options of the one command that ``words`` hold, since all cost time."""
    top = Parser(
        prog="wormbin",
        description=f"{HELP}\n\n{listed()}",
        epilog=EPILOG,
        parents=[shared(top=True)],
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.set_defaults(whole=parser)
    top.add_argument("--version", action="version", version=f"wormbin {__version__}")
    all_of_them = "one of those above; wormbin COMMAND --help tells its options"
    parsers = top.add_subparsers(
        title="commands", metavar="COMMAND", dest="command", parser_class=Parser, help=all_of_them
    )
    only = None if words is None else command_in(words)
    for command in (each for _, modules in GROUPS for module in modules for each in module.COMMANDS.all):
        if only in (None, command.name):
            command.put(parsers)
        else:
            # Known by name only: sixty parsers cost 10 ms.
            parsers._name_parser_map.setdefault(command.name, None)  # type: ignore[arg-type]
    return top


def main(argv: Sequence[str] | None = None, *, clock: Clock | None = None, screen: Screen | None = None) -> int:
    """Run one command; the exit status. ``clock`` stands in for the machine's; ``screen`` opens the full screen."""
    try:
        return int(_main(argv, clock, screen))
    except KeyboardInterrupt:
        complain("stopped; nothing is half saved")
        return Exit.INTERRUPTED
    except BrokenPipeError:
        # The reader has seen enough. Standard output is pointed elsewhere, or the interpreter complains on its way out.
        with open(os.devnull, "w") as nowhere:  # noqa: PTH123
            os.dup2(nowhere.fileno(), sys.stdout.fileno())
        return Exit.DONE


def _main(argv: Sequence[str] | None, clock: Clock | None, screen: Screen | None) -> Exit:
    try:
        words = sys.argv[1:] if argv is None else argv
        complain_in_json("--json" in words)
        call = Call(words, lambda said: parser(said).parse_args(said), clock, screen)
    except RefusedWordsError as error:
        complain(*error.args)
        return Exit.NOT_UNDERSTOOD
    except SystemExit as leave:
        sys.stdout.flush()
        return Exit(leave.code if isinstance(leave.code, int) else 0)
    if unreadable := next(_no_letters(call.args), ""):
        complain(
            f"“{unreadable}” holds bytes that are no letters in UTF-8, the letters that this terminal should write",
            "Set the terminal, or LC_ALL, to the letters it really writes. Then say it again.",
        )
        return Exit.NOT_UNDERSTOOD
    from wormbin.problems import RefusedError

    try:
        code = _run(call) if call.args.command else without_command(call)
        call.tell_what_is_left_out()
        call.output.close()
        if sys.stdout is None and call.saved:
            raise OSError(EBADF, "standard output is closed")
        return code
    except RefusedWordsError as error:  # an amendment's words are another command's
        complain(*error.args)
        return Exit.NOT_UNDERSTOOD
    except RefusedError as error:
        complain(str(error) if call.units != "us" else str(RefusedError(map(_in_us, error.problems))))
        return Exit.NOT_UNDERSTOOD
    except BrokenPipeError:
        raise
    except OSError as error:
        if not call.saved:
            return _failed(error)
        complain(
            f"saved, but the answer could not be written out: {(error.strerror or str(error)).lower()}",
            f"Do not do it again. What was done: {'; '.join(call.saved)}",
        )
        return Exit.DONE
    except Exception as error:
        return _failed(error)


def _run(call: Call) -> Exit:
    """Run it; what can be said once is asked for where a person is there to answer, kept, and all is done again."""
    from wormbin.problems import MissingError

    try:
        return call.run()
    except MissingError as missing:
        from wormbin.farm.materials import answered, asked

        once = asked(missing)
        words = ask_words(f"{once.question} (for example: {once.example})")
        if not words:
            raise
        tell(answered(call.farm, missing, words, call.keeper).sentence)
    return _run(call)


def _no_letters(args: Namespace) -> Iterator[str]:
    """The words that hold bytes which are no letters. Paths may: a file system knows only bytes."""
    words = [os.environ.get("WORMBIN_KEEPER", "")]
    for name, said in vars(args).items():
        if name not in ("store", "folder", "out", "accept"):
            words += said if isinstance(said, list) else [said] if isinstance(said, str) else []
    for word in words:
        if any("\ud800" <= letter <= "\udfff" for letter in word):
            yield word.encode("utf-8", "replace").decode("utf-8")


def _in_us(problem: Problem) -> Problem:
    """A refusal with what is allowed told in US measures; what was read stays as it was typed."""
    from wormbin.measures import told

    return replace(problem, allowed=told(problem.allowed, "us"), example=told(problem.example, "us"))


def _failed(error: Exception) -> Exit:
    """Held back, or a store that could not be used; anything else is a fault of the program and is not hidden."""
    from wormbin.farm.errors import HeldBackError, StoreError

    if isinstance(error, HeldBackError):
        tell(error.preview.lines)
        complain(f"{error.preview.verdict}.", "Nothing was saved. Already in? --yes writes it down.")
        return Exit.HELD_BACK
    if isinstance(error, StoreError):
        complain(str(error))
        return Exit.NO_STORE
    if isinstance(error, OSError):
        place = f"{str(error.filename)[:600]}: " if error.filename else ""
        complain(
            f"{place}{(error.strerror or str(error)).lower()}", "Nothing was changed. Choose another, or look at it."
        )
        return Exit.NO_STORE
    raise error
