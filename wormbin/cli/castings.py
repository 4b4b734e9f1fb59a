"""The command for castings after the harvest: lots, their steps, stock, sales and uses, where a bag came from."""

from __future__ import annotations

from wormbin import farm, pages
from wormbin.cli.call import Call
from wormbin.cli.grammar import Commands, option
from wormbin.cli.output import Exit
from wormbin.cli.writing import HEADING, add_lines

COMMANDS = Commands()
VERBS = Commands()
"""The words of the command, each for a thing to look at or to write."""
ORDERS = Commands()
_LOT = option("name", metavar="LOT", help="which lot")
_MORE = """\
A lot begins with a harvest into it: wormbin harvest kitchen "4.5 kg" --lot spring-26. Amend, strike and
undo lines of lots as those of bins. Your own local law says what a label may say and what a sale needs: ask before you
sell."""


@COMMANDS.add(
    "castings",
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
    verbs=VERBS,
)
@VERBS.add(
    "list",
    "every lot: how far it is, what is in it, how wet",
    option("--only", choices=("stock", "coming"), default="", help="those in stock, or those still on their way"),
    examples=["castings list", "castings list --only stock"],
)
def _list(call: Call) -> Exit:
    only = getattr(call.args, "only", "")
    views = tuple(each for each in farm.lots.Lots(call.farm).all(call.on) if not only or (only == each.where))
    return call.answer(pages.lots.lots(views, call.farm.units), {"lots": views})


@VERBS.add(
    "show",
    "the bins, days and feedstocks a lot came from, and its lines",
    _LOT,
    option("--struck", action="store_true", help="struck and replaced lines too"),
    examples=["castings show spring-26"],
)
def _show(call: Call) -> Exit:
    page = farm.lots.Lots(call.farm).show(call.args.name, call.on, struck=call.args.struck)
    return call.answer(pages.lots.lot(page, call.farm.units), page)


@VERBS.add(
    "from",
    "the lots that a bin's castings went into",
    option("name", metavar="BIN", help="which bin"),
    examples=["castings from kitchen"],
)
def _from(call: Call) -> Exit:
    found = farm.lots.Lots(call.farm).went(call.args.name, call.on)
    key = call.farm.bin(call.args.name).key
    return call.answer(pages.lots.went(key, found, call.farm.units), {"bin": key, "lots": found})


add_lines(VERBS, "lot", _LOT)


@VERBS.add(
    "write-off",
    "what is left of every lot with only a little in stock, written off in one go",
    option("under", metavar="AMOUNT", help="lots with less than this: 1 kg"),
    option("--for", dest="purpose", metavar="TEXT", default="written off", help="what became of it"),
    *HEADING,
    examples=['castings write-off "1 kg" --for "own beds"'],
    writes=True,
)
def _write_off(call: Call) -> Exit:
    call.recorded(farm.lots.Lots(call.farm).write_off(call.args.under, call.args.purpose, call.heading))
    return Exit.DONE


@VERBS.add(
    "label",
    "a bag's label: lot, day, mass, room, what it was made from; no nutrient claim",
    _LOT,
    option("--size", metavar="AMOUNT", default="", help="2 kg, 5 L; else your bag (settings measure), else all of it"),
    examples=['castings label spring-26 --size "2 kg"'],
)
def _label(call: Call) -> Exit:
    view = farm.inspection.label(call.farm, call.args.name, call.args.size)
    return call.answer(pages.selling.label(view, call.farm.units), view)


@VERBS.add(
    "record",
    "a lot for an inspector: its beds, loads and steps against the guidance, gaps marked",
    _LOT,
    examples=["castings record spring-26"],
)
def _record(call: Call) -> Exit:
    record = farm.inspection.lot(call.farm, call.args.name)
    return call.answer(pages.selling.lot(record, call.farm.units), record)


@COMMANDS.add(
    "record",
    "a bed for an inspector: feeding intervals, moisture, temperature, days, against the guidance, gaps marked",
    option("name", metavar="BIN", help="which bin"),
    option("--from", dest="first", metavar="DATE", default="", help="from this day (the bin's first)"),
    option("--until", dest="last", metavar="DATE", default="", help="up to this day (today)"),
    examples=["record barn-1", "record barn-1 --from 2026-03-01 --until 2026-07-17"],
    more="Guidance, not certification: ask your certifier. Of a lot: wormbin castings record LOT.",
)
def _bed(call: Call) -> Exit:
    record = farm.inspection.bed(call.farm, call.args.name, call.args.first, call.args.last)
    return call.answer(pages.selling.bed(record, call.farm.units), record)


@VERBS.add("on-hand", "what is in stock, and what is on its way", examples=["castings on-hand"], was="stock")
def _stock(call: Call) -> Exit:
    view = farm.lots.Lots(call.farm).stock(call.on)
    return call.answer(pages.lots.stock(view, call.farm.units), view)


@VERBS.add("yields", "castings per kilogram of feed, per bin and per square metre", examples=["castings yields"])
def _yields(call: Call) -> Exit:
    views = farm.lots.Lots(call.farm).yields(call.on)
    return call.answer(pages.lots.yields(views, call.farm.units), {"yields": views})


@VERBS.add(
    "plan",
    "which bins can bring how much by a day, and how likely it is enough",
    option("--kg", metavar="AMOUNT", required=True, help='how much finished castings: 40, "40 lb"'),
    option("--by", metavar="DATE", required=True, help="by when: 2026-11-30"),
    option("--product", metavar="WHAT", default="screened", help="screened, coarse or extract base (screened)"),
    examples=["castings plan --kg 40 --by 2026-11-30"],
)
def _plan(call: Call) -> Exit:
    args = call.args
    amount = f"{args.kg} kg" if args.kg.strip().replace(".", "", 1).isdecimal() else args.kg
    view = farm.lots.Lots(call.farm).plan(amount, args.by, call.on, args.product)
    return call.answer(pages.lots.plan(view, call.farm.units), view)


@COMMANDS.add(
    "orders",
    "castings and worms promised: by when, how each stands, how likely it can be kept",
    examples=[
        "orders",
        'orders add cafe-may "20 kg" --due 2026-05-01 --buyer "Corner cafe"',
        'orders close market --why "the stall is closed"',
    ],
    more="Lines of orders are amended, struck and undone as those of bins are.",
    verbs=ORDERS,
)
@ORDERS.add(
    "list",
    "what is promised, and what became of it",
    option("--all", action="store_true", help="also what was promised long ago"),
    examples=["orders list --all"],
)
def _orders(call: Call) -> Exit:
    views = farm.orders.orders(call.farm, call.on, every=getattr(call.args, "all", False))
    return call.answer(
        pages.lots.orders(views, call.farm.units, farm.orders.left_out(call.farm, call.on)), {"orders": views}
    )


add_lines(ORDERS, "order", option("name", metavar="ORDER", help="which order"))
