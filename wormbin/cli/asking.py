"""The commands that look and answer, and never write."""

from __future__ import annotations

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit, complain, tell
from wormbin.cli.grammar import BIN, Commands, one_of, option
from wormbin.cli.opening import OPENING, documents_of, page_of, write_sheet
from wormbin.farm import bins, logbook, rounds

COMMANDS = Commands()


def without_command(call: Call) -> Exit:
    """The full-screen program for a person at a terminal; for anyone else the round."""
    if call.screen is None or call.output.json:
        return _round(call)
    return Exit(call.screen(call.folder, call.on, call.clock, ""))


@COMMANDS.add(
    "round",
    "what each bin needs today, worst first",
    option("--walk", action="store_true", help="a checklist by the stops of the walk, with what to carry"),
    option("--full", action="store_true", help="every bin in full, also where there are many"),
    examples=["round", "round --walk", "round --on yesterday --json"],
)
def _round(call: Call) -> Exit:
    from wormbin.pages.round import checklist, whole_round
    from wormbin.pages.round_table import as_you_walk

    view = rounds.view(call.farm, call.on)
    if getattr(call.args, "walk", False):
        return call.answer(checklist(sorted(view.rows, key=as_you_walk), view.on, call.farm.units), view)
    return call.answer(whole_round(view, full=getattr(call.args, "full", False)), view)


@COMMANDS.add(
    "week",
    "the work on all bins spread over the days, by the hours that there are",
    option("--days", metavar="N", type=int, default=7, help="how many days (7)"),
    option("--put", nargs=2, metavar=("BIN", "DATE"), help="put a harvest that is in sight on a day, where it stays"),
    option("--free", metavar="BIN", default="", help="leave a bin's harvest to the plan again"),
    examples=["week", "week --days 14", "week --put crate-1 saturday", "week --free crate-1"],
    more="Hours a day, room to cure and stops of the walk: wormbin settings hours, curing-room, walk.",
    writes=lambda args: bool(args.put or args.free),
)
def _week(call: Call) -> Exit:
    from wormbin.farm.rounds import workdays
    from wormbin.pages.week import week

    args = call.args
    if args.put or args.free:
        bin, day = args.put or (args.free, "")
        call.recorded(workdays.put(call.farm, bin, day))
        return Exit.DONE
    view = workdays.week(call.farm, call.on, max(1, min(args.days, workdays.LAID_OUT_DAYS)))
    return call.answer(week(view), view)


@COMMANDS.add(
    "log",
    "a bin's log, newest last",
    BIN,
    option("--last", metavar="N", type=int, default=20, help="how many lines (20); 0 for all"),
    option("--kind", metavar="KIND", default="", help="only entries of this kind: feeding, check ..."),
    option("--word", metavar="WORD", default="", help="only lines with this word in them"),
    option("--struck", action="store_true", help="show struck and replaced lines too"),
    examples=["log kitchen --last 20", "log kitchen --kind check --word mites"],
)
def _log(call: Call) -> Exit:
    from wormbin.pages.log import log

    args = call.args
    found = logbook.lines(
        call.farm, args.bin, kind=args.kind, word=args.word, until=call.on, struck=args.struck or call.output.json
    )
    shown = found[-args.last :] if args.last > 0 else found
    call.answer(log(shown), {"bin": call.farm.bin(args.bin).key, "entries": shown, "of": len(found)})
    if not call.output.json and not shown:
        tell("No line of the log fits.")
    elif not call.output.json and len(shown) < len(found):
        tell(f"The last {len(shown)} of {len(found)} lines; --last 0 shows all.")
    return Exit.DONE


@COMMANDS.add(
    "outlook",
    "state today, day by day ahead, and when there are castings",
    BIN,
    option("--days", metavar="N", type=int, default=120, help="how far to look (120)"),
    option("--explain", metavar="FIGURE", default="", help="explain one figure: what went in, formula and source"),
    *OPENING,
    option(
        "--work-sheet",
        metavar="FILE",
        default="",
        help="with --explain: its sums to fill in, and the solution; .html for a browser, - to print",
    ),
    examples=[
        "outlook kitchen --days 60",
        "outlook kitchen --json",
        "outlook kitchen --explain moisture",
        "outlook kitchen --explain cn --voice plain --down 2",
        "outlook kitchen --explain cn --work-sheet cn.html",
    ],
)
def _outlook(call: Call) -> Exit:
    from wormbin.farm.guesses import wanted

    args = call.args
    if call.on is None and wanted(call.farm, args.bin):
        complain(
            "the figures come after a guess of today", f"Write yours first: wormbin guess {args.bin} --moisture 80"
        )
        return Exit.HELD_BACK
    if args.explain:
        working = bins.working(call.farm, args.bin, args.explain, call.on)
        if args.work_sheet:
            write_sheet(
                call, working, f"{call.farm.bin(args.bin).name}, {call.farm.moment(call.on).date().isoformat()}"
            )
            return Exit.DONE
        return call.answer(page_of(call, [working]), documents_of(call, [working])[0])
    if call.output.json:
        call.output.document(bins.outlook(call.farm, args.bin, on=call.on, days=args.days))
        return Exit.DONE
    from wormbin.pages.bin import whole_bin

    view = bins.look(call.farm, args.bin, call.on, days=args.days)
    return call.answer(whole_bin(view, call.farm.units, ascii=call.output.ascii), view)


