"""The command for castings after the harvest: lots, their steps, stock, sales and uses, where a bag came from."""

from __future__ import annotations

from collections.abc import Callable

from wormbin.cli.desk import Desk
from wormbin.cli.exits import Exit, complain
from wormbin.cli.grammar import Commands

WHAT = ("list", "show", "from", "step", "weigh", "sell", "use", "stock", "yields", "plan")
_MORE = """\
list     every lot: how far it is, what is in it, how wet (what you get without a word)
show     LOT: which bins, days and feedstocks it came from, and its lines
from     BIN: which lots this bin's castings went into
step     LOT curing|screened|stock: the lot has come that far; --mass, --volume, --moisture if it was measured
weigh    LOT with --mass, --volume or --moisture: what was measured
sell     LOT AMOUNT: castings sold; --for what or on which occasion, --price the money taken
use      LOT AMOUNT: castings used; --for what
stock    what is ready to go, and what is on its way
yields   castings per kilogram of feed, per bin and per square metre
plan     --kg AMOUNT --by DATE: which bins can bring how much, and how likely it is enough

A lot begins with a harvest into it: wormbin harvest kitchen "4.5 kg" --lot spring-26. AMOUNT may be "all". Lines of
lots are struck, amended and undone as those of bins are. What a label may say and what a sale needs is for your own
local law to tell: ask before you sell."""
_NAMED = {"show": "LOT", "from": "BIN", "step": "LOT", "weigh": "LOT", "sell": "LOT", "use": "LOT"}
_AMOUNT = {"step": "curing, screened or stock", "sell": "an amount", "use": "an amount"}
_FITS = {
    "mass": ("step", "weigh"),
    "volume": ("step", "weigh"),
    "moisture": ("step", "weigh"),
    "purpose": ("sell", "use"),
    "price": ("sell",),
    "kg": ("plan",),
    "struck": ("show",),
    "when": ("step", "weigh", "sell", "use"),
    "note": ("step", "weigh", "sell", "use"),
    "replaces": ("step", "weigh", "sell", "use"),
    "by": ("step", "weigh", "sell", "use", "plan"),
}
_OPTION = {"purpose": "for"}


def add_commands(commands: Commands) -> None:
    """Castings."""
    castings = commands.add(
        "castings",
        _castings,
        "lots of castings: steps, stock, sales, uses, where a bag came from",
        examples=[
            "castings",
            "castings show spring-26",
            "castings from kitchen",
            "castings step spring-26 screened --mass 7.2kg --moisture 60",
            'castings sell spring-26 "5 kg" --for "spring market" --price 30',
            'castings use spring-26 "2 L" --for "tomato pots"',
            "castings plan --kg 40kg --by 2026-11-30",
        ],
        more=_MORE,
    )
    castings.add_argument(
        "what", metavar="WHAT", nargs="?", default="list", choices=WHAT, help="one of the words above (list)"
    )
    castings.add_argument("name", metavar="LOT", nargs="?", default="", help="which lot; with from, which bin")
    castings.add_argument(
        "amount", metavar="AMOUNT", nargs="?", default="", help="how much goes out; with step, the step reached"
    )
    castings.add_argument("--mass", metavar="AMOUNT", default="", help="step, weigh: what the lot weighs now")
    castings.add_argument("--volume", metavar="AMOUNT", default="", help="step, weigh: the room it takes now")
    castings.add_argument("--moisture", metavar="PER_CENT", default="", help="step, weigh: its moisture")
    castings.add_argument("--for", dest="purpose", metavar="TEXT", default="", help="sell, use: what for")
    castings.add_argument("--price", metavar="MONEY", default="", help="sell: the money taken, in your own currency")
    castings.add_argument("--kg", metavar="AMOUNT", default="", help="plan: how much is wanted (a plain number is kg)")
    castings.add_argument("--struck", action="store_true", help="show: struck and replaced lines too")
    castings.add_argument("--when", metavar="WHEN", help="when it was: 2026-03-02T18:10, yesterday (now)")
    castings.add_argument("--by", metavar="NAME", help="who writes (else WORMBIN_KEEPER); with plan, the DATE")
    castings.add_argument("--note", metavar="TEXT", help="anything else worth keeping")
    castings.add_argument("--replaces", metavar="ENTRY", help="the id of the line that this one amends")
    castings.set_defaults(compartment=None)


