"""The commands that keep the farm itself: settings, keepers, files in and out, the demo."""

from __future__ import annotations

from wormbin.cli.desk import Desk
from wormbin.cli.exits import Exit, tell
from wormbin.cli.grammar import Commands
from wormbin.farm import log_files, rounds
from wormbin.farm.settings import (
    add_keeper,
    change_setting,
    remove_keeper,
    setting_word,
    setting_words,
    stock_words,
    wrote_too,
)
from wormbin.farm.settings import keepers as keepers_now

DEMOS = ("apartment", "classroom", "seller")

_COLUMNS = """\
bins.csv, one row a bin (bin is the name in commands):
  bin,name,length_cm,width_cm,depth_cm,compartments,drainage,cover,species,site_temp_c,method,tare_kg,started,keeper
  kitchen,Kitchen,60,40,30,1,no,loose,eisenia,20,sort,2.1,2026-03-01,Ana

log.csv, one row a line of the log; what does not fit a kind stays empty, and columns may be left out:
  when,bin,kind,material,amount,unit,moisture_pct,squeeze,temp_c,left_pct,contents_cm,smell,seen,ph,by,note
  stocking  2026-03-01,kitchen,stocking,,500,g           (worms out: an amount below nought)
  feeding   2026-03-04,kitchen,feeding,melon rind,300,g  (also bedding)
  watering  2026-03-05,kitchen,watering,,0.5,L           (also draining)
  check     2026-03-06T18:10,kitchen,check,,,,,sponge,21,20
  weighing  2026-03-07,kitchen,weighing,tare,6.4,kg      (tare: the box was on the scale)
  survey    2026-03-08,kitchen,survey,sample 225 cm2,12,g
  move      2026-03-09,kitchen,move,attic,100,g          (material is the other bin)
  harvest   2026-06-01,kitchen,harvest,,4,kg             (column lot: the lot they went into)
  fluff     2026-06-02,kitchen,fluff
  note      2026-06-03,kitchen,note                      (the words in the column note)
stock, feed, water, drain and weigh are understood as kinds, too. All columns: wormbin export writes them."""


def add_commands(commands: Commands) -> None:
    """Settings, keepers, import, export, demo."""
    settings = commands.add(
        "settings",
        _settings,
        "how this farm is run: units, targets, days off, beddings on hand, instruments",
        examples=[
            "settings",
            "settings units us",
            'settings feed-days "monday, thursday"',
            "settings moisture 75-85",
            'settings on-hand "1.2 kg shredded cardboard"',
            'settings bucket "breakfast: 150 g coffee grounds, 80 g banana peel"',
            'settings tare "green tub: 240 g"',
            'settings measure "handful 40 g"',
            'settings away "2026-07-20 to 2026-08-03: summer"',
        ],
        more="Lists (away, on-hand, bucket, tare) gain or replace one item; an empty value clears them.",
    )
    settings.add_argument("name", metavar="SETTING", nargs="?", default="", help="which one; all are shown without")
    settings.add_argument("value", metavar="VALUE", nargs="?", default=None, help="its new value; empty clears")
    settings.set_defaults(writes=lambda args: args.value is not None)

    keepers = commands.add(
        "keepers",
        _keepers,
        "who writes: first names or initials, nothing more",
        examples=["keepers", "keepers --add Ana"],
    )
    keepers.add_argument("--add", metavar="NAME", help="one more who writes")
    keepers.add_argument("--remove", metavar="NAME", help="take a name off the list; what they wrote stays")
    keepers.set_defaults(writes=lambda args: args.add is not None or args.remove is not None)

    bring = commands.add(
        "import",
        _import,
        "bring log files (bins.csv, log.csv, castings.csv) in, all or nothing",
        examples=["import ./my-log --try", "import ./my-log"],
        more="Every bad row is listed, and with any bad row nothing is written. The same twice adds nothing twice.\n"
        "A time without an offset keeps its wall clock; a day without a time is shown without one, and stands\n"
        "at noon. Rows of one moment stand in the order of the file, but what was seen before what was done.\n"
        "Cells may be parted by commas, semicolons or tabs, in UTF-8 or UTF-16. A file holds up to 250,000 rows\n"
        "and 200 MB; a longer log is brought in year by year, the oldest first (export --year writes it so).\n\n"
        + _COLUMNS,
    )
    bring.add_argument("folder", metavar="FOLDER", help="where bins.csv and log.csv lie")
    bring.add_argument("--try", dest="only_try", action="store_true", help="say what would come in and save nothing")
    bring.set_defaults(writes=True)
    export = commands.add(
        "export",
        _export,
        "write the log files, to be read by a spreadsheet or by import",
        examples=["export ./my-log", "export ./my-log/2025 --year 2025"],
    )
    export.add_argument("folder", metavar="FOLDER", help="where to write them")
    export.add_argument("--yes", action="store_true", help="write over files that are no export without asking")
    export.add_argument("--year", metavar="YEAR", type=int, default=None, help="only the lines of this year")

    demo = commands.add(
        "demo",
        _demo,
        "look round a throw-away copy of a made-up farm",
        examples=["demo", "demo seller"],
        more="In a terminal it opens the full-screen program, else it prints the round; on the log's last day.",
    )
    demo.add_argument(
        "which", metavar="WHICH", nargs="?", default="apartment", choices=DEMOS, help="apartment, classroom or seller"
    )
    demo.add_argument("--print", dest="only_print", action="store_true", help="print the round even in a terminal")


