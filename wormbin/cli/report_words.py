"""The command that writes a bin's report as one page, and its figures as JSON."""

from __future__ import annotations

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit, ask, complain, tell
from wormbin.cli.grammar import BIN, Commands, option
from wormbin.farm import reports

_MORE = """\
One HTML file with everything in it: how the bin is and what to do. Charts show moisture, uneaten food, worms, castings
and temperature. It tells what was fed and harvested, who wrote, the harvest's steps, how sure it is, cautions, sources.
It needs no network, and prints on A4 or letter in black and white.
A report that is there already is replaced. Any other file is replaced only when you say so (--yes)."""

COMMANDS = Commands()
EXAMPLE = "kitchen-report.html"


@COMMANDS.add(
    "report",
    "a bin's report with charts, as one page to print or to hand in",
    BIN,
    option("--out", metavar="FILE", default="", help="the file to write (- for standard output)"),
    option(
        "--from", dest="first", metavar="DATE", default="", help="the first day (120 days back, or the bin's first)"
    ),
    option("--until", metavar="DATE", default="", help="the last day; the bin is shown as it was then (today)"),
    option("--yes", action="store_true", help="write over a file that is no report without asking"),
    examples=[
        "report kitchen --out kitchen.html",
        "report kitchen --from 2026-01-12 --until 2026-03-27 --out term.html",
        "report kitchen --json",
    ],
    more=_MORE,
)
def _report(call: Call) -> Exit:
    from wormbin.pages.report import SIGNED, report_page
    from wormbin.problems import Problem, RefusedError
    from wormbin.store.handing import hand_out, in_the_way, named

    args, output = call.args, call.output
    if not args.out and not output.json:
        raise RefusedError(Problem("--out", "", "the file to write, or - for standard output", EXAMPLE))
    try:
        path = named(args.out, "--out", EXAMPLE) if args.out not in ("", "-") else None
    except OSError:
        allowed = "the name of a file, not of a folder, a link or a device"
        raise RefusedError(Problem("--out", args.out, allowed, EXAMPLE)) from None
    view = reports.report(call.farm, args.bin, args.first, args.until, call.on)

    def figures() -> dict[str, object]:
        from wormbin.pages.documents import document

        return {**document(view), "file": args.out or None}

    if path is None:
        output.document(figures()) if output.json else output.raw(report_page(view))
        return Exit.DONE
    blocked = "" if args.yes else in_the_way(path, SIGNED.encode(), "report of a bin")
    if blocked and not ask(f"{blocked}. Write over it?"):
        complain(blocked, "Nothing was written. Choose another name, or add --yes to write over it.")
        return Exit.HELD_BACK
    hand_out(path, report_page(view))
    tell(f"report of {view.look.bin.name}, {view.first.isoformat()} to {view.last.isoformat()}, written to {args.out}")
    if output.json:
        output.document(figures())
    return Exit.DONE