def _castings(desk: Desk) -> Exit:
    args = desk.args
    for name, fits in _FITS.items():
        if getattr(args, name) and args.what not in fits:
            option = _OPTION.get(name, name)
            complain(f"--{option} does not go with castings {args.what}", f"It goes with: {', '.join(fits)}.")
            return Exit.NOT_UNDERSTOOD
    for word, known, field in ((args.name, _NAMED, "name"), (args.amount, _AMOUNT, "amount")):
        if word and args.what not in known:
            complain(f"castings {args.what}: “{word}” is too much", f"Try: wormbin castings {args.what}")
            return Exit.NOT_UNDERSTOOD
        if not word and args.what in known:
            shown = known[args.what] if field == "name" else f"{args.name} with {known[args.what]}"
            complain(f"castings {args.what}: nothing was read for it", f"Say {shown}: see wormbin castings --help")
            return Exit.NOT_UNDERSTOOD
    if args.what in ("step", "weigh", "sell", "use"):
        return _write(desk)
    return _LOOK[args.what](desk)


def _write(desk: Desk) -> Exit:
    args, lots = desk.args, desk.farm.castings()
    if args.what == "step":
        done = lots.step(args.name, args.amount, args.mass, args.volume, args.moisture, desk.heading)
    elif args.what == "weigh":
        done = lots.weigh(args.name, args.mass, args.volume, args.moisture, desk.heading)
    elif args.what == "sell":
        done = lots.sell(args.name, args.amount, args.purpose, args.price, desk.heading)
    else:
        done = lots.use(args.name, args.amount, args.purpose, desk.heading)
    desk.recorded(done)
    return Exit.DONE


def _list(desk: Desk) -> Exit:
    from wormbin.cli import castings_text as text

    views = desk.farm.castings().all(desk.on)
    if desk.paper.json:
        desk.paper.document({"lots": [text.lot(view) for view in views]})
    else:
        desk.paper.lines(text.list_lines(views, desk.farm.units, desk.paper))
    return Exit.DONE


def _show(desk: Desk) -> Exit:
    from wormbin.cli import castings_text as text

    page = desk.farm.castings().show(desk.args.name, desk.on, struck=desk.args.struck)
    if desk.paper.json:
        desk.paper.document(text.page(page))
    else:
        desk.paper.lines(text.page_lines(page, desk.farm.units, desk.paper))
    return Exit.DONE


def _from(desk: Desk) -> Exit:
    from wormbin.cli import castings_text as text

    found = desk.farm.castings().went(desk.args.name, desk.on)
    bin_key = desk.farm.bin(desk.args.name).key
    if desk.paper.json:
        desk.paper.document({"bin": bin_key, "lots": [text.went(each) for each in found]})
    else:
        desk.paper.lines(text.went_lines(bin_key, found, desk.farm.units, desk.paper))
    return Exit.DONE


def _stock(desk: Desk) -> Exit:
    from wormbin.cli import castings_text as text

    view = desk.farm.castings().stock(desk.on)
    if desk.paper.json:
        desk.paper.document(text.stock(view))
    else:
        desk.paper.lines(text.stock_lines(view, desk.farm.units, desk.paper))
    return Exit.DONE


def _yields(desk: Desk) -> Exit:
    from wormbin.cli import castings_text as text

    views = desk.farm.castings().yields(desk.on)
    if desk.paper.json:
        desk.paper.document({"yields": [text.yielded(view) for view in views]})
    else:
        desk.paper.lines(text.yield_lines(views, desk.farm.units, desk.paper))
    return Exit.DONE


def _plan(desk: Desk) -> Exit:
    from wormbin.cli import castings_text as text

    args = desk.args
    if not args.kg or not args.by:
        complain("castings plan: how much, and by when?", "Try: wormbin castings plan --kg 40 --by 2026-05-01")
        return Exit.NOT_UNDERSTOOD
    amount = f"{args.kg} kg" if args.kg.strip().replace(".", "", 1).isdecimal() else args.kg
    view = desk.farm.castings().plan(amount, args.by, desk.on)
    if desk.paper.json:
        desk.paper.document(text.plan(view))
    else:
        desk.paper.lines(text.plan_lines(view, desk.farm.units, desk.paper))
    return Exit.DONE


_LOOK: dict[str, Callable[[Desk], Exit]] = {
    "list": _list,
    "show": _show,
    "from": _from,
    "stock": _stock,
    "yields": _yields,
    "plan": _plan,
}
