"""How the farm is run and who writes: one line a setting, changed in words."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain, width_of
from wormbin.farm.errors import DoubtedError
from wormbin.farm.settings import add_keeper, change_setting, keepers as keepers_now, remove_keeper, setting_words
from wormbin.farm.turns import set_away, swap, take_holidays
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.form import KEEPS
from wormbin.tui.place import Form, acting
from wormbin.tui.themes import THEMES, Piece, lines_of
from wormbin.tui.widgets.fields import LateField
from wormbin.tui.widgets.line_list import LineList

ROWS = (
    ("units", "units", "metric or us", "which measures are printed; both are always read"),
    ("moisture", "moisture aimed for", "75-85", "the band, in percent; every bin is judged by it"),
    ("feed-days", "feeding days", "monday, thursday", "the weekdays on which you feed"),
    ("check-every", "days between checks", "3 days", "after so many days a check is due"),
    ("away", "days off", "2026-07-20 to 2026-08-03: summer", "adds days on which nobody tends the bins; none clears"),
    ("on-hand", "bedding on hand", "3 kg shredded cardboard", "advice uses what you have; 0 kg takes one off"),
    ("bucket", "usual buckets", "sunday: 300 g melon rind, 2 cups coffee", "offered by one key when you feed"),
    ("measure", "your measures", "handful 40 g", "a handful, a bucket, a scoop: how much yours holds"),
    ("tare", "empty weights", "green tub: 240 g", "boxes, buckets and tubs that go on the scale"),
    ("hours", "hours for the bins", "3 h, or mon 2, sat 6", "the work of a week is spread over them"),
    ("walk", "stops of the walk", "barn: barn-1, barn-2; yard: shade-*", "where bins stand; the round can go by it"),
    ("curing-room", "room to cure in", "200 kg", "no more is harvested than finds room there"),
    ("currency", "currency", "EUR", "what your money is called"),
    ("hour-rate", "an hour is worth", "15", "what costs count your own hours with"),
    ("price", "your prices", "bag 9.50", "what you sell a bag, a litre or a kilogram for"),
    ("theme", "colours", " or ".join(theme.name for theme in THEMES), "F2 goes to the next"),
    ("keys", "other keys", "check: 1; feed: 2", "what a key does when a bin is in hand; none takes all back"),
    ("keeper+", "who writes: add", "ada, ben", "first names or initials, commas between; nothing else is ever asked"),
    ("keeper-", "who writes: take off", "ada", "what they wrote stays"),
    ("school-days", "school days", "monday to friday", "turns are taken on these; none ends the rota"),
    ("term", "term", "2026-09-01 to 2026-12-18", "turns are even over it"),
    ("jobs", "jobs", "feed, check, water, measure friday", "what pupils do, with weekdays where not every day"),
    ("together", "at one job", "2", "how many do a job together"),
    ("half-days", "half days", "wednesday, 2026-10-23", "only feeding and the check are done"),
    ("pupil-away", "pupils away", "ana: today to 2026-10-07", "who is next steps in; “ana: none” takes it back"),
    ("swap", "swaps", "2026-10-05: ana instead of ben", "on that day the first does the turn of the second"),
    ("guess-first", "guess first", "yes", "a bin's figures come up after a guess of the day; no ends it"),
    ("holidays", "holidays from a file", "holidays.ics", "the all-day events of a calendar become days off"),
)

SCHOOL = [name for name, *_ in ROWS].index("keeper+")

SINGLE = (
    "units", "moisture", "feed-days", "check-every", "hours", "walk", "curing-room", "theme", "currency", "hour-rate",
    "school-days", "term", "jobs", "together", "half-days",
    "guess-first",
)  # fmt: skip
"""Those that are replaced; the others gain what is said."""
OWN_WAY = {"keeper-": remove_keeper, "pupil-away": set_away, "swap": swap, "holidays": take_holidays}


class SettingsScreen(Form[None]):
    """Enter opens the line under the cursor; Enter again saves it."""

    HELP = (
        "How this farm is run. Arrows choose a line, Enter opens it. Say the new value in words, and Enter saves it. "
        "Lists (days off, bedding, buckets, tares) gain what you say. The word none clears one."
    )
    heading = "Keepers and settings"
    KEYS = (("arrows", "choose"), ("Enter", "change, again save"))
    AUTO_FOCUS = "LineList"

    def __init__(self) -> None:
        super().__init__()
        self._words: dict[str, str] = {}
        self._open = self._asked_of = ""

    def parts(self) -> ComposeResult:
        """The lines, what one is for, the field."""
        yield LineList(self._line, len(ROWS), id="lines")
        yield Static(id="about")
        yield LateField("new value", id="value")

    async def on_mount(self) -> None:
        """Ask how things stand."""
        await self._load()

    async def _load(self) -> None:
        try:
            self._words = dict(await self.ask(lambda farm: setting_words(farm)))
            keepers = await self.ask(lambda farm: keepers_now(farm))
        except RefusedError:
            return
        self._words["keeper+"] = ", ".join(keepers)
        self._words["theme"] = self._words.get("theme") or self.app.theme
        lines = self.query_one(LineList)
        lines.show(len(ROWS))
        self._about(lines.cursor)

    def _line(self, index: int, width: int) -> list[Piece]:
        name, label, _, _ = ROWS[index]
        value = self._words.get(name, "")
        return [
            (plain(f" {label}", 23), ""),
            (plain(value or "none", max(width - 24, 0)), "strong" if value else "dim"),
        ]

    def _about(self, index: int) -> None:
        name, _, example, about = ROWS[index]
        lines: list[list[Piece]] = [[(f" {about}", "dim")], [(f" for example: {example}", "dim")]]
        if index < SCHOOL:
            lines.append([(" further down: who writes, and for a class school days, term, jobs", "dim")])
        elif width_of(value := self._words.get(name, "")) > self.size.width - 30:
            lines.append([(f" now: {value}", "strong")])
        self.query_one("#about", Static).update(lines_of(lines))

    @on(LineList.Moved)
    def moved(self, event: LineList.Moved) -> None:
        """Say what the line is for."""
        self._about(event.index)

    @on(LineList.Chosen)
    def chosen(self, event: LineList.Chosen) -> None:
        """Open the field for this line."""
        self._open = ROWS[event.index][0]
        self.query_one(LateField).open(self._words.get(self._open, "") if self._open in SINGLE else "")
        self.say("")

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """Save the line; what is refused stays in the field."""
        name, words = self._open, event.value
        try:
            if name == "keeper+":
                asks = words != self._asked_of
                recorded = await self.ask(lambda farm: add_keeper(farm, words, ask=asks), SAVE)
            elif name in OWN_WAY:
                recorded = await self.ask(lambda farm: OWN_WAY[name](farm, words), SAVE)
            else:
                recorded = await self.ask(lambda farm: change_setting(farm, name, words), SAVE)
        except DoubtedError as doubt:
            self._asked_of = words
            self.say(*(each.words for each in doubt.questions), KEEPS)
            return
        except RefusedError as refused:
            self.refuse(refused)
            return
        self.say(recorded.sentence, role="good")
        self.query_one(LateField).close()
        await self.wormbin.take_settings()
        await self._load()
        self.wormbin.tell_changed()
