"""All commands together: the program's parser, with the options of the one command that is asked for."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from wormbin import __version__
from wormbin.cli import asking, bins, castings, feedstock, keeping, shell, trying, writing
from wormbin.cli.grammar import Parser, shared

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
