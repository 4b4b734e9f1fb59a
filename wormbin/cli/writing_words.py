"""The words of the commands that write: each with its help, its options and its examples."""

from __future__ import annotations

from wormbin.cli import writing
from wormbin.cli.grammar import Listing, Options

_CHECK = (
    ("moisture", "82", "moisture in per cent, wet basis"),
    ("moisture-by", "meter", "what it was read with: meter, oven or squeeze"),
    ("squeeze", "sponge", "a squeezed handful: dry, damp, sponge (as wrung out: right) or dripping"),
    ("temp", "21C", "temperature of the bedding, 21C or 70F"),
    ("left", "30%", "share of the last feeding still there, by eye"),
    ("depth", "18cm", "depth of the contents by the ruler"),
    ("smell", "earthy", "what it smells of: earthy, sour, rotten, ammonia ..."),
    ("seen", "mites", "what was seen, parted by commas: mites, flies, worms climbing ..."),
    ("ph", "6.8", "pH"),
    ("oven-wet", "10g", "an oven test: weight of the sample wet"),
    ("oven-dry", "2.3g", "an oven test: weight of the same sample dry"),
)
_BIN_FIELDS = (
    ("name", "NAME", "what people call it"),
    ("length", "60cm", "inside length"),
    ("width", "40cm", "inside width"),
    ("depth", "30cm", "inside depth of the box"),
    ("area", "0.24m2", "surface, instead of length and width"),
    ("litres", "70L", "volume, with the depth, instead of length and width"),
    ("compartments", "1", "trays or halves, 1 to 5"),
    ("drainage", "no", "yes or no: holes at the base"),
    ("cover", "loose", "open, loose or closed"),
    ("species", "eisenia", "eisenia, eudrilus, perionyx or dendrobaena"),
    ("site-temp", "20C", "the room's usual temperature"),
    ("method", "sort", "how castings come off: sort, sideways, upward, bait, screen or flow"),
    ("tare", "2.1kg", "weight of the empty box"),
    ("worms", "500g", "worms to begin with, by weight or number"),
    ("started", "DATE", "the day it begins (today)"),
    ("keeper", "NAME", "who keeps it"),
)


def heading(command: Options, *, compartment: bool = True) -> None:
    """The options of a command that writes: when, who, a note, which line it amends, which compartment."""
    command.set_defaults(writes=True)
    command.add_argument("--when", metavar="WHEN", help="when it was: 2026-03-02T18:10, yesterday, today 7:30 (now)")
    command.add_argument("--by", metavar="NAME", help="who writes (else WORMBIN_KEEPER)")
    command.add_argument("--note", metavar="TEXT", help="anything else worth keeping")
    command.add_argument("--replaces", metavar="ENTRY", help="the id of the line that this one amends")
    if compartment:
        command.add_argument("--compartment", metavar="N", help="which tray or half, 1 the lowest or leftmost")
    else:
        command.set_defaults(compartment=None)


def add_commands(commands: Listing) -> None:
    """Feed, check, and every other kind of entry; start, strike, amend, undo."""
    feed = commands.add(
        "feed",
        writing.feed,
        "show what a feeding does to the bin, and save it",
        examples=[
            'feed kitchen "300 g melon rind" "2 cups coffee grounds" --bedding "60 g shredded cardboard"',
            "feed kitchen --same --try",
        ],
        more="Too much is held back: it asks, or ends with 1 when nobody is there to answer.",
    )
    feed.add_argument("bin", metavar="BIN", help="which bin")
    feed.add_argument("portions", metavar="AMOUNT_OF", nargs="*", help='what goes in: "300 g melon rind"')
    feed.add_argument(
        "--bedding", metavar="AMOUNT_OF", action="append", default=[], help="bedding that goes in with it"
    )
    feed.add_argument("--water", metavar="AMOUNT", default="", help="water that goes in with it")
    feed.add_argument("--same", action="store_true", help="the same as last time")
    feed.add_argument("--bucket", metavar="NAME", default="", help="one of the usual buckets (see settings)")
    feed.add_argument("--yes", action="store_true", help="save it even when it is too much")
    feed.add_argument("--try", dest="only_try", action="store_true", help="show what it does and save nothing")
    feed.add_argument("--explain", action="store_true", help="open the amounts to add: inputs, formula and source")
    heading(feed)

    check = commands.add(
        "check",
        writing.check,
        "write down what was seen on opening the bin",
        examples=[
            "check kitchen --squeeze sponge --temp 21C --left 30%",
            "check kitchen --moisture 82 --depth 18cm --seen mites",
        ],
        more="Every option may be left out, but not all of them. An unlikely value is asked about.",
    )
    check.add_argument("bin", metavar="BIN", help="which bin")
    for name, example, what in _CHECK:
        check.add_argument(f"--{name}", metavar=example.upper(), help=what)
    check.add_argument("--yes", action="store_true", help="keep unlikely values without asking")
    heading(check)

    bedding = commands.add(
        "bedding", writing.bedding, "write down bedding put in", examples=['bedding kitchen "200 g shredded cardboard"']
    )
    bedding.add_argument("bin", metavar="BIN", help="which bin")
    bedding.add_argument("portions", metavar="AMOUNT_OF", nargs="*", help='what goes in: "200 g shredded cardboard"')
    _yes(bedding)
    heading(bedding)
    _amounts(commands)

    start = commands.add(
        "start",
        writing.start,
        "begin a new bin: proposes its first bedding, water, worms and feedings",
        examples=[
            'start kitchen --length 60cm --width 40cm --depth 30cm --drainage no --cover loose --worms "500 g"',
            "start kitchen --length 60cm --width 40cm --depth 30cm --yes",
        ],
        more="Shows the proposal; --yes writes the bin with its bedding, water and worms.",
    )
    start.add_argument("bin", metavar="BIN", help="its name in commands: letters, digits, hyphens")
    for name, example, what in _BIN_FIELDS:
        start.add_argument(f"--{name}", metavar=example.upper(), default="", help=what)
    start.add_argument("--yes", action="store_true", help="write it")
    start.set_defaults(writes=lambda args: args.yes)

    strike = commands.add(
        "strike",
        writing.strike,
        "strike a line through; it stays, with the reason",
        examples=['strike 7k2f9q --why "wrong bin"'],
    )
    strike.add_argument("entry", metavar="ENTRY", help="the line's id, or the first letters of it (see log)")
    strike.add_argument("--why", metavar="TEXT", required=True, help="the reason")
    strike.add_argument("--by", metavar="NAME", help="who strikes it (else WORMBIN_KEEPER)")
    strike.add_argument("--yes", action="store_true", help="without asking when another line stands again for it")
    amend = commands.add(
        "amend",
        writing.amend,
        "write a right line for a wrong one, which stays readable",
        examples=["amend 7k2f9q --moisture 72", 'amend 9ab3cd "200 g melon rind"'],
        more="What follows ENTRY is what the command of its kind takes; what is not said again stays as it was.",
    )
    amend.add_argument("entry", metavar="ENTRY", help="the line's id, or the first letters of it (see log)")
    amend.add_argument("rest", metavar="...", nargs="...", help="what is right")
    undo = commands.add("undo", writing.undo, "take the last change back (it is struck, not lost)", examples=["undo"])
    undo.add_argument("--by", metavar="NAME", help="who takes it back (else WORMBIN_KEEPER)")
    redo = commands.add("redo", writing.redo, "do again what undo took back last", examples=["redo"])
    redo.add_argument("--by", metavar="NAME", help="who does it again (else WORMBIN_KEEPER)")
    for command in (strike, undo, redo):
        command.set_defaults(writes=True)