@COMMANDS.add(
    "harvests",
    "when each bin gives castings, and the steps to take before",
    examples=["harvests"],
)
def _harvests(call: Call) -> Exit:
    from wormbin.pages.harvests import harvests

    rows = rounds.harvests(call.farm, call.on)
    return call.answer(harvests(rows, tuple(call.farm.logs.unread)), {"harvests": rows})


@COMMANDS.add(
    "materials",
    "the material table with its sources, and materials of your own",
    option("word", metavar="WORD", nargs="?", default="", help="only materials with this word; or the one to write"),
    option("--like", metavar="MATERIAL", default="", help="a new material with the values of this one"),
    option(
        "--set",
        dest="sets",
        metavar="FIELD=VALUE",
        action="append",
        default=[],
        help="lay a value of your own over the table: nitrogen_pct, carbon_pct, ash_pct, moisture_pct, "
        "bulk_density_kg_m3, water_holding, pace, role",
    ),
    examples=["materials coffee", 'materials "rhubarb leaves" --like spinach', "materials kale --set moisture_pct=82"],
    writes=lambda args: bool(args.like or args.sets),
)
def _materials(call: Call) -> Exit:
    from wormbin.farm.materials import material_rows, set_like, set_material
    from wormbin.pages.materials import materials

    args = call.args
    if args.like:
        call.recorded(set_like(call.farm, args.word, args.like, call.keeper))
    if args.sets:
        call.recorded(set_material(call.farm, args.word, args.sets, by=call.keeper))
    if args.like or args.sets:
        return Exit.DONE
    rows = material_rows(call.farm, call.args.word)
    call.answer(materials(rows, call.farm.units, opened=bool(call.args.word)), {"materials": rows})
    if not rows and not call.output.json:
        tell("No material fits that word. All of them: wormbin materials")
    return Exit.DONE


@COMMANDS.add(
    "away",
    "what to do before an absence, and what may go wrong in it",
    option("bins", metavar="BIN", nargs="*", help="which bin or bins; all of them where none is named"),
    option("--from", dest="first", metavar="DATE", default="today", help="the first day away (today)"),
    one_of(
        option("--until", metavar="DATE", help="the last day away, or how long: 2026-08-14, 12 days"),
        option("--for", dest="length", metavar="TIME", help="how long, the first day counted: 12 days, 2 weeks"),
    ),
    examples=["away kitchen --from saturday --until 2026-08-14", 'away --from saturday --for "12 days"'],
)
def _away(call: Call) -> Exit:
    from wormbin.measures import shown
    from wormbin.pages.futures import absences
    from wormbin.problems import Problem, RefusedError

    args = call.args
    try:
        plans = bins.away(call.farm, args.bins, args.first, args.until or args.length, call.on)
    except RefusedError as refused:
        if args.until or any(each.field != "until" for each in refused.problems):
            raise
        allowed = "how many days or weeks, with the unit"
        raise RefusedError(Problem("for", shown(args.length), allowed, "12 days")) from None
    return call.answer(absences(plans), plans[0] if len(plans) == 1 else {"away": plans})


@COMMANDS.add(
    "calendar",
    "everything due as an iCalendar file",
    option("--out", metavar="FILE", required=True, help="the file to write (- for standard output)"),
    option("--days", metavar="N", type=int, default=60, help="how far to look (60)"),
    option("--yes", action="store_true", help="write over a file that is no calendar of bins"),
    examples=["calendar --out bins.ics"],
)
def _calendar(call: Call) -> Exit:
    return call.calendar(
        lambda before: rounds.calendar(call.farm, call.on, days=call.args.days, before=before), "event", "bins.ics"
    )


@COMMANDS.add(
    "sheet",
    "the weekly sheet to print and hang beside the bin",
    BIN,
    examples=["sheet kitchen"],
)
def _sheet(call: Call) -> Exit:
    lines = rounds.sheet(call.farm, call.args.bin, call.on)
    if call.output.json:
        call.output.document({"bin": call.farm.bin(call.args.bin).key, "lines": lines})
    else:
        call.output.lines(lines)
    return Exit.DONE
