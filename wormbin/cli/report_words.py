"""The command that writes a bin's report as one page, and its figures as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit, ask, complain, tell
from wormbin.cli.grammar import BIN, Commands, option
from wormbin.farm import reports

if TYPE_CHECKING:
    from wormbin.drawing.series import Series
    from wormbin.farm.views.report import MaterialTotal, ReportView

_MORE = """\
One HTML file with everything in it: how the bin is and what to do, charts of moisture, feed waiting, worms, castings
and temperature, what was fed and harvested, who wrote, the harvest's steps, how sure it is, cautions, sources. It asks
nothing of a network, and prints on A4 or letter in black and white.
A report that is there already is replaced; any other file only when you say so (--yes)."""

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
    from wormbin.farm.reports.page import SIGNED, report_page
    from wormbin.problems import Problem, RefusedError
    from wormbin.store.handing import hand_out, in_the_way, named

    args, paper = call.args, call.paper
    if not args.out and not paper.json:
        raise RefusedError(Problem("--out", "", "the file to write, or - for standard output", EXAMPLE))
    path = named(args.out, "--out", EXAMPLE) if args.out not in ("", "-") else None
    view = reports.report(call.farm, args.bin, args.first, args.until, call.on)
    if path is None:
        paper.document(document(view, args.out)) if paper.json else paper.raw(report_page(view))
        return Exit.DONE
    blocked = "" if args.yes else in_the_way(path, SIGNED.encode(), "report of a bin")
    if blocked and not ask(f"{blocked}. Write over it?"):
        complain(blocked, "Nothing was written. Choose another name, or add --yes to write over it.")
        return Exit.HELD_BACK
    hand_out(path, report_page(view))
    tell(f"report of {view.look.bin.name}, {view.first.isoformat()} to {view.last.isoformat()}, written to {args.out}")
    if paper.json:
        paper.document(document(view, args.out))
    return Exit.DONE


def document(view: ReportView, file: str) -> dict[str, object]:
    """The figures of the report as JSON: kg, fractions, degC; an uncertain figure is a band."""
    look, totals = view.look, view.totals
    return {
        "bin": look.bin.key,
        "name": look.bin.name,
        "file": file or None,
        "from": view.first,
        "until": view.last,
        "level": look.level,
        "headline": look.headline,
        "do": look.emergency or look.do_now,
        "also": look.also,
        "caution": look.mind,
        "findings": look.findings,
        "setup": dict(view.setup),
        "state": view.state,
        "charts": [_chart(each) for each in view.charts],
        "totals": {
            "fed_kg": totals.fed_kg,
            "fed": [_material(each) for each in totals.fed],
            "feedings": totals.feedings,
            "bedding_kg": totals.bedding_kg,
            "bedding": [_material(each) for each in totals.bedding],
            "water_kg": totals.water_kg,
            "drained_kg": totals.drained_kg,
            "worms_in_kg": totals.worms_in_kg,
            "worms_out_kg": totals.worms_out_kg,
            "harvested_kg": totals.harvested_kg,
            "harvests": [
                {"date": each.on, "castings_kg": each.kg, "moisture": each.moisture, "lot": each.lot}
                for each in totals.harvests
            ],
            "lines": totals.lines,
            "struck": totals.struck,
            "kinds": dict(totals.kinds),
            "by": [{"by": each.name, "lines": each.lines} for each in totals.writers],
        },
        "harvest": {
            **view.harvest,
            "words": look.harvest.words,
            "steps": [{"date": step.on, "what": step.what} for step in look.harvest.steps],
            "source": look.harvest.source,
        },
        "notes": [
            {"date": each.when.date(), "by": each.by, "words": each.words, "note": each.note} for each in view.notes
        ],
        "learned": look.learned,
        "did_not_fit": [{"date": each.on, "words": each.words, "weight": each.weight} for each in look.doubts],
        "surer": view.surer,
        "cautions": [{"text": text, "source": source} for text, source in view.cautions],
        "sources": view.sources,
    }


def _material(each: MaterialTotal) -> dict[str, object]:
    return {"material": each.key, "kg": each.kg, "weighed_kg": each.weighed_kg, "times": each.times}


def _chart(view: Series) -> dict[str, object]:
    return {
        "figure": view.code,
        "unit": view.unit,
        "worked_out": view.past,
        "ahead": view.ahead,
        "read": [
            {"date": mark.on, "value": mark.value, "by": mark.by, "fits": not mark.questioned} for mark in view.readings
        ],
        "target": view.target,
    }