def _yes(command: Options) -> None:
    command.add_argument("--yes", action="store_true", help="keep an unlikely amount without asking")


def _amounts(commands: Listing) -> None:
    water = commands.add("water", writing.water, "write down water put in", examples=['water kitchen "500 mL"'])
    drain = commands.add(
        "drain", writing.drain, "write down water let out at the base", examples=['drain kitchen "1 cup"']
    )
    weigh = commands.add(
        "weigh", writing.weigh, "write down what the contents weigh", examples=['weigh kitchen "14.2 kg" --with-box']
    )
    stock = commands.add(
        "stock",
        writing.stock,
        "write down worms put in, or taken out",
        examples=['stock kitchen "500 g"', 'stock kitchen "200 worms" --out'],
    )
    for command, what in (
        (water, "how much"),
        (drain, "how much"),
        (weigh, "the weight"),
        (stock, "how many: 500 g, 1 lb, 250 worms"),
    ):
        command.add_argument("bin", metavar="BIN", help="which bin")
        command.add_argument("amount", metavar="AMOUNT", help=what)
    weigh.add_argument("--with-box", action="store_true", help="the box was on the scale; its tare comes off")
    stock.add_argument("--out", action="store_true", help="taken out: sold or given away")
    survey = commands.add(
        "survey",
        writing.survey,
        "write down a worm survey: worms in samples of one size",
        examples=['survey kitchen "12 g" "9 g" "15 g" --sample 225cm2'],
    )
    survey.add_argument("bin", metavar="BIN", help="which bin")
    survey.add_argument("samples", metavar="WORMS", nargs="+", help="worms in each sample: 12 g, 25 worms")
    survey.add_argument("--sample", metavar="AREA", help="the surface of one sample: 225cm2")
    survey.add_argument("--try", dest="only_try", action="store_true", help="show the sum and save nothing")
    move = commands.add(
        "move",
        writing.move,
        "write down worms moved to another bin, in both logs",
        examples=['move kitchen balcony "200 g"'],
    )
    move.add_argument("bin", metavar="BIN", help="from which bin")
    move.add_argument("to", metavar="TO", help="to which bin")
    move.add_argument("amount", metavar="WORMS", help="how many: 200 g, 100 worms")
    harvest = commands.add(
        "harvest",
        writing.harvest,
        "write down castings taken off",
        examples=['harvest kitchen "4.5 kg" --moisture 70 --lot spring-26', 'harvest kitchen "6 L" --left-behind 30'],
    )
    harvest.add_argument("bin", metavar="BIN", help="which bin")
    harvest.add_argument("amount", metavar="AMOUNT", help="castings taken off, by weight or volume")
    harvest.add_argument("--moisture", metavar="PER_CENT", help="moisture of the castings, if known")
    harvest.add_argument(
        "--left-behind",
        metavar="PER_CENT",
        help="how much of all the castings stayed in the bin, by eye; then a small harvest teaches too",
    )
    harvest.add_argument("--worms-out", metavar="AMOUNT", help="worms lost with them")
    harvest.add_argument("--lot", metavar="NAME", help="the lot they go into, new or begun (see castings)")
    fluff = commands.add(
        "fluff", writing.fluff, "write down that the contents were lifted and loosened", examples=["fluff kitchen"]
    )
    fluff.add_argument("bin", metavar="BIN", help="which bin")
    note = commands.add(
        "note", writing.note, "write words into the log", examples=['note kitchen "moved it out of the sun"']
    )
    note.add_argument("bin", metavar="BIN", help="which bin")
    note.add_argument("words", metavar="TEXT", help="the words")
    for command in (water, drain, stock, survey, move, harvest):
        _yes(command)
    for command in (water, drain, weigh, stock, survey, move, harvest, fluff):
        heading(command)
    heading(note)
