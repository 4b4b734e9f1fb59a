"""What goes out of the program as files, and what is changed of a bin as a whole: one line of words, then Enter."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from wormbin.farm.heading import Heading
from wormbin.farm.views.bin import Recorded
from wormbin.problems import Problem, RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form, Hand
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField

if TYPE_CHECKING:
    from wormbin.farm.session import Session

Job = Callable[["Session", str, str, str], Recorded]


def _report(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm import reports
    from wormbin.pages.report import report_page

    page = report_page(reports.report(farm, key))
    return Recorded((), f"report written: {reports.write_page(words or f'{key}-report.html', page.splitlines())}")


def _lesson(farm: Session, key: str, words: str, by: str) -> Recorded:
    from wormbin.farm.lessons import write_sheets

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
    from wormbin.farm.joining import join

    into, _, weighed = words.partition(":")
    return join(farm, key, into, weighed, Heading(by=by))


JOBS: dict[str, tuple[str, str, Job]] = {
    "change": ("c", "tare: 2.4 kg; site-temp: 19 C; beddings: dry leaves", _change),
    "close": ("x", "harvested, given away or died; after a colon a note", _close),
    "join": ("j", "the bin that all of this one goes into; after a colon its weight", _join),
    "report": ("r", "a file: kitchen-report.html", _report),
    "lesson": ("l", "a folder for the spreadsheet lesson: ./lesson", _lesson),
    "hand over": ("h", "a file: kitchen.zip", _hand_over),
    "take in": ("t", "the file, and what it is called here: leaves.zip as room-12", _take_in),
}
"""What can be done: its letter, an example of the words, and the work."""


class HandOutForm(Form[Recorded]):
    """A row of choices, then one line of words."""

    HELP = (
        "Change puts a bin's particulars right, and the log keeps what was so. Close ends it: it leaves the round and "
        "stays in reports. Join puts all of it into another bin and closes this one. Report, lesson and hand over "
        "write files; take in brings a bin in that was handed over."
    )
    KEYS = (("Enter", "do it"),)
    SHEET = "middling snug"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def __init__(self, hand: Hand) -> None:
        super().__init__()
        self.hand = hand
        self.heading = f"This bin as a whole: {hand.name}"

    def parts(self) -> ComposeResult:
        """What, and its words."""
        choices = tuple(Choice(letter, name, name) for name, (letter, _, _) in JOBS.items())
        yield ChoiceRow("what", choices, room=8, id="what")
        yield WordField("words", "pick one above first", id="words")

    @on(ChoiceRow.Picked)
    def picked(self) -> None:
        """Say what words it takes."""
        what = self.query_one("#what", ChoiceRow).value
        self.say(JOBS[what][1] if what in JOBS else "", role="")
        self.query_one("#words", WordField).input.focus()

    @on(Input.Submitted)
    def said(self, event: Input.Submitted) -> None:
        """Do it beside the keys."""
        event.stop()
        self.in_background(partial(self._do, event.value.strip()), "do")

    async def _do(self, words: str) -> None:
        what, key, by = self.query_one("#what", ChoiceRow).value, self.hand.key, self.wormbin.by
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
