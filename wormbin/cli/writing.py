"""The commands that write one line of the log, or strike one through."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from wormbin import farm, pages
from wormbin.cli.call import Call, documents_of, page_of
from wormbin.cli.grammar import BIN, OPENING, Added, Commands, option
from wormbin.cli.output import Exit, ask, complain, tell
from wormbin.farm import logbook, recording
from wormbin.farm.recording.lines import record_feeding, write as write_line
from wormbin.figures import Level
from wormbin.records.kinds.castings import LOT_KINDS, LotKind
from wormbin.records.kinds.fields import SEVERAL, Description, Of
from wormbin.records.kinds.log import LOG_KINDS, Kind

if TYPE_CHECKING:
    from wormbin.farm.feedings import FeedingPreview


COMMANDS = Commands()
BOOK_COMMANDS = {"lot": "castings", "load": "loads", "pile": "piles", "cost": "costs", "order": "orders"}
"""The command that each sort of line in the castings book is written with."""
BIN_FIELDS = (
    ("name", "NAME", "what people call it"),
    ("length", "LENGTH", "inside length, 60cm or 2ft"),
    ("width", "LENGTH", "inside width"),
    ("depth", "LENGTH", "inside depth of the box"),
    ("area", "AREA", "surface, 0.24m2, instead of length and width"),
    ("litres", "VOLUME", "volume, 70L, with the depth, instead of length and width"),
    ("compartments", "N", "trays or halves, 1 to 5"),
    ("drainage", "{yes,no}", "yes or no: holes at the base"),
    ("cover", "{open,loose,closed}", "how it is covered"),
    ("species", "{eisenia,eudrilus,perionyx,dendrobaena}", "which worms"),
    ("site-temp", "TEMPERATURE", "20C or 68F: the room's usual temperature"),
    ("method", "{sort,sideways,upward,bait,screen,flow}", "how castings come off"),
    ("tare", "WEIGHT", "weight of the empty box"),
    ("worms", "AMOUNT", "worms to begin with, by weight or number"),
    ("started", "DATE", "the day it begins (today)"),
    ("keeper", "NAME", "who keeps it"),
    ("beddings", "MATERIALS", "the only beddings it is to get, parted by commas"),
    ("feeds", "MATERIALS", "the only feeds it is to get"),
    ("running", "DEPTH", "it runs already: how deep what stands in it is, 25cm"),
    ("feed-days", "WEEKDAYS", "its own feeding days (else the farm's)"),
)
HEADING = (
    option("--when", metavar="WHEN", help="when it was: 2026-03-02T18:10, yesterday, today 7:30 (now)"),
    option("--by", metavar="NAME", help="who writes (else WORMBIN_KEEPER)"),
    option("--note", metavar="TEXT", help="anything else worth keeping"),
    option("--replaces", metavar="ENTRY", help="the id of the line that this one amends"),
)  # fmt: skip
"""When, who, a note, which line it amends: of every command that writes a line."""
_PART = option("--compartment", dest="part", metavar="N", help="which tray or half, 1 the lowest or leftmost")
_TRY = option("--try", dest="only_try", action="store_true", help="show the sum and save nothing")
_ENTRY = option("entry", metavar="ENTRY", help="the line's id, or the first letters of it (see log)")


PLACES = {
    Of.SHARE: "PER_CENT", Of.TEMPERATURE: "TEMPERATURE", Of.LENGTH: "LENGTH", Of.AREA: "AREA", Of.MASS: "WEIGHT",
    Of.OVEN: "WEIGHT", Of.VOLUME: "VOLUME", Of.NUMBER: "NUMBER", Of.WORDS: "WORDS",
}  # fmt: skip
"""What stands in help for what a field holds; an example is told beside it."""


def options_of(kind: Description[Any]) -> tuple[Added, ...]:
    """The words and options of the command for one kind of line, its ``--yes`` and its heading."""
    found: list[Added] = []
    for each in kind.fields:
        if each.option and each.of in (Of.SWITCH, Of.OUTWARDS):
            found.append(option(each.option, dest=each.name, action="store_true", help=each.help))
        elif each.option:
            listed = "{" + ",".join(each.choice) + "}" if each.choice is not None else ""
            metavar = each.metavar or listed or PLACES.get(each.of, each.name.replace("_", "-").upper())
            found.append(option(each.option, dest=each.name, metavar=metavar, help=each.help))
        elif each.metavar:
            found.append(option(each.name, metavar=each.metavar, nargs=each.many or None, help=each.help))
    if kind.command is not None and kind.command.yes:
        found.append(option("--yes", action="store_true", help=kind.command.yes))
    return (*found, *HEADING)


@COMMANDS.add(
    "feed",
    "show what a feeding does to the bin, and save it",
    BIN,
    option("portions", metavar="AMOUNT_OF", nargs="*", help='what goes in: "300 g melon rind"'),
    option("--bedding", metavar="AMOUNT_OF", action="append", default=[], help="bedding that goes in with it"),
    option("--water", metavar="AMOUNT", default="", help="water that goes in with it"),
    option("--same", action="store_true", help="the same as last time"),
    option("--bucket", metavar="NAME", default="", help="one of the usual buckets (see settings)"),
    option("--yes", action="store_true", help="save it even when it is too much"),
    option("--try", dest="only_try", action="store_true", help="show what it does and save nothing"),
    option("--explain", action="store_true", help="explain the amounts to add: what went in, formula and source"),
    *OPENING,
    *HEADING,
    _PART,
    examples=[
        'feed kitchen "300 g melon rind" "2 cups coffee grounds" --bedding "60 g shredded cardboard"',
        "feed kitchen --same --try",
    ],
    more="Too much is held back: it asks, or ends with 1 when nobody is there to answer.",
    writes=True,
)
def feed(call: Call) -> Exit:
    """Show what a feeding does, hold it back when it is too much, save it."""
    args, session = call.args, call.farm
    portions = list(args.portions)
    if args.bucket:
        portions += farm.feedings.bucket(session, args.bucket)
    if args.same:
        portions += farm.feedings.last_bucket(session, args.bin)
    preview = farm.feedings.preview(
        session, args.bin, portions, bedding=args.bedding, water=args.water, heading=call.heading
    )
    if args.only_try:
        return _told(call, preview)
    if preview.too_much and not args.yes:
        _told(call, preview)
        if not ask("Save it all the same?"):
            complain(f"{preview.verdict}.", "Nothing was saved. Already in? --yes writes it down.")
            return Exit.HELD_BACK
    if not call.name_kept():
        return Exit.HELD_BACK
    recorded = record_feeding(
        session, args.bin, portions, bedding=args.bedding, water=args.water, heading=call.heading, anyway=True
    )
    _told(call, preview, recorded.ids)
    if not call.output.json:
        call.recorded(recorded)
        if preview.done and preview.level is Level.ACT and preview.total_kg > preview.up_to_kg:
            tell("Written down: it is done; too much was given.")
    return Exit.DONE


def _told(call: Call, preview: FeedingPreview, ids: Sequence[str] = ()) -> Exit:
    """What the feeding does; with ``--explain`` what to add is opened below."""
    opened = preview.opened if call.args.explain else ()
    page = [
        *pages.feeding.bucket(preview, bedding=True),
        *pages.feeding.feeding(preview),
        *([pages.page.GAP] * bool(opened)),
        *page_of(call, opened),
    ]
    more = {"add_opened": documents_of(call, opened)} if call.args.explain else {}
    return call.answer(page, {**pages.documents.document(preview), "entries": ids, **more})


def said_in(call: Call, kind: Description[Any]) -> dict[str, str]:
    """What the words of the command say of a kind's fields; nothing of those that nobody said."""
    found = {}
    for each in kind.fields:
        value = getattr(call.args, each.name, None)
        if value is not None and value is not False:
            found[each.name] = "yes" if value is True else value if isinstance(value, str) else "; ".join(value)
    return found


