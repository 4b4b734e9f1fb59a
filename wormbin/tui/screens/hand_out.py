"""Files in and out of the program, and what is changed of a bin as a whole."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from threading import Event

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from wormbin.farm import log_files
from wormbin.farm.errors import StoppedError
from wormbin.farm.heading import Heading
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.problems import Problem, RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form, acting
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField

Job = Callable[["Session", str, str, str], Recorded]


def _report(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm import reports
    from wormbin.pages.report import Names, named, report_page

    file, *more = (part.strip() for part in words.split(","))
    said = dict(part.partition(" ")[::2] for part in more)
    others = said.pop("with", "").split(" and ")
    try:
        names = Names(said.pop("names", "full").replace("none", ""))
    except ValueError as wrong:
        said["names"] = str(wrong)
    if said:
        allowed = "a file; after commas: with other bins; names full, initials or none"
        raise RefusedError(Problem("report", words, allowed, f"{key}.html, with leaves, names none"))
    bins = dict.fromkeys((key, *(farm.bin(each).key for each in others if each)))
    views = [reports.report(farm, each) for each in bins]
    page = report_page(*views, compared=reports.compared(farm, tuple(bins)), names=names)
    path = reports.write_page(file or f"{key}-report.html", page.splitlines())
    return Recorded((), f"report written: {path}. {named(views, names)}")


def _lesson(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm.log_files import write_sheets

    return write_sheets(farm, Path(words or "lesson").expanduser())


def _hand_over(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm import reports
    from wormbin.farm.handing_over import hand_over
    from wormbin.pages.report import report_page

    return hand_over(farm, key, words or f"{key}.zip", report_page(reports.report(farm, key)))


def _take_in(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm.handing_over import take_in

    file, _, named = words.partition(" as ")
    return take_in(farm, Path(file.strip()).expanduser(), named)


def _change(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm.particulars import CHANGEABLE, change

    said = {}
    for part in filter(None, (each.strip() for each in words.split(";"))):
        name, colon, value = part.partition(":")
        name = name.strip().casefold().replace("-", "_").replace(" ", "_")
        if not colon or name not in CHANGEABLE:
            allowed = "one of " + ", ".join(each.replace("_", "-") for each in CHANGEABLE) + ", a colon, what is right"
            raise RefusedError(Problem("change", part, allowed, "tare: 2.4 kg; site-temp: 19 C"))
        said[name] = value.strip()
    return change(farm, key, said, Heading(by=by))


def _close(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm.particulars import close

    how, _, note = words.partition(":")
    return close(farm, key, how, Heading(by=by, note=note.strip()))


def _join(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm.particulars import join

    into, _, weighed = words.partition(":")
    return join(farm, key, into, weighed, Heading(by=by))


JOBS: dict[str, tuple[str, str, Job]] = {
    "change": ("c", "tare: 2.4 kg; site-temp: 19 C; beddings: dry leaves", _change),
    "close": ("x", "harvested, given away or died; after a colon a note", _close),
    "join": ("j", "the bin that all of this one goes into; after a colon its weight", _join),
    "report": ("r", "a file: NAME-report.html; then perhaps: , with leaves and attic, names none", _report),
    "lesson": ("l", "a folder for the spreadsheet lesson: ./lesson", _lesson),
    "hand over": ("h", "a file: NAME.zip", _hand_over),
    "take in": ("t", "the file, and what it is called here: leaves.zip as room-12", _take_in),
}
"""What can be done: its letter, an example of the words, and the work."""


class HandOutForm(Form[Recorded]):
    """A row of choices, then one line of words."""

    HELP = (
        "Change puts a bin's particulars right, and the log keeps what was so. Close ends it: it leaves the round and "
        "stays in reports. Join puts all of it into another bin and closes this one. Report (of other bins, "
        "too, and their comparison), lesson and hand over write files; take in brings a bin in that was handed over."
    )
    KEYS = (("Enter", "do it"),)
    SHEET = "middling snug"
    heading = "This bin as a whole"

    def parts(self) -> ComposeResult:
        """What, and its words."""
        choices = tuple(Choice(letter, name, name) for name, (letter, _, _) in JOBS.items())
        yield ChoiceRow("what", choices, hands_on=True, room=8, id="what")
        yield WordField("words", "pick one above first", id="words")

    @on(ChoiceRow.Picked)
    def picked(self) -> None:
        """Say what words it takes."""
        what = self.word("what")
        self.say(JOBS[what][1].replace("NAME", self.hand.key) if what in JOBS else "", role="")

    @on(Input.Submitted)
    @acting
    async def said(self, event: Input.Submitted) -> None:
        """Do it."""
        words, by = event.value.strip(), self.wormbin.by
        what, key = self.word("what"), self.hand.key
        if what not in JOBS:
            self.say("Pick what is to be done first: a letter in the row above.")
            return
        self.say("Working …", role="")
        try:
            recorded = await self.ask(lambda farm: JOBS[what][2](farm, key, words, by), SAVE)
        except RefusedError as refused:
            self.refuse(refused)
        except OSError as error:
            self.say(f"Not written: {error.strerror or error}.")
        else:
            self.dismiss(recorded)


TELL_SECONDS = 0.2
"""How often an import says how far it is."""
MOST_PROBLEMS = 8


class BringInForm(Form[Recorded]):
    """One line: the folder. Answers what was brought in."""

    HELP = (
        "Name a folder with log files: bins.csv and log.csv, as an export writes them. Every line is checked before "
        "the first is saved. What is wrong is listed with its place. Esc stops it while it reads."
    )
    heading = "Import log files"
    KEYS = (("Enter", "read them"),)
    SHEET = "middling snug"

    def __init__(self) -> None:
        super().__init__()
        self._reading = False
        self._read = 0
        self._stop = Event()

    def parts(self) -> ComposeResult:
        """The folder, how it goes, the keys."""
        yield WordField("folder with log files", "~/worms/log", id="folder")

    @on(Input.Submitted)
    def folder_said(self, event: Input.Submitted) -> None:
        """Bring the files in beside the keys."""
        event.stop()
        if not self._reading:
            self._reading = True
            self.in_background(partial(self._bring, Path(event.value.strip()).expanduser()))

    async def _bring(self, folder: Path) -> None:
        """Say how far it is; what is wrong in the files is listed and nothing is written."""
        self._stop.clear()
        self._read = 0
        self.say("Reading …   Esc stops it", role="")
        tick = self.set_interval(TELL_SECONDS, self._tell)
        try:
            recorded = await self.ask(self._import(folder), SAVE)
        except RefusedError as refused:
            words = [problem.sentence() for problem in refused.problems]
            more = [f"and {len(words) - MOST_PROBLEMS} more"] if len(words) > MOST_PROBLEMS else []
            self.say(*words[:MOST_PROBLEMS], *more)
            return
        finally:
            tick.stop()
            self._reading = False
        if recorded is None:
            self.say("Stopped; nothing was saved.")
        else:
            self.dismiss(recorded)

    def _import(self, folder: Path) -> Callable[[Session], Recorded | None]:
        """The import as a job for the farm's thread, which listens for the stop until the first line is saved."""

        def heard(lines: int) -> None:
            self._read = lines
            if self._stop.is_set():
                raise StoppedError

        def job(farm: Session) -> Recorded | None:
            try:
                return log_files.bring_in(farm, folder, heard=heard)
            except StoppedError:
                return None

        return job

    def _tell(self) -> None:
        words = "Stopping …" if self._stop.is_set() else f"{self._read:,} lines read and checked …   Esc stops it"
        self.say(words, role="")

    def action_leave(self) -> None:
        """Stop what is being read; else leave."""
        if self._reading:
            self._stop.set()
        else:
            self.dismiss(None)
