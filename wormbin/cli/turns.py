"""The commands of a class: whose turn it is, and what was guessed before the number was shown."""

from __future__ import annotations

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit
from wormbin.cli.grammar import BIN, Commands, option

COMMANDS = Commands()


@COMMANDS.add(
    "turns",
    "whose turn it is: the rota of a month, who is away, who swaps, the school's holidays",
    option("--month", metavar="YEAR-MONTH", default="", help="another month than this one: 2026-10, or october"),
    option("--away", metavar="WORDS", default=None, help='a pupil away: "Ana: today", "Ana: none" takes it back'),
    option("--swap", metavar="WORDS", default=None, help='who stands in on a day: "2026-10-05: Ana instead of Ben"'),
    option("--holidays", metavar="FILE.ics", default=None, help="add the all-day events of a calendar to the days off"),
    option("--try", dest="only_try", action="store_true", help="only say which holidays would be added"),
    option(
        "--out",
        metavar="FILE.ics",
        default="",
        help="write the turns as an iCalendar file: to the end of the term, or those of --month",
    ),
    option("--yes", action="store_true", help="write over a file that is no calendar of bins"),
    examples=[
        "turns",
        "turns --month 2026-10 --out turns.ics",
        'turns --away "Ana: today"',
        'turns --away "Ben: 2026-10-05 to 2026-10-07"',
        'turns --swap "2026-10-05: Ana instead of Ben"',
        "turns --holidays holidays.ics --try",
    ],
    more="Each day takes who has had the fewest turns; who was away comes first when back. It is set up by:\n"
    '  wormbin keepers --add "Ana, Ben, Cleo"\n'
    '  wormbin settings school-days "monday to friday"\n'
    '  wormbin settings term "2026-09-01 to 2026-12-18"\n'
    '  wormbin settings jobs "feed, check, water, measure friday, tidy friday"\n'
    "  wormbin settings together 2                       (pairs)\n"
    '  wormbin settings half-days "wednesday"            (only feeding and the check)\n'
    '  wormbin settings away "2026-10-24 to 2026-11-01: autumn holidays"',
    writes=lambda args: not args.only_try and any(each is not None for each in (args.away, args.swap, args.holidays)),
)
def _turns(call: Call) -> Exit:
    from wormbin.farm import turns

    args, did = call.args, False
    if args.away is not None:
        call.recorded(turns.set_away(call.farm, args.away))
        did = True
    if args.swap is not None:
        call.recorded(turns.swap(call.farm, args.swap))
        did = True
    if args.holidays is not None:
        call.recorded(turns.take_holidays(call.farm, args.holidays, only_try=args.only_try))
        did = True
    if args.out:
        return call.calendar(lambda _: turns.calendar(call.farm, args.month), "day", "turns.ics")
    if did:
        return Exit.DONE
    from wormbin.pages.turns import rota

    view = turns.month(call.farm, args.month)
    return call.answer(rota(view), view.document)


@COMMANDS.add(
    "readings",
    "what several read on one day: mean, spread, and which stands far off",
    BIN,
    examples=["readings kitchen", "readings kitchen --json"],
    more="Each pupil writes a check of their own (--by). One that stands far off the others of its day is asked about\n"
    "and left out of the sums; it stays in the log. Rule: modified z-score over 3.5 (NIST e-Handbook 1.3.5.17).",
)
def _readings(call: Call) -> Exit:
    from wormbin.farm import bins
    from wormbin.pages.many import many

    view = bins.many_readings(call.farm, call.args.bin, call.on)
    return call.answer(many(view, ascii=call.output.ascii), view.document)


@COMMANDS.add(
    "guesses",
    "what was guessed before the number was shown, beside what came",
    BIN,
    examples=["guesses kitchen", "guesses kitchen --json"],
    more="A guess is written by wormbin guess, or on the screen by e, then x. With `settings guess-first yes` a bin's\n"
    "page asks for one before it shows its figures.",
)
def _guesses(call: Call) -> Exit:
    from wormbin.farm import guesses
    from wormbin.pages.guesses import guesses as page

    view = guesses.view(call.farm, call.args.bin)
    return call.answer(page(view, call.units, ascii=call.output.ascii), view.document)