def _settings(desk: Desk) -> Exit:
    from wormbin.drawing.marks import plain

    args = desk.args
    if args.name and args.value is not None:
        desk.recorded(change_setting(desk.farm, args.name, args.value))
        return Exit.DONE
    shown = setting_words(desk.farm)
    if args.name:
        shown = {args.name: setting_word(desk.farm, args.name)}
    if desk.paper.json:
        desk.paper.document({"settings": shown})
    else:
        width = max((len(name) for name in shown), default=0)
        desk.paper.lines(f"{name.ljust(width)}  {plain(words) or '-'}" for name, words in shown.items())
        if "on-hand" in shown and (left := stock_words(desk.farm)):
            tell(left)
    return Exit.DONE


def _keepers(desk: Desk) -> Exit:
    from wormbin.drawing.marks import plain

    if desk.args.add is not None:
        desk.recorded(add_keeper(desk.farm, desk.args.add))
    if desk.args.remove is not None:
        desk.recorded(remove_keeper(desk.farm, desk.args.remove))
    if desk.args.add is None and desk.args.remove is None:
        names, others = keepers_now(desk.farm), wrote_too(desk.farm)
        if desk.paper.json:
            desk.paper.document({"keepers": names, "in_the_log": others})
        else:
            desk.paper.lines(plain(name) for name in names)
        if not names:
            tell("Nobody is on the list; entries may still carry any name. Add one: wormbin keepers --add Ana")
        if others:
            tell("In the log, not on the list: " + ", ".join(plain(name) for name in others))
    return Exit.DONE


def _import(desk: Desk) -> Exit:
    from pathlib import Path

    desk.recorded(log_files.bring_in(desk.farm, Path(desk.args.folder), only_try=desk.args.only_try))
    return Exit.DONE


def _export(desk: Desk) -> Exit:
    from pathlib import Path

    from wormbin.problems import Problem, RefusedError

    args = desk.args
    if not args.folder.strip() or "\0" in args.folder:
        raise RefusedError(Problem("export", args.folder, "the folder to write into", "./my-log"))
    desk.recorded(log_files.write_out(desk.farm, Path(args.folder), args.year, over=args.yes))
    return Exit.DONE


def _demo(desk: Desk) -> Exit:
    from wormbin.cli.round_text import lines
    from wormbin.farm.samples import sample_farm

    with sample_farm(desk.args.which) as sample:
        if desk.screen is not None and not desk.args.only_print and not desk.paper.json:
            return Exit(desk.screen(sample.folder, desk.on, sample.clock, desk.args.which))
        farm = sample.farmstead(getattr(desk.args, "units", None) or "")
        view = rounds.view(farm, desk.on)
        desk.paper.document(view) if desk.paper.json else desk.paper.lines(lines(view, desk.paper))
    return Exit.DONE
