"""The commands that look and answer, and never write."""

from __future__ import annotations

from wormbin.cli.desk import Desk
from wormbin.cli.exits import Exit, complain, tell
from wormbin.cli.grammar import Commands
from wormbin.farm import bins, logbook, rounds
from wormbin.farm.materials import material_rows
from wormbin.measures import counted


def add_commands(commands: Commands) -> None:
    """Round, log, outlook, harvests, materials, away, calendar, sheet."""
    commands.add(
        "round", _round, "what each bin needs today, worst first", examples=["round", "round --on yesterday --json"]
    )

    log = commands.add(
        "log",
        _log,
        "a bin's log, newest last",
        examples=["log kitchen --last 20", "log kitchen --kind check --word mites"],
    )
    log.add_argument("bin", metavar="BIN", help="which bin")
    log.add_argument("--last", metavar="N", type=int, default=20, help="how many lines (20); 0 for all")
    log.add_argument("--kind", metavar="KIND", default="", help="only entries of this kind: feeding, check ...")
    log.add_argument("--word", metavar="WORD", default="", help="only lines with this word in them")
    log.add_argument("--struck", action="store_true", help="show struck and replaced lines too")

    outlook = commands.add(
        "outlook",
        _outlook,
        "state today, day by day ahead, and when there are castings",
        examples=["outlook kitchen --days 60", "outlook kitchen --json", "outlook kitchen --explain moisture"],
    )
    outlook.add_argument("bin", metavar="BIN", help="which bin")
    outlook.add_argument("--days", metavar="N", type=int, default=120, help="how far to look (120)")
    outlook.add_argument(
        "--explain", metavar="FIGURE", default="", help="open one figure: its inputs, formula and source"
    )

    commands.add(
        "harvests", _harvests, "when each bin gives castings, and the steps to take before", examples=["harvests"]
    )

    materials = commands.add(
        "materials",
        _materials,
        "the material table with its sources",
        examples=["materials coffee", "materials --json"],
    )
    materials.add_argument("word", metavar="WORD", nargs="?", default="", help="only materials with this word")

    away = commands.add(
        "away",
        _away,
        "what to do before an absence, and what may go wrong in it",
        examples=["away kitchen --from saturday --until 2026-08-14", 'away kitchen --from saturday --for "12 days"'],
    )
    away.add_argument("bin", metavar="BIN", help="which bin")
    away.add_argument("--from", dest="first", metavar="DATE", default="today", help="the first day away (today)")
    until = away.add_mutually_exclusive_group(required=True)
    until.add_argument("--until", metavar="DATE", help="the last day away, or how long: 2026-08-14, 12 days")
    until.add_argument("--for", dest="length", metavar="TIME", help="how long, the first day counted: 12 days, 2 weeks")

    calendar = commands.add(
        "calendar", _calendar, "everything due as an iCalendar file", examples=["calendar --out bins.ics"]
    )
    calendar.add_argument("--out", metavar="FILE", required=True, help="the file to write (- for standard output)")
    calendar.add_argument("--yes", action="store_true", help="write over a file that is no calendar of bins")
    calendar.add_argument("--days", metavar="N", type=int, default=60, help="how far to look (60)")

    sheet = commands.add(
        "sheet", _sheet, "the weekly sheet to print and hang beside the bin", examples=["sheet kitchen"]
    )
    sheet.add_argument("bin", metavar="BIN", help="which bin")


def without_command(desk: Desk) -> Exit:
    """The full-screen program for a person at a terminal; for anyone else the round."""
    if desk.screen is None or desk.paper.json:
        return _round(desk)
    return Exit(desk.screen(desk.folder, desk.on, desk.clock, ""))


def _round(desk: Desk) -> Exit:
    from wormbin.cli.round_text import lines

    view = rounds.view(desk.farm, desk.on)
    if desk.paper.json:
        desk.paper.document(view)
    else:
        desk.paper.lines(lines(view, desk.paper))
    return Exit.DONE


