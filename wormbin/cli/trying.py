"""The commands that work something out and save nothing: a blend, a bin that does not exist, another future."""

from __future__ import annotations

from wormbin.cli.desk import Desk
from wormbin.cli.exits import Exit
from wormbin.cli.grammar import Commands
from wormbin.farm import bins, trials

_SET = "MATERIAL.FIELD=VALUE; fields: nitrogen_pct, carbon_pct, ash_pct, moisture_pct, bulk_density_kg_m3, pace"


def add_commands(commands: Commands) -> None:
    """Mix, trial, what-if."""
    mix = commands.add(
        "mix",
        _mix,
        "C:N, moisture and air of a blend; with --add the least amount that brings it where it is wanted",
        examples=[
            'mix "10 kg grass-clippings" "6.8 kg dry-leaves"',
            'mix "2 kg coffee grounds" --add shredded-cardboard --cn 25-30 --moisture 70-80',
            'mix "10 kg grass-clippings" --add dry-leaves --moisture 60 --set grass-clippings.moisture_pct=77',
        ],
    )
    mix.add_argument("portions", metavar="AMOUNT_OF", nargs="+", help='what is in it: "10 kg grass-clippings"')
    mix.add_argument("--add", metavar="MATERIAL", action="append", default=[], help="what may be added (may repeat)")
    mix.add_argument("--cn", metavar="LOW-HIGH", default="", help="C:N to reach, 25-30 or 30 (25-30 with --add alone)")
    mix.add_argument("--moisture", metavar="PER_CENT", default="", help="moisture to reach, 60 or 75-85")
    mix.add_argument("--set", metavar="VALUE", dest="sets", action="append", default=[], help=_SET)

    trial = commands.add(
        "trial",
        _trial,
        "a bin that does not exist: what would become of it, day by day",
        examples=[
            'trial --area 0.09 --depth 30cm --worms "46 g" --start "3.1 kg cattle-manure" --days 28 --temp 27',
            'trial --area 0.24 --worms "500 g" --bedding "1.2 kg shredded-cardboard" --daily "300 g kale" --json',
            'trial --area 900cm2 --start "2 kg cattle-manure" --every "20 d: 20 g cattle-manure" --hold-moisture 80',
        ],
    )
    trial.add_argument("--area", metavar="M2", required=True, help="surface: 0.09 is square metres, or 900cm2")
    trial.add_argument("--depth", metavar="LENGTH", default="30cm", help="depth of the box (30cm)")
    trial.add_argument("--worms", metavar="AMOUNT", default="0", help='"46 g", "10 worms", "10 worms of 90 mg" or 0')
    trial.add_argument(
        "--bedding", metavar="AMOUNT_OF", action="append", default=[], help="bedding at the start (may repeat)"
    )
    trial.add_argument(
        "--start", metavar="AMOUNT_OF", action="append", default=[], help="feed at the start (may repeat)"
    )
    trial.add_argument("--daily", metavar="AMOUNT_OF", action="append", default=[], help="feed every day (may repeat)")
    trial.add_argument(
        "--every",
        metavar="N_d:AMOUNT_OF",
        action="append",
        default=[],
        help='feed every so many days: "20 d: 20 g cattle-manure"',
    )
    trial.add_argument("--days", metavar="N", type=int, default=90, help="how long (90)")
    trial.add_argument(
        "--temp", metavar="TEMPERATURE", default="20", help="temperature of the bin, held: 27 is degrees C, or 80F"
    )
    trial.add_argument(
        "--hold-moisture", metavar="PER_CENT", default="", help="water is given so that moisture stays here"
    )
    trial.add_argument("--water", metavar="AMOUNT", default="", help="water at the start")
    trial.add_argument("--cover", metavar="COVER", default="loose", help="open, loose or closed")
    trial.add_argument("--drainage", metavar="YES_NO", default="yes", help="yes or no")
    trial.add_argument(
        "--species", metavar="SPECIES", default="eisenia", help="eisenia, eudrilus, perionyx or dendrobaena"
    )
    trial.add_argument("--set", metavar="VALUE", dest="sets", action="append", default=[], help=_SET)

    what_if = commands.add(
        "what-if",
        _what_if,
        "two futures of a bin side by side: as planned, and with something changed",
        examples=[
            "what-if kitchen --skip 1",
            "what-if kitchen --spell 30C:5d",
            'what-if kitchen --skip 2 --bedding "200 g shredded-cardboard"',
        ],
    )
    what_if.add_argument("bin", metavar="BIN", help="which bin")
    what_if.add_argument("--skip", metavar="N", type=int, default=0, help="leave out the next N feedings")
    what_if.add_argument(
        "--double", metavar="N", type=int, default=0, help="double the next N feedings (after those left out)"
    )
    what_if.add_argument("--bedding", metavar="AMOUNT_OF", default="", help="add this bedding today")
    what_if.add_argument("--spell", metavar="TEMP:DAYS", default="", help="a warm or cold spell: 30C:5d")
    what_if.add_argument("--split", metavar="PER_CENT", default="", help="take this share of the worms out today")
    what_if.add_argument("--harvest", action="store_true", help="harvest today")


def _mix(desk: Desk) -> Exit:
    from wormbin.pages.feeding import mix

    args = desk.args
    view = trials.mix(desk.farm, args.portions, add=args.add, cn=args.cn, moisture=args.moisture, sets=args.sets)
    return desk.answer(mix(view), view)


def _trial(desk: Desk) -> Exit:
    from wormbin.farm.trials.made_up_bin import TrialDraft
    from wormbin.pages.futures import trial

    args = desk.args
    draft = TrialDraft(
        area=args.area,
        depth=args.depth,
        worms=args.worms,
        bedding=tuple(args.bedding),
        start=tuple(args.start),
        daily=tuple(args.daily),
        every=tuple(args.every),
        days=args.days,
        temp=args.temp,
        hold_moisture=args.hold_moisture,
        water=args.water,
        cover=args.cover,
        drainage=args.drainage,
        species=args.species,
        sets=tuple(args.sets),
    )
    result = trials.trial(desk.farm, draft)
    return desk.answer(trial(result, desk.farm.units), result)


def _what_if(desk: Desk) -> Exit:
    from wormbin.pages.futures import what_if

    args = desk.args
    view = bins.what_if(
        desk.farm,
        args.bin,
        skip=args.skip,
        double=args.double,
        bedding=args.bedding,
        spell=args.spell,
        split=args.split,
        harvest=args.harvest,
        on=desk.on,
    )
    return desk.answer(what_if(view), view)
