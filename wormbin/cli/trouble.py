"""The commands for bad days: the first five steps, what signs may mean, days that were forgotten."""

from __future__ import annotations

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit, tell
from wormbin.cli.grammar import BIN, Commands, option
from wormbin.farm import bins, recording

COMMANDS = Commands()


@COMMANDS.add(
    "emergency",
    "they are dying, leaving, or it stinks: five steps to do now",
    option("bin", metavar="BIN", nargs="?", default="", help="which bin, for its own amounts"),
    examples=["emergency", "emergency kitchen"],
)
def _emergency(call: Call) -> Exit:
    from wormbin.pages.findings import emergency

    steps = bins.emergency(call.farm, call.args.bin)
    return call.answer(emergency(steps), {"steps": steps})


@COMMANDS.add(
    "troubles",
    "what signs may mean, the causes first that the log speaks for",
    BIN,
    option("--seen", metavar="SIGN", action="append", default=[], help="what you see: mites, flies, ants (may repeat)"),
    option("--smell", metavar="SMELL", default="", help="what it smells of: sour, rotten, ammonia"),
    examples=["troubles kitchen --seen mites --smell sour"],
    more="Nothing is saved; wormbin check writes down what you saw.",
)
def _troubles(call: Call) -> Exit:
    from wormbin.pages.findings import causes

    args = call.args
    found = recording.troubles(call.farm, args.bin, {"seen": ", ".join(args.seen), "smell": args.smell})
    told = [{"finding": each.finding, "supported": each.supported, "log_says": each.log_says} for each in found]
    return call.answer(causes(found), {"causes": told})


@COMMANDS.add(
    "catch-up",
    "days without a line: fill in what was fed, or say that nobody knows",
    BIN,
    option("--fed", metavar="DATE", action="append", default=[], help="a day on which it was fed (may repeat)"),
    option("--bucket", metavar="AMOUNT_OF", default="", help="what was given each day (else what was usual then)"),
    option("--not-known", action="store_true", help="nothing is known of the newest of these days"),
    option("--by", metavar="NAME", help="who writes (else WORMBIN_KEEPER)"),
    examples=[
        "catch-up kitchen",
        'catch-up kitchen --fed 2026-03-02 --fed 2026-03-05 --bucket "300 g melon rind"',
        "catch-up kitchen --not-known",
    ],
    writes=lambda args: bool(args.fed or args.not_known),
)
def _catch_up(call: Call) -> Exit:
    from wormbin.farm.recording.lines import record_caught_up, record_not_known
    from wormbin.measures import parse_date
    from wormbin.pages.page import Rows, Sentence
    from wormbin.problems import Problem, RefusedError

    args, farm = call.args, call.farm
    gaps = recording.forgotten(farm, args.bin)
    if args.fed:
        days = [parse_date(each, farm.clock().date(), "--fed") for each in args.fed]
        usual = next((gap.bucket for gap in gaps if days[0] in gap.days), "")
        call.recorded(record_caught_up(farm, args.bin, days, args.bucket or usual, call.keeper))
    elif args.not_known:
        if not gaps:
            raise RefusedError(Problem("--not-known", args.bin, "a bin with days without a line"))
        call.recorded(record_not_known(farm, args.bin, gaps[0], call.keeper))
    else:
        usual_days = [", ".join(day.isoformat() for day in gap.likely) for gap in gaps]
        rows = Rows([(gap.words, days and f"likely fed {days}") for gap, days in zip(gaps, usual_days, strict=True)])
        told = [{"first": gap.first, "last": gap.last, "likely": gap.likely, "bucket": gap.bucket} for gap in gaps]
        call.answer([rows] if gaps else [Sentence("No days are missing from this log.", "good")], {"gaps": told})
        if gaps and not call.output.json:
            tell("Fill them in with --fed DATE, or say --not-known.")
    return Exit.DONE
