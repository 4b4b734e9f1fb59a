"""The commands that work something out and save nothing: a blend, a bin that does not exist, another future."""

from __future__ import annotations

from typing import Any

from wormbin import farm, pages
from wormbin.cli.call import Call, documents_of, page_of
from wormbin.cli.grammar import BIN, OPENING, Commands, option
from wormbin.cli.output import Exit
from wormbin.farm import bins

_SET = "MATERIAL.FIELD=VALUE; fields: nitrogen_pct, carbon_pct, ash_pct, moisture_pct, bulk_density_kg_m3, pace"

COMMANDS = Commands()


@COMMANDS.add(
    "mix",
    "C:N, moisture and air of a blend; with --add the least amount that makes it right",
    option("portions", metavar="AMOUNT_OF", nargs="+", help='what is in it: "1.5 kg kale"'),
    option("--add", metavar="MATERIAL", action="append", default=[], help="what may be added (may repeat)"),
    option("--cn", metavar="LOW-HIGH", default="", help="C:N to reach, 25-30 or 30 (25-30 with --add alone)"),
    option("--moisture", metavar="PER_CENT", default="", help="moisture to reach, 60 or 75-85"),
    option("--set", metavar="VALUE", dest="sets", action="append", default=[], help=_SET),
    option("--explain", action="store_true", help="explain its numbers: what went in, formula and source"),
    *OPENING,
    examples=[
        'mix "1.5 kg kale" "400 g shredded-cardboard"',
        'mix "2 kg coffee grounds" --add shredded-cardboard --cn 25-30 --moisture 70-80',
        'mix "450 g kale" "100 g dry leaves" --explain --voice plain --down 2',
        'mix "3 kg spinach" --add dry-leaves --moisture 70 --set spinach.moisture_pct=88',
    ],
)
def _mix(call: Call) -> Exit:
    args = call.args
    view = farm.mixes.mix(call.farm, args.portions, add=args.add, cn=args.cn, moisture=args.moisture, sets=args.sets,
                     explain=args.explain)  # fmt: skip
    page = [*pages.feeding.mix(view), *([pages.page.GAP] * bool(view.opened)), *page_of(call, view.opened)]
    return call.answer(
        page, {**pages.documents.document(view), "opened": documents_of(call, view.opened)} if args.explain else view
    )


@COMMANDS.add(
    "use",
    "how much castings for pots, a bed, a potting mix or an extract, from what is in stock",
    option("uses", metavar="USE", nargs="+", help='what for: "12 pots of 20 cm", "2 m2 bed", "20 L seedling mix"'),
    option("--share", metavar="SHARE", default="", help="of a potting mix: 10%% to 20%% is best, 40%% the most"),
    examples=[
        'use "12 pots of 20 cm" "2 m2 bed"',
        'use "20 L seedling mix"',
        'use "50 L potting mix" --share 20%',
        'use "5 L extract"',
    ],
    more='Nothing is saved. What you then take out is written by: wormbin castings use LOT "2 L"',
)
def _use(call: Call) -> Exit:
    view = farm.uses.plan_uses(call.farm, call.args.uses, call.args.share)
    return call.answer(pages.lots.uses(view, call.farm.units), view)


