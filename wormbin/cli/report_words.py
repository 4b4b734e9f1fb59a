"""The command that writes a bin's report, and its figures as JSON."""

from __future__ import annotations

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit, ask, complain, tell
from wormbin.cli.grammar import Commands, option
from wormbin.farm import reports

_MORE = """\
One HTML file with everything in it: how the bin is and what to do. Charts show moisture, uneaten food, worms, castings
and temperature. It tells what was fed and harvested, who wrote, the harvest's steps, how sure it is, cautions, sources.
It needs no network, and prints on A4 or letter in black and white. Its first page stands alone: what was asked, done
and found, two charts, what comes next.
A report that is there already is replaced. Any other file is replaced only when you say so (--yes)."""

COMMANDS = Commands()
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
    from wormbin.pages.report import SIGNED, Names, named as signed, report_page
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
    names = Names(args.names.replace("none", ""))

    def figures() -> dict[str, object]:
        from wormbin.pages.documents import document

        if len(views) == 1:
            return {**document(view), "file": args.out or None}
        return {"bins": document(views), "comparison": document(compared), "file": args.out or None}

    if path is None:
        output.document(figures()) if output.json else output.raw(report_page(*views, compared=compared, names=names))
        return Exit.DONE
    blocked = "" if args.yes else in_the_way(path, SIGNED.encode(), "report of a bin")
    if blocked and not ask(f"{blocked}. Write over it?"):
        complain(blocked, "Nothing was written. Choose another name, or add --yes to write over it.")
        return Exit.HELD_BACK
    hand_out({path: report_page(*views, compared=compared, names=names)})
    bins = ", ".join(each.look.bin.name for each in views)
    days = f"{view.first.isoformat()} to {view.last.isoformat()}"
    tell(f"report of {bins}, {days}, written to {args.out}. {signed(views, names)}")
    if output.json:
        output.document(figures())
    return Exit.DONE
