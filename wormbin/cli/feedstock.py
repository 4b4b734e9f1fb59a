"""The commands for what comes in and what it costs: loads of feedstock, hot piles, money, worms to sell."""

from __future__ import annotations

from wormbin import farm, pages
from wormbin.cli.call import Call
from wormbin.cli.grammar import Commands, option
from wormbin.cli.output import Exit
from wormbin.cli.writing import add_lines

COMMANDS = Commands()
LOADS, PILES, COSTS, WORMS = Commands(), Commands(), Commands(), Commands()
_LOAD = option("name", metavar="LOAD", help="which load")
_PILE = option("name", metavar="PILE", help="which pile")


@COMMANDS.add(
    "loads",
    "feedstock and bedding that came in: what is left, how long it lasts, where each load went",
    examples=[
        "loads",
        'loads add grain-12 "60 kg spent grain" --from "Mill Lane brewery" --price 12 --treated nothing',
        "loads recall grain-12",
    ],
    more="Feedings and beddings are taken off the load that was opened last, else off the one that came first.\n"
    "Lines of loads are amended, struck and undone as those of bins are.",
    verbs=LOADS,
)
@LOADS.add("list", "every load, what is left of it, when to buy", examples=["loads list"])
def _loads(call: Call) -> Exit:
    view = farm.feedstock.loads(call.farm, call.on)
    return call.answer(pages.feedstock.loads(view, call.farm.units), view)


@LOADS.add(
    "recall",
    "a load called back: every bed, lot and buyer that it reached, and what to do now",
    _LOAD,
    examples=["loads recall grain-12"],
)
@LOADS.add("show", "where a load went, and its lines", _LOAD, examples=["loads show grain-12"])
def _load(call: Call) -> Exit:
    page, recall = farm.feedstock.load(call.farm, call.args.name, call.on), call.args.what == "recall"
    promised = farm.orders.orders(call.farm, call.on) if recall and page.load.bad is not None else ()
    return call.answer(pages.feedstock.load(page, call.farm.units, recall=recall, promised=promised), page)


@COMMANDS.add(
    "piles",
    "hot composting before feeding: temperatures, turns, whether the heat has done its work",
    examples=[
        "piles",
        'piles add spring-pile "120 kg rabbit manure" --way windrow',
        "piles check spring-pile --temp 58C --turned",
        'piles release spring-pile "70 kg half-made compost"',
    ],
    more="55 C for 3 days in a vessel, or for 15 days with 5 turns in a windrow (7 CFR 205.203), counted from one\n"
    "day's reading to the next day's. What is released is a load of the pile's name.",
    verbs=PILES,
)
@PILES.add("list", "every pile, and how far it is", examples=["piles list"])
def _piles(call: Call) -> Exit:
    views = farm.feedstock.all_piles(call.farm, call.on)
    return call.answer(pages.feedstock.piles(views, call.farm.units), {"piles": views})


@PILES.add("show", "a pile: what was put on, its heat, its gaps", _PILE, examples=["piles show spring-pile"])
def _pile(call: Call) -> Exit:
    view = farm.feedstock.pile(call.farm, call.args.name, call.on)
    return call.answer(pages.feedstock.pile(view, call.farm.units), view)


@COMMANDS.add(
    "costs",
    "money, simply: taken and spent by month, what a kilogram costs to make and leaves",
    examples=["costs", "costs add bags --price 24", "costs lots", "costs export money.csv"],
    more="Sales and loads bring their prices (castings sell --price, loads add --price, stock --out --price); add the\n"
    "rest here. Not an accounting program: it exports. Settings: currency, hour-rate, price.",
    verbs=COSTS,
)
@COSTS.add("list", "taken and spent, by month and year", examples=["costs list"])
def _costs(call: Call) -> Exit:
    view = farm.money.costs(call.farm, call.on)
    units = call.farm.units
    page = {
        "lots": pages.selling.lots(view, units),
        "bins": pages.selling.bins(view),
        "entries": pages.selling.entries(view, units),
    }
    return call.answer(page.get(call.args.what) or pages.selling.spans(view, call.farm.units), view)


COSTS.add("lots", "what each lot cost and brought, by the kilogram", examples=["costs lots"])(_costs)
COSTS.add("entries", "every amount with its line's id, to amend or strike it", examples=["costs entries"])(_costs)
COSTS.add("bins", "what each bin took and cost", examples=["costs bins"])(_costs)


@COSTS.add(
    "export",
    "every amount as a row of a CSV file, for a spreadsheet",
    option("file", metavar="FILE", help="where to write it"),
    option("--yes", action="store_true", help="write over a file that is something else without asking"),
    examples=["costs export money.csv"],
)
def _export(call: Call) -> Exit:
    call.recorded(farm.money.export(call.farm, call.args.file, call.on, over=call.args.yes))
    return Exit.DONE


@COMMANDS.add(
    "worms",
    "the herd: worms bin by bin, what can be sold, which are due to be split or surveyed",
    examples=["worms", 'worms plan "2 kg" --by 2026-11-30'],
    more='Worms sold are written with: wormbin stock BIN "500 g" --out --price 40 --who NAME.',
    verbs=WORMS,
)
@WORMS.add("list", "every bin's worms, what it can spare, what is due", examples=["worms list"])
def _worms(call: Call) -> Exit:
    view = farm.herd.herd(call.farm, call.on)
    return call.answer(pages.selling.herd(view, call.farm.units), view)


@WORMS.add(
    "plan",
    "out of which bins so many worms can go by a day without starving the plan",
    option("amount", metavar="AMOUNT", help="how many: 2 kg, 3 lb, 2000 worms"),
    option("--by", metavar="DATE", default="", help="by when (today)"),
    examples=['worms plan "2 kg" --by 2026-11-30'],
)
def _worms_plan(call: Call) -> Exit:
    view = farm.herd.plan(call.farm, call.args.amount, call.args.by, call.on)
    return call.answer(pages.selling.plan(view, call.farm.units), view)


add_lines(LOADS, "load", _LOAD)
add_lines(PILES, "pile", _PILE)
add_lines(COSTS, "cost", option("name", metavar="WHAT", help="what for: bags, market-stall"))
