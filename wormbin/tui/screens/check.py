"""The quick check: each thing seen is one key, everything may be skipped, Enter saves."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain
from wormbin.farm.proposals import CheckDraft, Heading
from wormbin.farm.views import Recorded
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.choice_row import Choice, ChoiceRow
from wormbin.tui.widgets.word_field import WordField

SQUEEZE = (
    Choice("1", "dry", "dry"), Choice("2", "damp", "damp"), Choice("3", "sponge", "sponge"),
    Choice("4", "dripping", "dripping"),
)  # fmt: skip
LEFT = (
    Choice("0", "0%", "none"), Choice("1", "10%", "10"), Choice("2", "20%", "20"), Choice("3", "30%", "30"),
    Choice("4", "40%", "40"), Choice("5", "50%", "half"), Choice("6", "60%", "60"), Choice("7", "70%", "70"),
    Choice("8", "80%", "80"), Choice("9", "100%", "all"),
)  # fmt: skip
SMELL = (
    Choice("e", "earthy", "earthy"), Choice("s", "sour", "sour"), Choice("r", "rotten", "rotten"),
    Choice("a", "ammonia", "ammonia"), Choice("n", "none", "none"),
)  # fmt: skip
SEEN = (
    Choice("m", "mites", "mites"), Choice("f", "fruit flies", "fruit flies"), Choice("p", "pot worms", "pot worms"),
    Choice("g", "gnats", "gnats"), Choice("a", "ants", "ants"), Choice("o", "mould", "mould"),
    Choice("c", "worms climbing", "worms climbing"), Choice("l", "worms leaving", "worms leaving"),
    Choice("d", "dead worms", "dead worms"),
)  # fmt: skip
ROWS = ("squeeze", "left", "smell", "seen")
FIELDS = ("temp", "moisture", "depth", "ph", "note")


class CheckForm(Form[Recorded]):
    """Fills a ``CheckDraft``; unlikely values are asked about in place, and a second Enter keeps them."""

    HELP = (
        "Lift the lid: squeeze a handful, look how much of the last feed is left, smell, look for visitors. One key "
        "answers a row and goes to the next; Tab skips; Enter saves from anywhere."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "save", "save", priority=True),
        Binding("escape", "leave", "leave"),
        Binding("down", "app.focus_next", "next row", show=False),
        Binding("up", "app.focus_previous", "row before", show=False),
    ]

    def __init__(self, key: str, name: str, last: dict[str, str] | None = None) -> None:
        super().__init__()
        self.key = key
        self._bin_name = name
        self._last = last or {}
        self._kept: tuple[str, ...] = ()
        self._leaving = False

    def compose(self) -> ComposeResult:
        """Four rows of choices, five lines to type in, what is wrong, the keys."""
        with Vertical(classes="sheet"):
            yield Static(line_of([said(f"Check: {self._bin_name}", "title")]))
            with VerticalScroll(can_focus=False):
                yield ChoiceRow("squeeze a handful", SQUEEZE, id="squeeze")
                yield ChoiceRow("left of last feed %", LEFT, id="left")
                yield ChoiceRow("smell", SMELL, id="smell")
                yield ChoiceRow("seen", SEEN, several=True, id="seen")
                yield WordField("bedding temperature", "21C or 70F", last=self._last.get("temp", ""), id="temp")
                yield WordField("moisture meter %", "82", last=self._last.get("moisture", ""), id="moisture")
                yield WordField("ruler: contents", "18 cm", last=self._last.get("depth", ""), id="depth")
                yield WordField("pH", "7", last=self._last.get("ph", ""), id="ph")
                yield WordField("note", "anything else", id="note")
            yield Static(id="trouble", classes="trouble")
            yield Static(line_of([("Enter save   Tab or arrows next   Backspace clears a row   Esc leave", "dim")]))

    async def on_mount(self) -> None:
        """Offer what was half filled, and listen to the first row."""
        for row in self.query(ChoiceRow):
            row.last = self._last.get(row.id or "", "")
        draft = await self.ask(lambda farm: dict(farm.draft(self._draft_name)))
        for name, words in draft.items():
            if name in ROWS:
                self.query_one(f"#{name}", ChoiceRow).value = words
            elif name in FIELDS:
                self.query_one(f"#{name}", WordField).value = words
        if draft:
            self._say("Half filled before: carry on, or Esc twice to drop it.")
        self.query_one("#squeeze", ChoiceRow).focus()

    @property
    def _draft_name(self) -> str:
        return f"check-{self.key}"

    def fields(self) -> dict[str, str]:
        """What is filled in so far, by field."""
        found = {name: self.query_one(f"#{name}", ChoiceRow).value for name in ROWS}
        found |= {name: self.query_one(f"#{name}", WordField).value for name in FIELDS}
        return {name: words for name, words in found.items() if words}

    @on(ChoiceRow.Picked)
    def go_on(self, event: ChoiceRow.Picked) -> None:
        """An answered row hands over to the next."""
        self._leaving = False
        if not event.row.several and event.row.value:
            self.focus_next()

    @on(Input.Changed)
    def changed(self) -> None:
        """Something was typed: what was asked before no longer stands."""
        self._leaving = False
        self._kept = ()

    def _say(self, *sentences: str) -> None:
        self.query_one("#trouble", Static).update(lines_of([said(plain(words), "watch")] for words in sentences))

    async def action_save(self) -> None:
        """Save, or ask about what is unlikely; what is refused stays in the form."""
        fields = self.fields()
        note = fields.pop("note", "")
        if not fields and not note:
            self._say("Nothing is filled in yet: one row is enough, or Esc to leave.")
            return
        draft, heading = CheckDraft(**fields), Heading(note=note)
        if "moisture" in fields:
            draft = CheckDraft(**{**fields, "moisture_by": "meter"})
        try:
            questions = await self.ask(lambda farm: farm.questions(self.key, draft, heading))
            asked = tuple(f"{each.field}{each.read}" for each in questions)
            if questions and asked != self._kept:
                self._kept = asked
                self._say(*(each.words for each in questions), "Enter again keeps it; or change it.")
                return
            recorded = await self.ask(lambda farm: farm.record_check(self.key, draft, heading), SAVE)
        except RefusedError as refused:
            self._say(*(problem.sentence() for problem in refused.problems))
            return
        await self.ask(lambda farm: farm.drop_draft(self._draft_name), SAVE)
        self.dismiss(recorded)

    async def action_leave(self) -> None:
        """Leave at once when nothing is filled in; else ask once."""
        if self.fields() and not self._leaving:
            self._leaving = True
            self._say("Not saved. Esc again drops what is filled in; Enter saves it.")
            return
        await self.ask(lambda farm: farm.drop_draft(self._draft_name), SAVE)
        self.dismiss(None)

    async def keep_draft(self) -> None:
        """The program is ending: keep what is half filled for the next start."""
        if fields := self.fields():
            await self.ask(lambda farm: farm.save_draft(self._draft_name, fields), SAVE)
