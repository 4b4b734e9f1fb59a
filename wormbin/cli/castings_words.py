"""The command for castings after the harvest: lots, their steps, stock, sales and uses, where a bag came from."""

from __future__ import annotations

from argparse import RawDescriptionHelpFormatter

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit
from wormbin.cli.grammar import Handler, Listing, Parser, shared
from wormbin.cli.writing_words import heading
from wormbin.farm.lots import castings as castings_now

_MORE = """\
A lot begins with a harvest into it: wormbin harvest kitchen "4.5 kg" --lot spring-26. Lines of lots are amended, struck
and undone as those of bins are. What a label may say and what a sale needs is for your own local law to tell: ask
before you sell."""
_ALL = 'how much: 5 kg, 2 L, or "all"'


def add_commands(commands: Listing) -> None:
    """Castings, with a word of its own for each thing to look at or to write."""
    castings = commands.add(
        "castings",
        _list,
        "lots of castings: steps, stock, sales, uses, where a bag came from",
        examples=[
            "castings",
            "castings show spring-26",
            "castings from kitchen",
            "castings step spring-26 screened --mass 7.2kg --moisture 60",
            'castings sell spring-26 "5 kg" --for "spring market" --price 30',
            'castings use spring-26 "2 L" --for "tomato pots"',
            "castings plan --kg 40 --by 2026-11-30",
        ],
        more=_MORE,
    )
    if not isinstance(castings, Parser):
        return
    verbs = castings.add_subparsers(
        title="what to look at or to write", metavar="WHAT", dest="what", help="without a word: every lot"
    )

    def add(name: str, run: Handler, what: str, example: str = "", named: str = "", help_named: str = "") -> Parser:
        verb: Parser = verbs.add_parser(
            name,
            parents=[shared(top=False)],
            help=what,
            description=f"{what[:1].upper()}{what[1:]}.",
            epilog=f"examples:\n  wormbin castings {name}{example}",
            formatter_class=RawDescriptionHelpFormatter,
        )
        verb.set_defaults(run=run)
        if named:
            verb.add_argument("name", metavar=named, help=help_named or "which lot")
        return verb

    add("list", _list, "every lot: how far it is, what is in it, how wet")
    show = add("show", _show, "the bins, days and feedstocks a lot came from, and its lines", " spring-26", "LOT")
    show.add_argument("--struck", action="store_true", help="struck and replaced lines too")
    add("from", _from, "the lots that a bin's castings went into", " kitchen", "BIN", "which bin")
    step = add("step", _write, "the lot has come that far", " spring-26 screened --mass 7.2kg --moisture 60", "LOT")
    step.add_argument("amount", metavar="STEP", help="curing, screened or stock")
    weigh = add("weigh", _write, "what was measured on a lot", " spring-26 --mass 6.8kg --volume 10L", "LOT")
    sell = add("sell", _write, "castings sold", ' spring-26 "5 kg" --for "spring market" --price 30', "LOT")
    use = add("use", _write, "castings used", ' spring-26 "2 L" --for "tomato pots"', "LOT")
    for verb in (step, weigh):
        verb.add_argument("--mass", metavar="AMOUNT", help="what the lot weighs now: 7.2 kg")
        verb.add_argument("--volume", metavar="AMOUNT", help="the room it takes now: 10 L")
        verb.add_argument("--moisture", metavar="PER_CENT", help="its moisture")
    for verb in (sell, use):
        verb.add_argument("amount", metavar="AMOUNT", help=_ALL)
        verb.add_argument("--for", dest="purpose", metavar="TEXT", help="what for, on which occasion")
    sell.add_argument("--price", metavar="MONEY", help="the money taken, in your own currency")
    sell.add_argument("--yes", action="store_true", help="sell from a lot that is not in stock yet without asking")
    use.add_argument("--yes", action="store_true", help="use from a lot that has not cured yet without asking")
    for verb in (step, weigh, sell, use):
        heading(verb, compartment=False)
    add("stock", _stock, "what is ready to go, and what is on its way")
    add("yields", _yields, "castings per kilogram of feed, per bin and per square metre")
    plan = add(
        "plan", _plan, "which bins can bring how much by a day, and how likely it is enough", " --kg 40 --by 2026-11-30"
    )
    plan.add_argument("--kg", metavar="AMOUNT", required=True, help='how much finished castings: 40, "40 lb"')
    plan.add_argument("--by", metavar="DATE", required=True, help="by when: 2026-11-30")


def _write(call: Call) -> Exit:
    args, lots = call.args, castings_now(call.farm)
    if args.what in ("step", "weigh"):
        read = args.mass or "", args.volume or "", args.moisture or ""
        if args.what == "step":
            call.recorded(lots.step(args.name, args.amount, *read, call.heading))
        else:
            call.recorded(lots.weigh(args.name, *read, call.heading))
        return Exit.DONE
    purpose = args.purpose or ""
    if args.what == "sell":
        return call.asked(lambda head: lots.sell(args.name, args.amount, purpose, args.price or "", head))
    return call.asked(lambda head: lots.use(args.name, args.amount, purpose, head))


def _list(call: Call) -> Exit:
    from wormbin.pages import lots

    views = castings_now(call.farm).all(call.on)
    return call.answer(lots.lots(views, call.farm.units), {"lots": views})


def _show(call: Call) -> Exit:
    from wormbin.pages import lots

    page = castings_now(call.farm).show(call.args.name, call.on, struck=call.args.struck)
    return call.answer(lots.lot(page, call.farm.units), page)


def _from(call: Call) -> Exit:
    from wormbin.pages import lots

    found = castings_now(call.farm).went(call.args.name, call.on)
    key = call.farm.bin(call.args.name).key
    return call.answer(lots.went(key, found, call.farm.units), {"bin": key, "lots": found})


def _stock(call: Call) -> Exit:
    from wormbin.pages import lots

    view = castings_now(call.farm).stock(call.on)
    return call.answer(lots.stock(view, call.farm.units), view)


def _yields(call: Call) -> Exit:
    from wormbin.pages import lots

    views = castings_now(call.farm).yields(call.on)
    return call.answer(lots.yields(views, call.farm.units), {"yields": views})


def _plan(call: Call) -> Exit:
    from wormbin.pages import lots

    args = call.args
    amount = f"{args.kg} kg" if args.kg.strip().replace(".", "", 1).isdecimal() else args.kg
    view = castings_now(call.farm).plan(amount, args.by, call.on)
    return call.answer(lots.plan(view, call.farm.units), view)
