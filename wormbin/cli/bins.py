"""The commands about a bin as a whole: held against another, its particulars put right, its end."""

from __future__ import annotations

from wormbin import farm, pages
from wormbin.cli.call import Call
from wormbin.cli.grammar import BIN, Commands, option
from wormbin.cli.output import Exit
from wormbin.cli.writing import BIN_FIELDS, HEADING

COMMANDS = Commands()


@COMMANDS.add(
    "compare",
    "bins side by side: the difference, and whether it is more than noise",
    option("bins", metavar="BIN", nargs="*", help="which bins; none: the latest comparison"),
    option("--about", metavar="WHAT", default="", help="worked, castings, moisture, temperature, worms, depth, weight"),
    option("--from", dest="first", metavar="DATE", default="", help="the first day, if not that of its line"),
    option("--until", dest="until_day", metavar="DATE", default="", help="the last day, if not that of its line"),
    examples=["compare", "compare paper leaves", "compare paper leaves --about moisture --json"],
    more="Shows the comparison that these bins are in (see comparison); bins that are in none stand side by side.",
)
def _compare(call: Call) -> Exit:
    args = call.args
    view = farm.comparisons.compare(call.farm, args.bins, args.about, args.first, args.until_day, call.on)
    return call.answer(pages.comparison.comparison(view, ascii=call.output.ascii), view)


@COMMANDS.add(
    "change",
    "put a bin's particulars right; its log keeps what was so until then",
    BIN,
    *(
        option(f"--{name}", metavar=example, default="", help=what)
        for name, example, what in BIN_FIELDS
        if name not in ("worms", "running")
    ),
    *(each for each in HEADING if each[0] != ("--replaces",)),
    examples=[
        "change kitchen --tare 2.4kg --site-temp 19C",
        'change leaves --beddings "dry leaves" --feed-days mon,thu',
    ],
    more='What is not said stays. --beddings and --feeds have advice keep to them; "none" lifts that again.\n'
    "All that was worked out of it is worked out anew.",
    writes=True,
)
def _change(call: Call) -> Exit:
    said = {name: getattr(call.args, name) for name in farm.particulars.CHANGEABLE}
    call.recorded(farm.particulars.change(call.farm, call.args.bin, said, call.heading))
    return Exit.DONE


@COMMANDS.add(
    "close",
    "end a bin: it leaves the round, and stays in reports",
    BIN,
    option("how", metavar="HOW", nargs="?", default="", help="harvested, given away or died"),
    option("--reopen", action="store_true", help="take a closed bin into the round again"),
    *(each for each in HEADING if each[0] != ("--replaces",)),
    examples=["close leaves harvested --when 2026-06-19", 'close attic "given away" --note "to room 12"'],
    writes=True,
)
def _close(call: Call) -> Exit:
    args = call.args
    call.recorded(
        farm.particulars.reopen(call.farm, args.bin, call.heading)
        if args.reopen
        else farm.particulars.close(call.farm, args.bin, args.how, call.heading)
    )
    return Exit.DONE


@COMMANDS.add(
    "join",
    "put all of one bin into another, and close the emptied one",
    BIN,
    option("into", metavar="INTO", help="the bin that all of it goes into"),
    option("--weighed", metavar="WEIGHT", default="", help="what went over, on a scale; else as worked out"),
    *(each for each in HEADING if each[0] != ("--replaces",)),
    examples=["join leaves paper", 'join leaves paper --weighed "12.4 kg"'],
    more="Worms, castings, bedding and uneaten food stand as lines in the other bin. Both keep their logs;\n"
    "the emptied one stays in reports. `undo` takes all of it back.",
    writes=True,
)
def _join(call: Call) -> Exit:
    args = call.args
    call.recorded(farm.particulars.join(call.farm, args.bin, args.into, args.weighed, call.heading))
    return Exit.DONE


@COMMANDS.add(
    "hand-over",
    "one file with a bin's log, lots, settings and a page about it, to be taken in elsewhere",
    BIN,
    option("--out", metavar="FILE", required=True, help="the file to write"),
    option("--names", choices=("full", "initials", "none"), default="full", help="how those who wrote are told"),
    option("--yes", action="store_true", help="write over a file that is there already"),
    examples=["hand-over leaves --out leaves.zip", "hand-over leaves --names initials --out leaves.zip"],
    more='The bin stays here, too: `close leaves "given away"` takes it out of the round.\n'
    "The list of who writes and their turns stay here. Words of a note go along as they stand.",
)
def _hand_over(call: Call) -> Exit:
    args, names = call.args, pages.report.Names(call.args.names.replace("none", ""))
    about = pages.report.report_page(farm.reports.report(call.farm, args.bin, on=call.on), names=names)
    call.recorded(farm.handing_over.hand_over(call.farm, args.bin, args.out, about, told=names.told, over=args.yes))
    return Exit.DONE


@COMMANDS.add(
    "take-in",
    "take in a bin that was handed over",
    option("file", metavar="FILE", help="the file that hand-over wrote"),
    option("--as", dest="key", metavar="BIN", default="", help="what it is called here in commands"),
    examples=["take-in leaves.zip", "take-in leaves.zip --as room-12"],
    more="All of it or nothing; `undo` strikes its lines again. How the other farm is run is not taken over.",
    writes=True,
)
def _take_in(call: Call) -> Exit:
    from pathlib import Path

    call.recorded(farm.handing_over.take_in(call.farm, Path(call.args.file).expanduser(), call.args.key))
    return Exit.DONE