def _write(call: Call, kind: Description[Kind]) -> Exit:
    """Save one line of a kind; what can hardly be is asked about first."""
    said = said_in(call, kind)
    if getattr(call.args, "only_try", False):
        return _try_survey(call, said) if kind.kind is Kind.SURVEY else _try_harvest(call, said)
    return call.asked(lambda head: write_line(call.farm, call.args.bin, kind.kind, said, head))


def _write_in_book(call: Call, kind: Description[LotKind]) -> Exit:
    said = said_in(call, kind)
    return call.asked(lambda head: farm.lots.write_line(call.farm, call.args.name, kind.kind, said, head))


def add_lines(verbs: Commands, about: str, name: Added) -> None:
    """A word of the command for each kind of line in the castings book about this."""
    for kind in LOT_KINDS.values():
        if kind.about == about and (command := kind.command) is not None:
            examples = [f"{BOOK_COMMANDS[about]} {command.name} {example}" for example in command.examples]
            verbs.add(command.name, command.does, name, *options_of(kind), examples=examples, writes=True)(
                partial(_write_in_book, kind=kind)
            )


def _try_survey(call: Call, said: Mapping[str, str]) -> Exit:
    from wormbin.drawing.marks import plain

    view = recording.preview_survey(call.farm, call.args.bin, [said["samples"]], said.get("area", ""), call.heading)
    if call.output.json:
        call.output.document({"worms_kg": view.worms_kg, "more_samples": view.more_samples})
    else:
        call.output.lines([plain(view.words)])
    return Exit.DONE