@COMMANDS.add(
    "trial",
    "a bin that does not exist: what would become of it, day by day",
    option("--area", metavar="M2", required=True, help="surface: 0.09 is square metres, or 900cm2"),
    option("--depth", metavar="LENGTH", default="30cm", help="depth of the box (30cm)"),
    option("--worms", metavar="AMOUNT", default="0", help='"46 g", "10 worms", "10 worms of 90 mg" or 0'),
    option("--bedding", metavar="AMOUNT_OF", action="append", default=[], help="bedding at the start (may repeat)"),
    option("--start", metavar="AMOUNT_OF", action="append", default=[], help="feed at the start (may repeat)"),
    option("--daily", metavar="AMOUNT_OF", action="append", default=[], help="feed every day (may repeat)"),
    option(
        "--every",
        metavar="N_d:AMOUNT_OF",
        action="append",
        default=[],
        help='feed every so many days: "20 d: 20 g cattle-manure"',
    ),
    option("--days", metavar="N", type=int, default=90, help="how long (90)"),
    option("--temp", metavar="TEMPERATURE", default="20", help="temperature of the bin, held: 27 is degrees C, or 80F"),
    option("--hold-moisture", metavar="PER_CENT", default="", help="water is given so that moisture stays here"),
    option("--water", metavar="AMOUNT", default="", help="water at the start"),
    option("--cover", metavar="COVER", default="loose", help="open, loose or closed"),
    option("--drainage", metavar="YES_NO", default="yes", help="yes or no"),
    option("--species", metavar="SPECIES", default="eisenia", help="eisenia, eudrilus, perionyx or dendrobaena"),
    option("--set", metavar="VALUE", dest="sets", action="append", default=[], help=_SET),
    examples=[
        'trial --area 0.09 --depth 30cm --worms "46 g" --start "3.1 kg cattle-manure" --days 28 --temp 27',
        'trial --area 0.24 --worms "500 g" --bedding "1.2 kg shredded-cardboard" --daily "300 g kale" --json',
        'trial --area 900cm2 --start "2 kg cattle-manure" --every "20 d: 20 g cattle-manure" --hold-moisture 80',
    ],
)
def _trial(call: Call) -> Exit:
    from dataclasses import fields

    args = call.args
    said: dict[str, Any] = {}
    for field in fields(farm.trials.TrialDraft):
        value = getattr(args, field.name)
        said[field.name] = tuple(value) if isinstance(value, list) else value
    draft = farm.trials.TrialDraft(**said)
    result = farm.trials.trial(call.farm, draft)
    return call.answer(pages.futures.trial(result, call.farm.units), result)


@COMMANDS.add(
    "what-if",
    "two futures of a bin side by side: as planned, and with something changed",
    BIN,
    option("--skip", metavar="N", type=int, default=0, help="leave out the next N feedings"),
    option("--double", metavar="N", type=int, default=0, help="double the next N feedings (after those left out)"),
    option("--bedding", metavar="AMOUNT_OF", default="", help="add this bedding today"),
    option("--spell", metavar="TEMP:DAYS", default="", help="a warm or cold spell: 30C:5d"),
    option("--split", metavar="PER_CENT", default="", help="take this share of the worms out today"),
    option("--harvest", action="store_true", help="harvest today"),
    examples=[
        "what-if kitchen --skip 1",
        "what-if kitchen --spell 30C:5d",
        'what-if kitchen --skip 2 --bedding "200 g shredded-cardboard"',
    ],
)
def _what_if(call: Call) -> Exit:
    args = call.args
    changes = ("skip", "double", "bedding", "spell", "split", "harvest")
    view = bins.what_if(call.farm, args.bin, **{name: getattr(args, name) for name in changes}, on=call.on)
    return call.answer(pages.futures.what_if(view), view)


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
    args, did = call.args, False
    if args.away is not None:
        call.recorded(farm.turns.set_away(call.farm, args.away))
        did = True
    if args.swap is not None:
        call.recorded(farm.turns.swap(call.farm, args.swap))
        did = True
    if args.holidays is not None:
        call.recorded(farm.turns.take_holidays(call.farm, args.holidays, only_try=args.only_try))
        did = True
    if args.out:
        return call.calendar(lambda _: farm.turns.calendar(call.farm, args.month), "day", "turns.ics")
    if did:
        return Exit.DONE

    view = farm.turns.month(call.farm, args.month)
    return call.answer(pages.school.rota(view), view.document)


@COMMANDS.add(
    "readings",
    "what several read on one day: mean, spread, and which stands far off",
    BIN,
    examples=["readings kitchen", "readings kitchen --json"],
    more="Each pupil writes a check of their own (--by). One that stands far off the others of its day is asked about\n"
    "and left out of the sums; it stays in the log. Rule: modified z-score over 3.5 (NIST e-Handbook 1.3.5.17).",
)
def _readings(call: Call) -> Exit:
    view = farm.bins.many_readings(call.farm, call.args.bin, call.on)
    return call.answer(pages.school.many(view, ascii=call.output.ascii), view.document)


@COMMANDS.add(
    "guesses",
    "what was guessed before the number was shown, beside what came",
    BIN,
    examples=["guesses kitchen", "guesses kitchen --json"],
    more="A guess is written by wormbin guess, or on the screen by e, then x. With `settings guess-first yes` a bin's\n"
    "page asks for one before it shows its figures.",
)
def _guesses(call: Call) -> Exit:
    view = farm.guesses.view(call.farm, call.args.bin)
    return call.answer(pages.school.guesses(view, call.units, ascii=call.output.ascii), view.document)