def _log(desk: Desk) -> Exit:
    from wormbin.pages.log import log

    args = desk.args
    found = logbook.lines(
        desk.farm, args.bin, kind=args.kind, word=args.word, until=desk.on, struck=args.struck or desk.paper.json
    )
    shown = found[-args.last :] if args.last > 0 else found
    desk.answer(log(shown), {"bin": desk.farm.bin(args.bin).key, "entries": shown, "of": len(found)})
    if not desk.paper.json and not shown:
        tell("No line of the log fits.")
    elif not desk.paper.json and len(shown) < len(found):
        tell(f"The last {len(shown)} of {len(found)} lines; --last 0 shows all.")
    return Exit.DONE


def _outlook(desk: Desk) -> Exit:
    args = desk.args
    if args.explain:
        from wormbin.pages.sums import sums

        working = bins.working(desk.farm, args.bin, args.explain, desk.on)
        return desk.answer(sums(working), working)
    if desk.paper.json:
        desk.paper.document(bins.outlook(desk.farm, args.bin, on=desk.on, days=args.days))
        return Exit.DONE
    from wormbin.cli.outlook_text import lines

    desk.paper.lines(lines(bins.look(desk.farm, args.bin, desk.on, days=args.days), desk.paper, desk.farm.units))
    return Exit.DONE


def _harvests(desk: Desk) -> Exit:
    from wormbin.pages.harvests import harvests

    rows = rounds.harvests(desk.farm, desk.on)
    return desk.answer(harvests(rows, tuple(desk.farm.unread)), {"harvests": rows})


def _materials(desk: Desk) -> Exit:
    from wormbin.pages.materials import materials

    rows = material_rows(desk.farm, desk.args.word)
    desk.answer(materials(rows, desk.farm.units, opened=bool(desk.args.word)), {"materials": rows})
    if not rows and not desk.paper.json:
        tell("No material fits that word.")
    return Exit.DONE


def _away(desk: Desk) -> Exit:
    from wormbin.measures import shown
    from wormbin.pages.futures import absence
    from wormbin.problems import Problem, RefusedError

    args = desk.args
    try:
        plan = bins.absence(desk.farm, args.bin, args.first, args.until or args.length, desk.on)
    except RefusedError as refused:
        if args.until or any(each.field != "until" for each in refused.problems):
            raise
        allowed = "how many days or weeks, within 180 days, with the unit"
        raise RefusedError(Problem("for", shown(args.length), allowed, "12 days")) from None
    return desk.answer(absence(plan), plan)


def _calendar(desk: Desk) -> Exit:
    from wormbin.exchange.calendar import PRODUCT
    from wormbin.store.handing import hand_out, in_the_way, named

    text = rounds.calendar(desk.farm, desk.on, days=desk.args.days)
    if desk.args.out == "-" and desk.paper.json:
        desk.paper.document({"file": "-", "events": text.count("BEGIN:VEVENT"), "calendar": text})
    elif desk.args.out == "-":
        desk.paper.raw(text)
    else:
        path = named(desk.args.out, "--out", "bins.ics")
        if not desk.args.yes and (blocked := in_the_way(path, PRODUCT.encode(), "calendar of bins")):
            complain(blocked, "Nothing was written. Choose another name, or add --yes to write over it.")
            return Exit.HELD_BACK
        hand_out(path, text)
        tell(f"{counted(text.count('BEGIN:VEVENT'), 'event')} written to {desk.args.out}")
        if desk.paper.json:
            desk.paper.document({"file": desk.args.out, "events": text.count("BEGIN:VEVENT")})
    return Exit.DONE


def _sheet(desk: Desk) -> Exit:
    lines = rounds.sheet(desk.farm, desk.args.bin, desk.on)
    if desk.paper.json:
        desk.paper.document({"bin": desk.farm.bin(desk.args.bin).key, "lines": lines})
    else:
        desk.paper.lines(lines)
    return Exit.DONE