def _try_harvest(call: Call, said: Mapping[str, str]) -> Exit:
    view = recording.preview_harvest(call.farm, call.args.bin, said, call.heading)
    return call.answer(pages.futures.what_if(view), view)


for described in LOG_KINDS.values():
    if described.command is not None and described.kind is not Kind.FEEDING:
        COMMANDS.add(
            described.command.name,
            described.command.does,
            option("bin", metavar="BIN", help=described.command.bin),
            *options_of(described),
            _PART,
            *([_TRY] if described.kind in (Kind.SURVEY, Kind.HARVEST) else []),
            examples=described.command.examples,
            more=described.command.more,
            writes=True,
        )(partial(_write, kind=described))


@COMMANDS.add(
    "start",
    "begin a new bin: proposes its first bedding, water, worms and feedings",
    option("bin", metavar="BIN", help="its name in commands: letters, digits, hyphens"),
    *(option(f"--{name}", metavar=example, default="", help=what) for name, example, what in BIN_FIELDS),
    option("--yes", action="store_true", help="write it"),
    examples=[
        'start kitchen --length 60cm --width 40cm --depth 30cm --drainage no --cover loose --worms "500 g"',
        'start leaves --length 60cm --width 40cm --depth 30cm --beddings "dry leaves" --yes',
    ],
    more="Shows the proposal; --yes begins the bin and writes its first entries.",
    writes=lambda args: bool(args.yes),
)
def start(call: Call) -> Exit:
    """Propose a new bin, or write it."""
    from dataclasses import fields

    from wormbin.farm.views.proposals import BinDraft

    args = call.args
    said = {field.name: getattr(args, field.name) for field in fields(BinDraft) if field.name != "key"}
    if not said["started"].strip() and call.on is not None:
        said["started"] = call.on.isoformat()
    draft = BinDraft(key=args.bin, **said)
    taken = farm.starts.unsaid({name: words for name, words in said.items() if words}, call.units)
    if args.yes:
        call.recorded(farm.starts.start(call.farm, draft))
    else:
        proposal = farm.starts.propose(call.farm, draft)
        call.answer(pages.feeding.to_begin(proposal), proposal)
        day = f"--started {call.on.isoformat()} (in place of --on) and " if call.on is not None else ""
        taken.append(f"Nothing was saved yet. {day}--yes begins the bin and writes its first entries.")
    if taken and not call.output.json:
        tell(taken)
    return Exit.DONE


