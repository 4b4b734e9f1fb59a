"""The quick check: each thing seen is one key, everything may be skipped, Enter saves."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll

from wormbin.farm.recording.lines import write
from wormbin.records.entries import LOG_KINDS, Check, Kind
from wormbin.records.kinds.fields import Field, Of
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
ROWS = {"squeeze": SQUEEZE, "left": LEFT, "smell": SMELL, "seen": SEEN_AT_A_CHECK}
"""The fields that one key answers; they come first."""
CHECK = LOG_KINDS[Check]


def _in_order() -> list[Field]:
    """What one key answers first, then the thermometer, which is read while the lid is up."""
    return sorted(CHECK.asked, key=lambda each: (each.name not in ROWS, each.of is not Of.TEMPERATURE))


class CheckForm(FilledForm):
    """Fills in a check; unlikely values are asked about in place, and a second Enter keeps them."""

    HELP = (
        "Lift the lid. Squeeze a handful, look how much food is left, smell, look for visitors. One key answers a "
        "row and goes to the next. Tab skips a row. Enter saves from anywhere. Dry falls apart. Damp holds together. "
        "A wrung sponge gives a drop or two. Dripping runs."
    )
    KEYS = (("Tab", "next"), ("Backspace", "clears"))
    SHEET = "snug"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "save", "save", priority=True),
    ]

    heading = "Check"
    draft_name = "check"

    def __init__(self, hand: Hand, last: Mapping[str, str] | None = None, **right: Any) -> None:
        super().__init__(hand, **right)
        self._last = last or {}

    def parts(self) -> ComposeResult:
        """Four rows of choices, five lines to type in, what is wrong, the keys."""
        with VerticalScroll(can_focus=False):
            yield from self.who()
            for each in _in_order():
                if each.name in ROWS:
                    several = each.of is Of.WORDS
                    yield ChoiceRow(each.label, ROWS[each.name], several=several, hands_on=not several, id=each.name)
                else:
                    yield WordField(each.label, each.example, last=self._last.get(each.name, ""), id=each.name)
            yield WordField("note", id="note")
            yield from self.when_and_where(self.hand.compartments)

    async def on_mount(self) -> None:
        """Offer what was half filled; the first row listens already."""
        for row in self.query(ChoiceRow):
            row.last = self._last.get(row.id or "", "")
        await self.offer_draft()
        await self.offer_name(self.hand.key, Kind.CHECK)

    async def action_save(self) -> None:
        """Save, or ask about what is unlikely; what is refused stays in the form."""
        await self.settled()
        said = {each.name: self.word(each.name) for each in CHECK.asked}
        if not any(said.values()) and not self.word("note"):
            self.say("Nothing is filled in yet: one row is enough, or Esc to leave.")
            return
        if not self.replaces or said["moisture"] != self.given.get("moisture", ""):
            said["moisture_by"] = "meter" if said["moisture"] else ""
        if (heading := await self.signed_heading()) is not None:
            await self.save(lambda farm: write(farm, self.hand.key, Kind.CHECK, said, heading))
