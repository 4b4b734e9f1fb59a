"""The command for castings after the harvest: lots, their steps, stock, sales and uses, where a bag came from."""

from __future__ import annotations

from argparse import RawDescriptionHelpFormatter
from functools import partial

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit
from wormbin.cli.grammar import Handler, Listing, Parser, shared
from wormbin.cli.writing import said_in
from wormbin.cli.writing_words import fields, heading
from wormbin.farm.lots import castings as castings_now
from wormbin.records.kinds.castings import LOT_KINDS, LotKind
from wormbin.records.kinds.fields import Description

_MORE = """\
A lot begins with a harvest into it: wormbin harvest kitchen "4.5 kg" --lot spring-26. Lines of lots are amended, struck
and undone as those of bins are. What a label may say and what a sale needs is for your own local law to tell: ask
before you sell."""


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
    for kind in LOT_KINDS.values():
        if (command := kind.command) is not None:
            verb = add(command.name, partial(_write, kind=kind), command.does, f" {command.examples[0]}", "LOT")
            fields(verb, kind)
            heading(verb, compartment=False)
    add("stock", _stock, "what is ready to go, and what is on its way")
    add("yields", _yields, "castings per kilogram of feed, per bin and per square metre")
    plan = add(
        "plan", _plan, "which bins can bring how much by a day, and how likely it is enough", " --kg 40 --by 2026-11-30"
    )
    plan.add_argument("--kg", metavar="AMOUNT", required=True, help='how much finished castings: 40, "40 lb"')
    plan.add_argument("--by", metavar="DATE", required=True, help="by when: 2026-11-30")


def _write(call: Call, kind: Description[LotKind]) -> Exit:
    said = said_in(call, kind)
    return call.asked(lambda head: castings_now(call.farm).write(call.args.name, kind.kind, said, head))


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