@COMMANDS.add(
    "strike",
    "strike a line through; it stays, with the reason",
    _ENTRY,
    option("--why", metavar="TEXT", required=True, help="the reason"),
    option("--by", metavar="NAME", help="who strikes it (else WORMBIN_KEEPER)"),
    option("--yes", action="store_true", help="without asking when another line stands again for it"),
    examples=['strike 7k2f9q --why "wrong bin"'],
    writes=True,
)
def strike(call: Call) -> Exit:
    """Strike a line through."""
    args = call.args
    return call.agreed(
        lambda asks: recording.strike(call.farm, args.entry, args.why, call.keeper, ask=asks), "--yes strikes it."
    )


@COMMANDS.add(
    "amend",
    "write a right line for a wrong one, which stays readable",
    _ENTRY,
    option("rest", metavar="...", nargs="...", help="what is right"),
    examples=["amend 7k2f9q --moisture 72", 'amend 9ab3cd "200 g melon rind"'],
    more="What follows ENTRY is what the command of its kind takes; what is not said again stays as it was.",
)
def amend(call: Call) -> Exit:
    """Write a right line for a wrong one; what is not said again the command itself takes from the wrong one."""
    line = logbook.typed_line(call.farm, call.args.entry)
    command = line.kind.command
    if command is None:  # the half of a harvest, which typed_line refuses
        raise ValueError(f"no command writes {line.kind.kind}")
    rest = list(call.args.rest)
    if not rest:
        complain(
            f"amend {line.entry}: what is right instead?",
            f"Give what {command.name} takes: wormbin amend {line.entry} ... (wormbin {command.name} --help)",
        )
        return Exit.NOT_UNDERSTOOD
    words = [
        part
        for each in line.kind.fields
        if not each.option and (said := line.fields.get(each.name))
        for part in (re.split("; *", said) if each.of in SEVERAL else [said])
    ]
    everywhere = [f"--{name}={value}" for name in ("store", "on", "units") if (value := getattr(call.args, name))]
    everywhere += ["--json"] if call.output.json else []
    amounts = [word for word in rest if not word.startswith("-")]
    if command.name == "move" and len(amounts) == 1 and amounts[0] == rest[0]:  # they went where they went
        rest = [words[0], *rest]
    elif rest[0].startswith("-"):
        # Words with a hyphen first would be taken for options, but after the sign that there are none any more.
        rest = [*rest, "--", *words] if any(word.startswith("-") for word in words) else [*words, *rest]
    group = [BOOK_COMMANDS[line.kind.about]] if isinstance(line.kind.kind, LotKind) else []
    argv = [*everywhere, *group, command.name, f"--replaces={line.entry}", line.about, *rest]
    again = call.again(argv)
    run: Exit = again.run()
    return run


@COMMANDS.add(
    "undo",
    "take the last change back (it is struck, not lost)",
    option("--by", metavar="NAME", help="who takes it back (else WORMBIN_KEEPER)"),
    examples=["undo"],
    writes=True,
)
def undo(call: Call) -> Exit:
    """Take the last change back."""
    call.recorded(recording.undo(call.farm, call.keeper))
    return Exit.DONE


@COMMANDS.add(
    "redo",
    "do again what undo took back last",
    option("--by", metavar="NAME", help="who does it again (else WORMBIN_KEEPER)"),
    examples=["redo"],
    writes=True,
)
def redo(call: Call) -> Exit:
    """Do again what was taken back."""
    call.recorded(recording.redo(call.farm, call.keeper))
    return Exit.DONE
