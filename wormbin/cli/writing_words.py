"""The words of the commands that write: each with its help, its options and its examples."""

from __future__ import annotations

from functools import partial
from typing import Any

from wormbin.cli import writing
from wormbin.cli.grammar import Listing, Options
from wormbin.records.kinds.fields import Command, Description, Of
from wormbin.records.kinds.log import LOG_KINDS, Kind

_BIN_FIELDS = (
    ("name", "NAME", "what people call it"),
    ("length", "60cm", "inside length"),
    ("width", "40cm", "inside width"),
    ("depth", "30cm", "inside depth of the box"),
    ("area", "0.24m2", "surface, instead of length and width"),
    ("litres", "70L", "volume, with the depth, instead of length and width"),
    ("compartments", "1", "trays or halves, 1 to 5"),
    ("drainage", "no", "yes or no: holes at the base"),
    ("cover", "loose", "open, loose or closed"),
    ("species", "eisenia", "eisenia, eudrilus, perionyx or dendrobaena"),
    ("site-temp", "20C", "the room's usual temperature"),
    ("method", "sort", "how castings come off: sort, sideways, upward, bait, screen or flow"),
    ("tare", "2.1kg", "weight of the empty box"),
    ("worms", "500g", "worms to begin with, by weight or number"),
    ("started", "DATE", "the day it begins (today)"),
    ("keeper", "NAME", "who keeps it"),
)


def heading(command: Options, *, compartment: bool = True) -> None:
    """The options of a command that writes: when, who, a note, which line it amends, which compartment."""
    command.set_defaults(writes=True)
    command.add_argument("--when", metavar="WHEN", help="when it was: 2026-03-02T18:10, yesterday, today 7:30 (now)")
    command.add_argument("--by", metavar="NAME", help="who writes (else WORMBIN_KEEPER)")
    command.add_argument("--note", metavar="TEXT", help="anything else worth keeping")
    command.add_argument("--replaces", metavar="ENTRY", help="the id of the line that this one amends")
    if compartment:
        command.add_argument(
            "--compartment", dest="part", metavar="N", help="which tray or half, 1 the lowest or leftmost"
        )


def fields(command: Options, kind: Description[Any]) -> None:
    """The words and options of the command for one kind of line, and its ``--yes``."""
    for each in kind.fields:
        if each.option and each.of in (Of.SWITCH, Of.OUTWARDS):
            command.add_argument(each.option, dest=each.name, action="store_true", help=each.help)
        elif each.option:
            metavar = each.metavar or each.example.partition(" or ")[0].replace(" ", "").upper()
            command.add_argument(each.option, dest=each.name, metavar=metavar, help=each.help)
        elif each.metavar:
            command.add_argument(each.name, metavar=each.metavar, nargs=each.many or None, help=each.help)
    if kind.command is not None and kind.command.yes:
        command.add_argument("--yes", action="store_true", help=kind.command.yes)


def _line(commands: Listing, kind: Description[Kind], line: Command) -> None:
    """The command that writes one kind of line."""
    run = partial(writing.write, kind=kind)
    command = commands.add(line.name, run, line.does, examples=line.examples, more=line.more)
    command.add_argument("bin", metavar="BIN", help=line.bin)
    fields(command, kind)
    if kind.kind is Kind.SURVEY:
        command.add_argument("--try", dest="only_try", action="store_true", help="show the sum and save nothing")
    heading(command)


def add_commands(commands: Listing) -> None:
    """Feed, and every other kind of entry; start, strike, amend, undo."""
    feed = commands.add(
        "feed",
        writing.feed,
        "show what a feeding does to the bin, and save it",
        examples=[
            'feed kitchen "300 g melon rind" "2 cups coffee grounds" --bedding "60 g shredded cardboard"',
            "feed kitchen --same --try",
        ],
        more="Too much is held back: it asks, or ends with 1 when nobody is there to answer.",
    )
    feed.add_argument("bin", metavar="BIN", help="which bin")
    feed.add_argument("portions", metavar="AMOUNT_OF", nargs="*", help='what goes in: "300 g melon rind"')
    feed.add_argument(
        "--bedding", metavar="AMOUNT_OF", action="append", default=[], help="bedding that goes in with it"
    )
    feed.add_argument("--water", metavar="AMOUNT", default="", help="water that goes in with it")
    feed.add_argument("--same", action="store_true", help="the same as last time")
    feed.add_argument("--bucket", metavar="NAME", default="", help="one of the usual buckets (see settings)")
    feed.add_argument("--yes", action="store_true", help="save it even when it is too much")
    feed.add_argument("--try", dest="only_try", action="store_true", help="show what it does and save nothing")
    feed.add_argument("--explain", action="store_true", help="open the amounts to add: inputs, formula and source")
    heading(feed)
    for kind in LOG_KINDS.values():
        if kind.command is not None and kind.kind is not Kind.FEEDING:
            _line(commands, kind, kind.command)

    start = commands.add(
        "start",
        writing.start,
        "begin a new bin: proposes its first bedding, water, worms and feedings",
        examples=[
            'start kitchen --length 60cm --width 40cm --depth 30cm --drainage no --cover loose --worms "500 g"',
            "start kitchen --length 60cm --width 40cm --depth 30cm --yes",
        ],
        more="Shows the proposal; --yes writes the bin with its bedding, water and worms.",
    )
    start.add_argument("bin", metavar="BIN", help="its name in commands: letters, digits, hyphens")
    for name, example, what in _BIN_FIELDS:
        start.add_argument(f"--{name}", metavar=example.upper(), default="", help=what)
    start.add_argument("--yes", action="store_true", help="write it")
    start.set_defaults(writes=lambda args: args.yes)

    strike = commands.add(
        "strike",
        writing.strike,
        "strike a line through; it stays, with the reason",
        examples=['strike 7k2f9q --why "wrong bin"'],
    )
    strike.add_argument("entry", metavar="ENTRY", help="the line's id, or the first letters of it (see log)")
    strike.add_argument("--why", metavar="TEXT", required=True, help="the reason")
    strike.add_argument("--by", metavar="NAME", help="who strikes it (else WORMBIN_KEEPER)")
    strike.add_argument("--yes", action="store_true", help="without asking when another line stands again for it")
    amend = commands.add(
        "amend",
        writing.amend,
        "write a right line for a wrong one, which stays readable",
        examples=["amend 7k2f9q --moisture 72", 'amend 9ab3cd "200 g melon rind"'],
        more="What follows ENTRY is what the command of its kind takes; what is not said again stays as it was.",
    )
    amend.add_argument("entry", metavar="ENTRY", help="the line's id, or the first letters of it (see log)")
    amend.add_argument("rest", metavar="...", nargs="...", help="what is right")
    undo = commands.add("undo", writing.undo, "take the last change back (it is struck, not lost)", examples=["undo"])
    undo.add_argument("--by", metavar="NAME", help="who takes it back (else WORMBIN_KEEPER)")
    redo = commands.add("redo", writing.redo, "do again what undo took back last", examples=["redo"])
    redo.add_argument("--by", metavar="NAME", help="who does it again (else WORMBIN_KEEPER)")
    for command in (strike, undo, redo):
        command.set_defaults(writes=True)
