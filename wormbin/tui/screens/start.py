"""Start a bin: say how big it is and where it stands; the first bedding, water, worms and feedings are proposed."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.events import Key
from textual.widgets import Input

from wormbin.farm import drafts, starts
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.proposals import BinDraft, StartProposal
from wormbin.pages.page import GAP, Block, Sentence, lines
from wormbin.pages.starts import proposed, to_begin
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.form import FilledForm
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField
from wormbin.tui.widgets.page_lines import PageLines

WORDS = (
    ("name", "name", "Kitchen bin"), ("length", "length inside", "60 cm or 2 ft"), ("width", "width inside", "40 cm"),
    ("depth", "depth inside", "30 cm"), ("site_temp", "room warmth", "20 C or 68 F"),
    ("worms", "worms, if any", "500 g"), ("started", "set up on", "today, or 2026-03-02"),
)  # fmt: skip
ROWS = (
    ("drainage", "base has holes", (Choice("y", "yes", "yes"), Choice("n", "no", "no"))),
    ("cover", "cover", (Choice("o", "open", "open"), Choice("l", "loose", "loose"), Choice("c", "closed", "closed"))),
    ("compartments", "trays or halves", (Choice("1", "1", "one box"), *(Choice(n, n, n) for n in "2345"))),
    (
        "method", "castings by",
        (
            Choice("1", "sort", "by hand"), Choice("2", "sideways", "sideways"), Choice("3", "upward", "trays"),
            Choice("4", "bait", "bait"), Choice("5", "screen", "screen"), Choice("6", "flow", "flow"),
        ),
    ),
)  # fmt: skip
ASKS = ("name", "length", "width", "depth")


class StartForm(FilledForm):
    """The first Enter that is understood shows the proposal; the next writes the bin and shows the list to print."""

    HELP = (
        "Measure the inside of the box. Enter goes on; when the box is said, the first bedding, the water to soak it, "
        "the worms that the surface carries and the first weeks' feedings are proposed. Enter again writes them down; "
        "then a list of what to get stands ready to print. Bedding, water and worms are written as put in on the day "
        "when it is set up, today when none is said."
    )
    heading = "Start a bin"
    KEYS = (("Enter", "propose, then save"), ("Tab", "next"))
    SIDE = "#after"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down,tab", "next_row", "next row", show=False),
        Binding("up,shift+tab", "row_before", "row before", show=False),
    ]
    draft_name = "start"

    def __init__(self) -> None:
        super().__init__()
        self.proposal: StartProposal | None = None
        self._recorded: Recorded | None = None

    def parts(self) -> ComposeResult:
        """What is asked at the left, what is proposed at the right."""
        with Horizontal(id="pair"):
            with VerticalScroll(id="asked", can_focus=False):
                for name, label, example in WORDS:
                    yield WordField(label, example, id=name)
                for name, label, choices in ROWS:
                    yield ChoiceRow(label, choices, room=15, id=name)
            with VerticalScroll(id="after", can_focus=False):
                yield PageLines(
                    [
                        [("Measure the inside of the box.", "dim")],
                        [("What to put in first will stand here.", "dim")],
                    ],
                    id="effect",
                )

    async def on_mount(self) -> None:
        """Offer what was half filled; the first line listens already."""
        await self.offer_draft()

    def draft(self) -> BinDraft:
        """The bin as it is said so far; its key is made of its name."""
        fields, on = self.fields(), self.wormbin.on
        if on is not None:
            fields.setdefault("started", on.isoformat())
        return BinDraft(key=key_of(fields.get("name", "")), keeper=self.wormbin.by, **fields)

    async def keep_draft(self) -> None:
        """The program is ending: nothing is half filled any more once the bin is written."""
        if self._recorded is None:
            await super().keep_draft()

    def _drop_proposal(self) -> None:
        self.proposal = None
        self.query_one(".sheet").remove_class("-proposed")

    @on(Input.Changed)
    @on(ChoiceRow.Picked)
    def changed(self) -> None:
        """What was proposed is for another box now; Tab goes on, so that a Tab typed by habit skips nothing."""
        self._drop_proposal()

    def action_next_row(self) -> None:
        """The row below; the last one keeps the keys."""
        if self.focused is not self.focus_chain[-1]:
            self.focus_next()

    def action_row_before(self) -> None:
        """The row above; the first one keeps the keys."""
        if self.focused is not self.focus_chain[0]:
            self.focus_previous()

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """Go on while lines are empty; then propose, then write."""
        event.stop()
        await self._go_on()

    async def on_key(self, event: Key) -> None:
        """Enter on a row of choices goes on as well."""
        if event.key == "enter" and isinstance(self.focused, ChoiceRow):
            event.stop()
            await self._go_on()

    async def _go_on(self) -> None:
        fields = self.fields()
        missing = next((name for name in ASKS if name not in fields), None)
        here = self.focused
        if missing is not None and isinstance(here, Input) and not here.value.strip():
            label = next(label for name, label, _ in WORDS if name == missing)
            self.say(f"Not yet: {label} is needed.")
            self.query_one(f"#{missing}", WordField).input.focus()
            return
        if missing is not None:
            self.query_one(f"#{missing}", WordField).input.focus()
            return
        draft = self.draft()
        try:
            if self.proposal is None:
                self.proposal = await self.ask(lambda farm: starts.propose(farm, draft))
                self._show(self.proposal)
                self.say("Enter again writes the bin and its first entries; or change what is above.")
                return
            recorded = await self.ask(lambda farm: starts.start(farm, draft), SAVE)
            await self.ask(lambda farm: drafts.drop(farm, self.draft_name), SAVE)
        except RefusedError as refused:
            self.refuse(refused)
            return
        self._recorded = recorded
        self._offer_list(self.proposal)

    def _show(self, proposal: StartProposal) -> None:
        self.query_one("#effect", PageLines).show(lines(proposed(proposal)))
        self.query_one(".sheet").add_class("-proposed")
        self.query_one("#after").scroll_home(animate=False)

    def _offer_list(self, proposal: StartProposal) -> None:
        """The list of what to get and how to begin, to read or print; leaving it leaves the form."""
        page: list[Block] = [Sentence("The bin is written down.", "good"), GAP, *to_begin(proposal)]
        self.open("page", "To get and to do", lines(page), file="new-bin.txt", then=self._list_read)

    def _list_read(self, _: None) -> None:
        self.dismiss(self._recorded)


def key_of(name: str) -> str:
    """A bin's key made of its name: ``Kitchen bin`` gives ``kitchen-bin``; empty when no letter of it can be used."""
    letters = [char if char.isascii() and char.isalnum() else "-" for char in name.casefold()]
    parts = [part for part in "".join(letters).split("-") if part]
    return "-".join(parts)[:40].strip("-") or ("bin" if name.strip() else "")
