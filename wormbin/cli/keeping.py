"""The commands that keep the farm itself: settings, keepers, files in and out, the demo."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wormbin import farm, pages
from wormbin.cli.call import Call
from wormbin.cli.grammar import Commands, option
from wormbin.cli.output import Exit, ask, complain, tell
from wormbin.farm import rounds
from wormbin.farm.settings import (
    add_keeper,
    change_setting,
    keepers as keepers_now,
    remove_keeper,
    setting_word,
    setting_words,
    wrote_too,
)

if TYPE_CHECKING:
    from wormbin.farm.backups import CareReport


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

COMMANDS = Commands()


@COMMANDS.add(
    "settings",
    "how this farm is run: units, targets, days off, beddings on hand, instruments",
    option("name", metavar="SETTING", nargs="?", default="", help="which one; all are shown without"),
    option("value", metavar="VALUE", nargs="?", default=None, help="its new value; empty clears"),
    examples=[
        "settings",
        "settings units us",
        'settings feed-days "monday, thursday"',
        "settings moisture 75-85",
        'settings on-hand "1.2 kg shredded cardboard"',
        'settings bucket "breakfast: 150 g coffee grounds, 80 g banana peel"',
        'settings tare "green tub: 240 g"',
        'settings measure "bag 2 kg"',
        'settings price "bag 9.50"',
        "settings currency EUR",
        'settings away "2026-07-20 to 2026-08-03: summer"',
        'settings school-days "monday to friday"',
    ],
    more="Lists (away, on-hand, bucket, tare, measure, price) gain or replace one item; an empty value clears them.\n"
    'keys "check: 1; feed: 2": other keys on the screen, for what can be done with a bin in hand.\n'
    "guess-first yes: round, outlook, page and wall show figures after a guess of the day; no ends it.\n"
    "A school's rota (school-days, term, jobs, together, half-days): wormbin turns --help.",
    writes=lambda args: args.value is not None,
)
def _settings(call: Call) -> Exit:
    args = call.args
    if args.name and args.value is not None:
        call.recorded(change_setting(call.farm, args.name, args.value))
        return Exit.DONE
    shown = setting_words(call.farm)
    if args.name:
        shown = {args.name: setting_word(call.farm, args.name)}
    call.answer([pages.page.Rows([(name, words or "-") for name, words in shown.items()])], {"settings": shown})
    if not call.output.json and "on-hand" in shown and (left := farm.materials.stock_words(call.farm)):
        tell(left)
    return Exit.DONE


@COMMANDS.add(
    "keepers",
    "who writes: first names or initials, nothing more",
    option("--add", metavar="NAMES", help="one or more who write, parted by commas"),
    option("--remove", metavar="NAME", help="take a name off the list; what they wrote stays"),
    option("--yes", action="store_true", help="keep a name that looks like more than a first name"),
    examples=["keepers", "keepers --add Ana", 'keepers --add "Ana, Ben, Cleo B."'],
    writes=lambda args: args.add is not None or args.remove is not None,
)
def _keepers(call: Call) -> Exit:
    from wormbin.drawing.marks import plain

    if call.args.add is not None:
        way = "Say a first name or initials, or add --yes to keep it."
        done = call.agreed(lambda asks: add_keeper(call.farm, call.args.add, ask=asks), way)
        if done is not Exit.DONE:
            return done
    if call.args.remove is not None:
        call.recorded(remove_keeper(call.farm, call.args.remove))
    if call.args.add is None and call.args.remove is None:
        names, others = keepers_now(call.farm), wrote_too(call.farm)
        call.answer([pages.page.Sentence(name) for name in names], {"keepers": names, "in_the_log": others})
        if not names:
            tell("Nobody is on the list; entries may still carry any name. Add one: wormbin keepers --add Ana")
        if others:
            tell("In the log, not on the list: " + ", ".join(plain(name) for name in others))
    return Exit.DONE


@COMMANDS.add(
    "import",
    "bring log files (bins.csv, log.csv, castings.csv) in, all or nothing",
    option("folder", metavar="FOLDER", help="where bins.csv and log.csv lie"),
    option("--try", dest="only_try", action="store_true", help="say what would come in and save nothing"),
    examples=["import ./my-log --try", "import ./my-log"],
    more="Every bad row is listed, and with any bad row nothing is written. The same twice adds nothing twice.\n"
    "A time without an offset keeps its wall clock. A day without a time is shown without one, and stands\n"
    "at noon. Rows of one moment keep the order of the file, but what was seen comes before what was done.\n"
    "Cells may be parted by commas, semicolons or tabs, in UTF-8 or UTF-16. A file holds up to 250,000 rows\n"
    "and 200 MB; a longer log is brought in year by year, the oldest first (export --year writes it so).\n\n"
    + _COLUMNS,
    writes=True,
)
def _import(call: Call) -> Exit:
    from pathlib import Path

    call.recorded(farm.log_files.bring_in(call.farm, Path(call.args.folder), only_try=call.args.only_try))
    return Exit.DONE


@COMMANDS.add(
    "export",
    "write the log files, to be read by a spreadsheet or by import",
    option("folder", metavar="FOLDER", help="where to write them"),
    option("--year", metavar="YEAR", type=int, default=None, help="only the lines of this year"),
    option("--lesson", action="store_true", help="plain sheets for a spreadsheet lesson instead: one a quantity"),
    option("--yes", action="store_true", help="write over files that are no export without asking"),
    examples=["export ./my-log", "export ./my-log/2025 --year 2025", "export ./lesson --lesson"],
    more="With --lesson: day, bin, value, who, read or worked out, low, high; a row a reading and a row a day, in the\n"
    "units that are set. Eight times in ten the true value lies from low to high. import does not take them.",
)
def _export(call: Call) -> Exit:
    from pathlib import Path

    from wormbin.problems import Problem, RefusedError

    args = call.args
    if not args.folder.strip() or "\0" in args.folder:
        raise RefusedError(Problem("export", args.folder, "the folder to write into", "./my-log"))
    if args.lesson:
        call.recorded(farm.log_files.write_sheets(call.farm, Path(args.folder), over=args.yes))
        return Exit.DONE
    call.recorded(farm.log_files.write_out(call.farm, Path(args.folder), args.year, over=args.yes))
    return Exit.DONE


@COMMANDS.add(
    "demo",
    "look round a throw-away copy of a made-up farm",
    option(
        "which", metavar="WHICH", nargs="?", default="apartment", choices=DEMOS, help="apartment, classroom or seller"
    ),
    option("--print", dest="only_print", action="store_true", help="print the round even in a terminal"),
    examples=["demo", "demo seller"],
    more="In a terminal it opens the full-screen program, else it prints the round; on the log's last day.",
)
def _demo(call: Call) -> Exit:
    with farm.samples.sample_farm(call.args.which) as sample:
        if call.screen is not None and not call.args.only_print and not call.output.json:
            return Exit(call.screen(sample.folder, call.on, sample.clock, call.args.which))
        session = sample.session(getattr(call.args, "units", None) or "")
        view = rounds.view(session, call.on)
        return call.answer(pages.round.whole_round(view), view)


_MORE = """\
check    reads every file and backup. It finds what is torn, double, out of place or unknown, and says what it read. It
         ends with 3 when lines cannot be read. --accept FILE takes a file that you mended by hand as it now is.
