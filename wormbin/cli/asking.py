"""The commands that look and answer, and never write."""

from __future__ import annotations

from wormbin import farm, pages
from wormbin.cli.call import Call, documents_of, page_of, write_sheet
from wormbin.cli.grammar import BIN, OPENING, Commands, one_of, option
from wormbin.cli.output import Exit, ask, complain, tell
from wormbin.farm import bins, logbook, recording, reports, rounds
from wormbin.farm.recording.lines import record_caught_up, record_not_known

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
    view = rounds.view(call.farm, call.on)
    if getattr(call.args, "walk", False):
        return call.answer(
            pages.round.checklist(sorted(view.rows, key=pages.round_table.as_you_walk), view.on, call.farm.units), view
        )
    return call.answer(pages.round.whole_round(view, full=getattr(call.args, "full", False)), view)


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

    args = call.args
    if args.put or args.free:
        bin, day = args.put or (args.free, "")
        call.recorded(workdays.put(call.farm, bin, day))
        return Exit.DONE
    view = workdays.week(call.farm, call.on, max(1, min(args.days, workdays.LAID_OUT_DAYS)))
    return call.answer(pages.round.week(view), view)


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
    args = call.args
    found = logbook.lines(
        call.farm, args.bin, kind=args.kind, word=args.word, until=call.on, struck=args.struck or call.output.json
    )
    shown = found[-args.last :] if args.last > 0 else found
    call.answer(pages.bin.log(shown), {"bin": call.farm.bin(args.bin).key, "entries": shown, "of": len(found)})
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
    args = call.args
    if call.on is None and farm.guesses.wanted(call.farm, args.bin):
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

    view = bins.look(call.farm, args.bin, call.on, days=args.days)
    return call.answer(pages.bin.whole_bin(view, call.farm.units, ascii=call.output.ascii), view)


@COMMANDS.add("harvests", "when each bin gives castings, and the steps to take before", examples=["harvests"])
def _harvests(call: Call) -> Exit:
    rows = rounds.harvests(call.farm, call.on)
    return call.answer(pages.round.harvests(rows, tuple(call.farm.logs.unread)), {"harvests": rows})


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
    args = call.args
    if args.like:
        call.recorded(farm.materials.set_like(call.farm, args.word, args.like, call.keeper))
    if args.sets:
        call.recorded(farm.materials.set_material(call.farm, args.word, args.sets, by=call.keeper))
    if args.like or args.sets:
        return Exit.DONE
    rows = farm.materials.material_rows(call.farm, call.args.word)
    call.answer(pages.feeding.materials(rows, call.farm.units, opened=bool(call.args.word)), {"materials": rows})
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
    from wormbin.problems import Problem, RefusedError

    args = call.args
    try:
        plans = bins.away(call.farm, args.bins, args.first, args.until or args.length, call.on)
    except RefusedError as refused:
        if args.until or any(each.field != "until" for each in refused.problems):
            raise
        allowed = "how many days or weeks, with the unit"
        raise RefusedError(Problem("for", shown(args.length), allowed, "12 days")) from None
    return call.answer(pages.futures.absences(plans), plans[0] if len(plans) == 1 else {"away": plans})


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


@COMMANDS.add("sheet", "the weekly sheet to print and hang beside the bin", BIN, examples=["sheet kitchen"])
def _sheet(call: Call) -> Exit:
    lines = rounds.sheet(call.farm, call.args.bin, call.on)
    if call.output.json:
        call.output.document({"bin": call.farm.bin(call.args.bin).key, "lines": lines})
    else:
        call.output.lines(lines)
    return Exit.DONE


