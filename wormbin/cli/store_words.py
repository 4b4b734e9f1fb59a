"""The command that keeps the store: look it over, copy it, bring a copy back, join two copies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wormbin.cli.call import Call
from wormbin.cli.exits import Exit, ask, complain, tell
from wormbin.cli.grammar import Commands, option

if TYPE_CHECKING:
    from wormbin.farm.backups import CareReport

_MORE = """\
check    reads every file and backup. It finds what is torn, double, out of place or unknown, and says what it read. It
         ends with 3 when lines cannot be read. --accept FILE takes a file that you mended by hand as it now is.
backup   makes a verified copy now. The first change of a day makes one by itself.
restore  first shows what would change, then asks. --yes brings it back without asking. What it replaces is kept.
         With --bin only that bin: its log, and its own name, size, place and end; not the keepers, settings, lots,
         and other bins.
merge    takes over the lines that another copy of this store has; without FOLDER the copies that a sync service left
         beside the files. Lines are known by their ids, so nothing comes twice. `undo` takes a merge back."""

COMMANDS = Commands()


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

    from wormbin.farm.backups import care as care_now

    care = care_now(call.farm)
    return _say(call, care.accept(Path(call.args.accept)) if call.args.accept else care.check(), done=True)


def _backup(call: Call) -> Exit:
    from wormbin.farm.backups import care as care_now

    return _say(call, care_now(call.farm).backup(), done=True)


def _restore(call: Call) -> Exit:
    from pathlib import Path

    from wormbin.farm.backups import care as care_now

    args, care = call.args, care_now(call.farm)
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

    from wormbin.farm.backups import care as care_now

    args, care = call.args, care_now(call.farm)
    folder = Path(args.folder) if args.folder else None
    if folder is None and not care.copies():
        complain(
            "store merge: which copy? Beside the store's files there is none",
            "Give the folder of the other copy: wormbin store merge FOLDER",
        )
        return Exit.NOT_UNDERSTOOD
    return _say(call, care.merge_plan(folder) if args.only_try else care.merge(folder), done=not args.only_try)
