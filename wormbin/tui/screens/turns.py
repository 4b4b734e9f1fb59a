"""The rota of a month: another month, who is away, who stands in, each by a key; printed as it is shown."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from wormbin.drawing.marks import plain
from wormbin.farm import turns
from wormbin.farm.rounds import workdays
from wormbin.farm.rounds.workdays import JobView, WeekView, WorkDay
from wormbin.farm.turns import RotaView
from wormbin.measures.dates import time_words
from wormbin.pages.page import day, lines
from wormbin.pages.round import hours, job_words, lead, week
from wormbin.pages.school import rota
from wormbin.tui.desk import FILL, SAVE, FarmChanged
from wormbin.tui.place import Form
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.themes import Piece
from wormbin.tui.widgets.fields import WordField
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.page_lines import PageLines

AWAY, SWAP = "a", "s"
ASKED = {
    AWAY: ("who is away", "ana: today", turns.set_away),
    SWAP: ("who stands in", "2026-12-07: ana instead of ben", turns.swap),
}
"""By its key: the label, an example, and what writes it."""


class TurnsScreen(ReadingScreen):
    """One month at a time."""

    HELP = "Whose turn it is. Left and right go from month to month. p writes the month to a file, to print."
    KEYS = (("← →", "month"),)
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "month(-1)", "month before", show=False, priority=True),
        Binding("right", "month(1)", "next month", show=False, priority=True),
        Binding(AWAY, f"say_who('{AWAY}')", "away"),
        Binding(SWAP, f"say_who('{SWAP}')", "stand in"),
    ]

    def __init__(self) -> None:
        super().__init__("Whose turn it is", ())
        self._month: RotaView | None = None
        self._asked = ""

    def parts(self) -> ComposeResult:
        """The page, and a line for who is away or stands in."""
        yield from super().parts()
        for key, (label, example, _) in ASKED.items():
            field = WordField(label, example, id=f"say-{key}")
            field.display = False
            yield field

    def on_mount(self) -> None:
        """This month."""
        super().on_mount()
        self.in_background(partial(self._show, ""), "page")

    async def _show(self, month: str) -> None:
        view = await self.ask(lambda farm: turns.month(farm, month))
        self._month = view
        self._lines, self._file = lines(rota(view)), f"turns-{view.first:%Y-%m}.txt"
        self.query_one(PageLines).show(self._lines)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """In a line that is typed the arrows move in it."""
        return not (action == "month" and isinstance(self.focused, Input))

    async def action_month(self, by: int) -> None:
        """The month before or after."""
        if self._month is not None:
            day = self._month.last + timedelta(days=1) if by > 0 else self._month.first - timedelta(days=1)
            await self._show(f"{day:%Y-%m}")

    def action_say_who(self, key: str) -> None:
        """Ask for the words."""
        self._asked = key
        for each in ASKED:
            self.query_one(f"#say-{each}").display = each == key
        self.query_one(f"#say-{key}", WordField).input.focus()

    def action_leave(self) -> None:
        """Out of the line first, then back to what was there."""
        if self._asked:
            self._away_with_line()
        else:
            super().action_leave()

    def _away_with_line(self) -> None:
        self.query_one(f"#say-{self._asked}").display = False
        self._asked = ""
        self.query_one("#page").focus()

    @on(Input.Submitted)
    async def said(self, event: Input.Submitted) -> None:
        """Write it, and show the month as it is now."""
        if not self._asked:
            return
        event.stop()
        event.prevent_default()  # the line below is for the name of a file
        words, writes = event.value, ASKED[self._asked][2]
        if (recorded := await self.understood(lambda farm: writes(farm, words), SAVE)) is None:
            return
        event.input.value = ""
        for screen in self.app.screen_stack:
            screen.post_message(FarmChanged())
        self._away_with_line()
        self.say(recorded.sentence, role="good")
        if self._month is not None:
            await self._show(f"{self._month.first:%Y-%m}")


DAYS = 14


class WeekScreen(Form[None]):
    """The arrows choose a job; + and - move a harvest by a day."""

    HELP = (
        "The work of the next two weeks: the hours you have each day, and the minutes it takes. What loses most by "
        "waiting comes first. On a harvest, + puts it a day later and - a day earlier. It then stays there. f leaves "
        "it to the plan again. Hours a day, room to cure and the stops of your walk are settings (comma). Enter "
        "opens the week as a page to print."
    )
    heading = "The week's work"
    AUTO_FOCUS = "LineList"
    KEYS = (("Enter", "page"),)
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "leave", "leave"),
        Binding("plus,right", "move(1)", "a day later", key_display="+"),
        Binding("minus,left", "move(-1)", "earlier", key_display="-"),
        Binding("f", "free", "leave to the plan"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._view: WeekView | None = None
        self._lines: list[tuple[WorkDay, JobView | None]] = []

    def parts(self) -> ComposeResult:
        """The days with their jobs."""
        yield LineList(self._line, id="lines")

    def on_mount(self) -> None:
        """Ask for the week."""
        self.in_background(self._load, "week")

    async def _load(self, keep: str = "") -> None:
        from wormbin.farm import rounds

        await self.worked_out(await self.ask(lambda farm: rounds.filling(farm), FILL))
        self._view = await self.ask(lambda farm: workdays.week(farm, days=DAYS))
        self.say(*(self._view.words if not keep else ()), role="dim")
        self._lines = []
        for each in self._view.days:
            jobs = each.listed
            self._lines += [(each, None), *((each, job) for job in jobs)]
        here = (at for at, (_day, job) in enumerate(self._lines) if job and job.harvest and job.bin == keep)
        first = (at for at, (_day, job) in enumerate(self._lines) if job and job.harvest)
        self.query_one(LineList).show(len(self._lines), next(here, next(first, 0)))

    def _line(self, index: int, width: int) -> list[Piece]:
        if index >= len(self._lines):
            return []
        of_day, job = self._lines[index]
        if job is None:
            what = "to look and feed" if of_day.feeds else "to look in"
            walk = f", {time_words(of_day.walk_minutes)} {what}" if of_day.walk_minutes else ""
            return [
                (f" {day(of_day.on)}  ", "title"),
                (plain(f"{hours(of_day)}{walk}", width - 19), "act" if of_day.over else "dim"),
            ]
        mark = "• " if job.put else "  "
        first = f" {mark}{lead(job.minutes)}"
        return [(first, "strong" if job.harvest else "dim"), (plain(job_words(job), width - len(first)), "")]

    def _chosen(self) -> tuple[date, JobView] | None:
        at = self.query_one(LineList).cursor
        if at < len(self._lines) and (job := self._lines[at][1]) is not None and job.harvest:
            return self._lines[at][0].on, job
        self.say("This line cannot be moved: choose one with a harvest.")
        return None

    def action_move(self, by: int) -> None:
        """Put the harvest chosen a day on or back."""
        if (chosen := self._chosen()) is not None:
            self.in_background(partial(self._put, chosen[1].bin, (chosen[0] + timedelta(days=by)).isoformat()), "put")

    def action_free(self) -> None:
        """Leave the harvest chosen to the plan again."""
        if (chosen := self._chosen()) is not None:
            self.in_background(partial(self._put, chosen[1].bin, ""), "put")

    async def _put(self, bin: str, to: str) -> None:
        if (recorded := await self.understood(lambda farm: workdays.put(farm, bin, to), SAVE)) is None:
            return
        await self._load(keep=bin)
        self.say(recorded.sentence, *recorded.warnings, role="good")
        self.wormbin.tell_changed()

    @on(LineList.Chosen)
    def opened(self, _: LineList.Chosen) -> None:
        """The week as a page, to read and to print."""
        if self._view is not None:
            self.open("page", "The week's work", lines(week(self._view)), file=f"week-{self._view.on.isoformat()}.txt")
