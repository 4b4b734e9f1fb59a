"""The quick check: each thing seen is one key, everything may be skipped, Enter saves."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll

from wormbin.farm import recording
from wormbin.farm.recording.lines import record_check
from wormbin.farm.views.proposals import CheckDraft
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Hand
from wormbin.tui.signs import SEEN_AT_A_CHECK, SMELL
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField

SQUEEZE = (
    Choice("1", "dry", "dry"), Choice("2", "damp", "damp"), Choice("3", "sponge", "wrung sponge"),
    Choice("4", "dripping", "dripping"),
)  # fmt: skip
LEFT = (
    Choice("0", "0%", "none"), Choice("1", "10%", "10"), Choice("2", "20%", "20"), Choice("3", "30%", "30"),
    Choice("4", "40%", "40"), Choice("5", "50%", "half"), Choice("6", "60%", "60"), Choice("7", "70%", "70"),
    Choice("8", "80%", "80"), Choice("9", "100%", "all"),
)  # fmt: skip
ROWS = ("squeeze", "left", "smell", "seen")


class CheckForm(FilledForm):
    """Fills a ``CheckDraft``; unlikely values are asked about in place, and a second Enter keeps them."""

    HELP = (
        "Lift the lid: squeeze a handful, look how much of the last feed is left, smell, look for visitors. One key "
        "answers a row and goes to the next; Tab skips; Enter saves from anywhere. Dry falls apart, damp holds "
        "together, a wrung sponge gives a drop or two, dripping runs."
    )
    KEYS = (("Tab", "next"), ("Backspace", "clears"))
    SHEET = "snug"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "save", "save", priority=True),
        Binding("down", "app.focus_next", "next row", show=False),
        Binding("up", "app.focus_previous", "row before", show=False),
    ]

    def __init__(
        self, hand: Hand, last: Mapping[str, str] | None = None, *, fields: Mapping[str, str] | None = None,
        replaces: str = "",
    ) -> None:  # fmt: skip
        super().__init__()
        self.hand = hand
        self.key = hand.key
        self._last = last or {}
        self.given = fields or {}
        self.replaces = replaces
        self.draft_name = f"check-{hand.key}"
        self.heading = f"{'Put right' if self.replaces else 'Check'}: {self.hand.name}"

    def parts(self) -> ComposeResult:
        """Four rows of choices, five lines to type in, what is wrong, the keys."""
        with VerticalScroll(can_focus=False):
            yield ChoiceRow("squeeze a handful", SQUEEZE, hands_on=True, id="squeeze")
            yield ChoiceRow("left of last feed %", LEFT, hands_on=True, id="left")
            yield ChoiceRow("smell", SMELL, hands_on=True, id="smell")
            yield ChoiceRow("seen", SEEN_AT_A_CHECK, several=True, id="seen")
            yield WordField("temperature inside", "21 C or 70 F", last=self._last.get("temp", ""), id="temp")
            yield WordField("moisture meter %", "82", last=self._last.get("moisture", ""), id="moisture")
            yield WordField("ruler: contents", "18 cm", last=self._last.get("depth", ""), id="depth")
            yield WordField("pH", "7", last=self._last.get("ph", ""), id="ph")
            yield WordField("note", id="note")
            yield from self.when_and_where(self.hand.compartments)

    async def on_mount(self) -> None:
        """Offer what was half filled; the first row listens already."""
        for row in self.query(ChoiceRow):
            row.last = self._last.get(row.id or "", "")
        if self.given:
            self.fill(self.given)
        else:
            await self.offer_draft()

    async def action_save(self) -> None:
        """Save, or ask about what is unlikely; what is refused stays in the form."""
        await self.settled()
        heading = self.entry_heading()
        fields = {name: words for name, words in self.fields().items() if name not in ("when", "note", "part")}
        if not fields and not heading.note:
            self.say("Nothing is filled in yet: one row is enough, or Esc to leave.")
            return
        untouched = self.replaces and fields.get("moisture") == self.given.get("moisture")
        by = self.given.get("moisture_by", "") if untouched else "meter" if "moisture" in fields else ""
        draft = CheckDraft(**fields, moisture_by=by)
        try:
            questions = await self.ask(lambda farm: recording.questions(farm, self.key, draft, heading))
            if questions and self.asks:
                self.question(questions)
                return
            recorded = await self.ask(lambda farm: record_check(farm, self.key, draft, heading), SAVE)
        except RefusedError as refused:
            self.refuse(refused)
            return
        await self.saved(recorded)