backup   makes a verified copy now. The first change of a day makes one by itself.
restore  first shows what would change, then asks. --yes brings it back without asking. What it replaces is kept.
         With --bin only that bin: its log, and its own name, size, place and end; not the keepers, settings, lots,
         and other bins.
merge    takes over the lines that another copy of this store has; without FOLDER the copies that a sync service left
         beside the files. Lines are known by their ids, so nothing comes twice. `undo` takes a merge back."""


@COMMANDS.add(
    "store",
    "look the store over, copy it, bring a copy back, join two copies",
    option(
        "what", choices=("check", "backup", "restore", "merge"), metavar="WHAT", help="check, backup, restore or merge"
    ),
    option("folder", metavar="COPY", nargs="?", default="", help="the backup to restore, or the copy to merge"),
    option("--accept", metavar="FILE", default="", help="check: take this file as it was mended by hand"),
    option("--bin", metavar="BIN", default="", help="restore: only this bin, its log and its own particulars"),
    option("--try", dest="only_try", action="store_true", help="say what would change and change nothing"),
    option("--yes", action="store_true", help="restore: bring it back without asking"),
    examples=[
        "store check",
        "store check --accept bins/kitchen/2026.json",
        "store backup",
        "store restore 2026-03-02 --try",
        "store restore 2026-03-02T081500-01-daily --bin kitchen --yes",
        "store merge ../laptop-copy --try",
        "store merge",
    ],
    more=_MORE,
    writes=lambda args: not args.only_try and (args.what != "check" or args.accept),
)
def _store(call: Call) -> Exit:
    args = call.args
    for name, fits in (("accept", "check"), ("bin", "restore"), ("yes", "restore")):
        if getattr(args, name) and args.what != fits:
            complain(f"--{name} goes with store {fits}", f"Try: wormbin store {fits} --{name} ...")
            return Exit.NOT_UNDERSTOOD
    if args.only_try and args.what in ("check", "backup"):
        complain(f"--try does not go with store {args.what}", f"Try: wormbin store {args.what}")
        return Exit.NOT_UNDERSTOOD
    if args.folder and args.what in ("check", "backup"):
        complain(f"store {args.what}: “{args.folder}” is too much", f"Try: wormbin store {args.what}")
        return Exit.NOT_UNDERSTOOD
    return {"check": _check, "backup": _backup, "restore": _restore, "merge": _merge}[args.what](call)


def _say(call: Call, report: CareReport, *, done: bool) -> Exit:
    if done and report.changes:
        call.saved.append("; ".join(report.lines))
    if call.output.json:
        call.output.document(
            {"what": call.args.what, "sound": report.sound, "changed": done and report.changes, "lines": report.lines}
        )
    else:
        from wormbin.drawing.marks import plain

        call.output.lines(plain(line) for line in report.lines)
    return Exit.DONE if report.sound else Exit.NO_STORE


def _check(call: Call) -> Exit:
    from pathlib import Path

    care = farm.backups.care(call.farm)
    return _say(call, care.accept(Path(call.args.accept)) if call.args.accept else care.check(), done=True)


def _backup(call: Call) -> Exit:
    return _say(call, farm.backups.care(call.farm).backup(), done=True)


def _restore(call: Call) -> Exit:
    from pathlib import Path

    args, care = call.args, farm.backups.care(call.farm)
    if not args.folder:
        known = care.backups()[-10:]
        there = "The newest are: " + ", ".join(known) if known else "There is none yet: wormbin store backup"
        complain("store restore: which backup?", there)
        return Exit.NOT_UNDERSTOOD
    copy, bins = Path(args.folder), (call.farm.bin(args.bin).key,) if args.bin else None
    plan = care.restore_plan(copy, bins)
    if args.only_try or not plan.changes:
        return _say(call, plan, done=False)
    if not args.yes:
        tell([*plan.lines[:-1]])
        if not ask("Bring it back? What is there now is kept as a backup."):
            if call.output.json:
                _say(call, plan, done=False)
            complain("nothing was changed", "--yes brings the backup back; a copy of what is there now is kept.")
            return Exit.HELD_BACK
    return _say(call, care.restore(copy, bins), done=True)


def _merge(call: Call) -> Exit:
    from pathlib import Path

    args, care = call.args, farm.backups.care(call.farm)
    folder = Path(args.folder) if args.folder else None
    if folder is None and not care.copies():
        complain(
            "store merge: which copy? Beside the store's files there is none",
            "Give the folder of the other copy: wormbin store merge FOLDER",
        )
        return Exit.NOT_UNDERSTOOD
    return _say(call, care.merge_plan(folder) if args.only_try else care.merge(folder), done=not args.only_try)
