"""The check, about thirty seconds at the bin, and troubles: tick what is seen, and its likely causes are ranked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll

from wormbin.farm import recording
from wormbin.farm.recording.lines import write
from wormbin.pages.findings import causes
from wormbin.pages.page import Sentence
from wormbin.records.entries import LOG_KINDS, Check, Kind
from wormbin.records.kinds.fields import Field, Of
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Hand, acting
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField
from wormbin.tui.widgets.page_lines import PageLines

SMELL = (
    Choice("e", "earthy", "earthy"), Choice("s", "sour", "sour"), Choice("r", "rotten", "rotten"),
    Choice("a", "ammonia", "ammonia"), Choice("n", "none", "none"),
)  # fmt: skip
SEEN = (
    Choice("d", "dead worms", "dead worms"), Choice("l", "worms leaving", "worms leaving"),
    Choice("c", "worms climbing", "worms climbing"), Choice("w", "swollen worms", "swollen worms"),
    Choice("v", "pale worms", "pale worms"), Choice("p", "pot worms", "pot worms"), Choice("m", "mites", "mites"),
    Choice("r", "red mites", "red mites"), Choice("f", "fruit flies", "fruit flies"), Choice("g", "gnats", "gnats"),
    Choice("b", "soldier fly larvae", "big larvae"), Choice("t", "ants", "ants"), Choice("o", "mould", "mould"),
    Choice("e", "centipedes", "centipedes"), Choice("n", "rodents", "rodents"),
)  # fmt: skip
"""Everything that can be seen, the most pressing first; no two by one key."""
AT_A_CHECK = ("mites", "fruit flies", "pot worms", "gnats", "ants", "mould", "worms climbing", "worms leaving",
              "dead worms")  # fmt: skip
SEEN_AT_A_CHECK = tuple(next(each for each in SEEN if each.value == value) for value in AT_A_CHECK)
"""What is looked for at every check."""


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
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "save", "save", priority=True)]

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

    @acting
    async def action_save(self) -> None:
        """Save, or ask about what is unlikely; what is refused stays in the form."""
        said = {each.name: self.word(each.name) for each in CHECK.asked}
        if not any(said.values()) and not self.word("note"):
            self.say("Nothing is filled in yet: one row is enough, or Esc to leave.")
            return
        if not self.replaces or said["moisture"] != self.given.get("moisture", ""):
            said["moisture_by"] = "meter" if said["moisture"] else ""
        if (heading := await self.signed_heading()) is not None:
            await self.save(lambda farm: write(farm, self.hand.key, Kind.CHECK, said, heading))


class TroublesForm(FilledForm):
    """The causes change with every tick; nothing is written before Enter."""

    HELP = (
        "Tick every sign that you see or smell. Below stand the likely causes, each with what to do and the source. "
        "Those that fit your log come first. Enter writes the signs into the log as a check."
    )
    KEYS = (("Tab", "seen or smell"), ("arrows", "scroll"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "save", "write it down", priority=True),
        Binding("down", "scroll(1)", "down", show=False),
        Binding("up", "scroll(-1)", "up", show=False),
    ]

    heading = "Troubles"
    draft_name = "troubles"

    def parts(self) -> ComposeResult:
        """Signs, causes."""
        yield ChoiceRow("seen", SEEN, several=True, id="seen")
        yield ChoiceRow("smell", SMELL, id="smell")
        with VerticalScroll(can_focus=False, id="page"):
            yield PageLines([[("Tick what you see: likely causes will stand here.", "dim")]], id="effect")

    async def on_mount(self) -> None:
        """Offer what was ticked before."""
        if await self.offer_draft():
            self._look()

    @on(ChoiceRow.Picked)
    def picked(self) -> None:
        """Rank the causes anew."""
        self._look()

    def _look(self) -> None:
        self.in_background(self._rank, "causes")

    async def _rank(self) -> None:
        signs = self.fields()
        if not signs:
            self.show_page([Sentence("Tick what you see.", "dim")])
        elif (found := await self.understood(lambda farm: recording.troubles(farm, self.hand.key, signs))) is not None:
            self.show_page(causes(found))

    def action_scroll(self, by: int) -> None:
        """Scroll the causes."""
        self.query_one("#page").scroll_relative(y=by * 2, animate=False)

    @acting
    async def action_save(self) -> None:
        """Write the signs down as a check."""
        signs, heading = self.fields(), self.entry_heading()
        if not signs:
            self.say("Nothing is ticked yet.")
            return
        await self.save(lambda farm: write(farm, self.hand.key, Kind.CHECK, signs, heading))