@COMMANDS.add(
    "emergency",
    "they are dying, leaving, or it stinks: five steps to do now",
    option("bin", metavar="BIN", nargs="?", default="", help="which bin, for its own amounts"),
    examples=["emergency", "emergency kitchen"],
)
def _emergency(call: Call) -> Exit:
    steps = bins.emergency(call.farm, call.args.bin)
    return call.answer(pages.findings.emergency(steps), {"steps": steps})


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
    args = call.args
    found = recording.troubles(call.farm, args.bin, {"seen": ", ".join(args.seen), "smell": args.smell})
    told = [{"finding": each.finding, "supported": each.supported, "log_says": each.log_says} for each in found]
    return call.answer(pages.findings.causes(found), {"causes": told})


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
    from wormbin.measures import parse_date
    from wormbin.problems import Problem, RefusedError

    args, session = call.args, call.farm
    gaps = recording.forgotten(session, args.bin)
    if args.fed:
        days = [parse_date(each, session.clock().date(), "--fed") for each in args.fed]
        usual = next((gap.bucket for gap in gaps if days[0] in gap.days), "")
        call.recorded(record_caught_up(session, args.bin, days, args.bucket or usual, call.keeper))
    elif args.not_known:
        if not gaps:
            raise RefusedError(Problem("--not-known", args.bin, "a bin with days without a line"))
        call.recorded(record_not_known(session, args.bin, gaps[0], call.keeper))
    else:
        usual_days = [", ".join(day.isoformat() for day in gap.likely) for gap in gaps]
        rows = pages.page.Rows(
            [(gap.words, days and f"likely fed {days}") for gap, days in zip(gaps, usual_days, strict=True)]
        )
        told = [{"first": gap.first, "last": gap.last, "likely": gap.likely, "bucket": gap.bucket} for gap in gaps]
        call.answer(
            [rows] if gaps else [pages.page.Sentence("No days are missing from this log.", "good")], {"gaps": told}
        )
        if gaps and not call.output.json:
            tell("Fill them in with --fed DATE, or say --not-known.")
    return Exit.DONE


_MORE = """\
One HTML file with everything in it: how the bin is and what to do. Charts show moisture, uneaten food, worms, castings
and temperature. It tells what was fed and harvested, who wrote, the harvest's steps, how sure it is, cautions, sources.
It needs no network, and prints on A4 or letter in black and white. Its first page stands alone: what was asked, done
and found, two charts, what comes next.
A report that is there already is replaced. Any other file is replaced only when you say so (--yes)."""

EXAMPLE = "kitchen-report.html"


@COMMANDS.add(
    "report",
    "a bin's report with charts, to print or to hand in",
    option("bins", metavar="BIN", nargs="+", help="which bin; several stand on one page, compared where they are"),
    option("--out", metavar="FILE", default="", help="the file to write (- for standard output)"),
    option(
        "--from", dest="first", metavar="DATE", default="", help="the first day (120 days back, or the bin's first)"
    ),
    option("--until", metavar="DATE", default="", help="the last day; the bin is shown as it was then (today)"),
    option("--names", choices=("full", "initials", "none"), default="full", help="how those who wrote are told"),
    option("--yes", action="store_true", help="write over a file that is no report without asking"),
    examples=[
        "report kitchen --out kitchen.html",
        "report kitchen --from 2026-01-12 --until 2026-03-27 --out term.html",
        "report paper leaves --names initials --out term.html",
        "report kitchen --json",
    ],
    more=_MORE,
)
def _report(call: Call) -> Exit:
    from wormbin.problems import Problem, RefusedError
    from wormbin.store import hand_out, in_the_way, named

    args, output = call.args, call.output
    if not args.out and not output.json:
        raise RefusedError(Problem("--out", "", "the file to write, or - for standard output", EXAMPLE))
    try:
        path = named(args.out, "--out", EXAMPLE) if args.out not in ("", "-") else None
    except OSError:
        allowed = "the name of a file, not of a folder, a link or a device"
        raise RefusedError(Problem("--out", args.out, allowed, EXAMPLE)) from None
    views = [reports.report(call.farm, bin, args.first, args.until, call.on) for bin in args.bins]
    view, compared = views[0], reports.compared(call.farm, args.bins, args.first, args.until, call.on)
    names = pages.report.Names(args.names.replace("none", ""))

    def figures() -> dict[str, object]:
        if len(views) == 1:
            return {**pages.documents.document(view), "file": args.out or None}
        return {
            "bins": pages.documents.document(views),
            "comparison": pages.documents.document(compared),
            "file": args.out or None,
        }

    if path is None:
        output.document(figures()) if output.json else output.raw(
            pages.report.report_page(*views, compared=compared, names=names)
        )
        return Exit.DONE
    blocked = "" if args.yes else in_the_way(path, pages.report.SIGNED.encode(), "report of a bin")
    if blocked and not ask(f"{blocked}. Write over it?"):
        complain(blocked, "Nothing was written. Choose another name, or add --yes to write over it.")
        return Exit.HELD_BACK
    hand_out({path: pages.report.report_page(*views, compared=compared, names=names)})
    bins = ", ".join(each.look.bin.name for each in views)
    days = f"{view.first.isoformat()} to {view.last.isoformat()}"
    tell(f"report of {bins}, {days}, written to {args.out}. {pages.report.named(views, names)}")
    if output.json:
        output.document(figures())
    return Exit.DONE
