"""Three ways to begin, and the first of them: say how big a bin is, and what goes in first is proposed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.events import DescendantFocus, Key
from textual.widgets import Input

from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.picture import Picture
from wormbin.drawing.strata import Section
from wormbin.farm import drafts, starts
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.proposals import BinDraft, StartProposal
from wormbin.measures import Dimension, parse_amount
from wormbin.pages.feeding import proposed, to_begin
from wormbin.pages.page import GAP, Block, Sentence, lines
from wormbin.problems import MissingError, RefusedError
from wormbin.records.bins import Method
from wormbin.tui.desk import SAVE
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Form, Place, acting
from wormbin.tui.widgets.fields import Choice, ChoiceRow, WordField
from wormbin.tui.widgets.key_line import KeyLine
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.pictures import PictureView

WORDS = (
    ("name", "name", "Kitchen bin"), ("length", "length inside", "60 cm or 2 ft"), ("width", "width inside", "40 cm"),
    ("depth", "depth inside", "30 cm"), ("site_temp", "room warmth", "20 C or 68 F"),
    ("worms", "worms, if any", "500 g"), ("started", "begun on", "today"),
    ("beddings", "only bedding", "dry leaves"), ("running", "runs, depth now", "25 cm"),
)  # fmt: skip
ROWS = (
    ("drainage", "base has holes", (Choice("y", "yes", "yes"), Choice("n", "no", "no"))),
    ("cover", "cover", (Choice("o", "open", "open"), Choice("l", "loose", "loose"), Choice("c", "closed", "closed"))),
    ("compartments", "trays", (Choice("1", "1", "one box"), *(Choice(n, n, n) for n in "2345"))),
    ("method", "castings out by", tuple(Choice(str(n), each.value, each.by) for n, each in enumerate(Method, 1))),
)  # fmt: skip
BEGIN = "begin"
YES, NO = "yes", "no"
SURE = (Choice("y", YES, "yes"), Choice("n", NO, "not yet"))
ASKS = ("name", "length", "width", "depth")
"""What a bin cannot be begun without."""
MEASURED = {
    "length": Dimension.LENGTH,
    "width": Dimension.LENGTH,
    "depth": Dimension.LENGTH,
    "running": Dimension.LENGTH,
    "site_temp": Dimension.TEMPERATURE,
}
"""What is judged as soon as Enter leaves it."""
ASKED = "y begins the bin and writes its first entries. ^L only shows the list."


class StartForm(FilledForm):
    """Every row hands on to the next; the last shows the proposal and asks whether to begin."""

    HELP = (
        "Measure the inside of the box. Enter goes to the next row, and so does the key of a choice. You may leave a "
        "row empty where that can be. A bed that runs already: say how deep what stands in it is. ^B goes to the "
        "last row. There you see the first bedding, its water, the worms that fit and the first feedings. ^L shows "
        "them as a list to print, and writes nothing. y begins the bin. Bedding, water and the worms you named are "
        "written down for the day you say, or for today. You can plan a day to come, and begin when it is there. "
        "Castings come out by hand, in the top tray, through a sieve, or at the bottom of the box. Or you feed one "
        "side, so that the worms move over. Or bait draws the worms out."
    )
    heading = "Start a bin"
    KEYS = (("Enter", "next row"),)
    ROW_OF: ClassVar[Mapping[str, str]] = {"size": "length", "bin": "name"}
    SIDE = "#after"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "next_row", "next row", show=False),
        Binding("shift+tab", "row_before", "row before", show=False),
        Binding("ctrl+b", "propose", "propose"),
        Binding("ctrl+l", "list", "the list, to print"),
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
                    yield ChoiceRow(label, choices, hands_on=True, room=15, id=name)
            with VerticalScroll(id="after", can_focus=False):
                yield PageLines(
                    [[("Measure the inside of the box.", "dim")], [("What to put in first will stand here.", "dim")]],
                    id="effect",
                )
        yield ChoiceRow("begin it now?", SURE, room=15, id=BEGIN)

    async def on_mount(self) -> None:
        """Offer what was half filled; the first line listens already."""
        await self.offer_draft()

    def lines(self) -> Iterator[WordField | ChoiceRow]:
        """What describes the bin."""
        return (line for line in super().lines() if line.id != BEGIN)

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
        self.refresh_bindings()
        self.query_one(".sheet").remove_class("-proposed")

    @on(Input.Changed)
    @on(ChoiceRow.Picked)
    def changed(self, event: Input.Changed | ChoiceRow.Picked) -> None:
        """What was proposed is for another box now; the last row begins the bin, or goes back to the first."""
        if isinstance(event, Input.Changed) or event.row.id != BEGIN:
            self._drop_proposal()
        elif event.row.value == YES:
            self.act(self._begin)
        elif event.row.value == NO:
            event.row.value = ""
            self.query_one(Input).focus()

    @on(DescendantFocus)
    def came_to(self, event: DescendantFocus) -> None:
        """The last row needs what it asks about."""
        if event.widget.id == BEGIN and self.proposal is None:
            self.act(self._propose)

    @on(Input.Submitted)
    @acting
    async def submitted(self) -> None:
        """Judge the row while it still listens, and go to the next."""
        here = self.focused.parent.id if self.focused and self.focused.parent else ""
        words = self.word(here or "")
        try:
            if words and here in MEASURED:
                parse_amount(words, here, expect=MEASURED[here])
            elif words and here == "beddings":
                await self.ask(lambda farm: starts.beddings(farm, words))
        except MissingError as missing:
            Form.refuse(self, missing) if here in MEASURED else self.refuse(missing)
        except RefusedError as refused:
            self.refuse(refused)
        else:
            self.action_next_row()

    def on_key(self, event: Key) -> None:
        """Enter on a row of choices goes on as well; on the last it says what begins the bin."""
        if event.key == "enter" and isinstance(self.focused, ChoiceRow):
            event.stop()
            if self.focused.id == BEGIN and self.proposal is not None:
                self.say(ASKED)
            self.action_next_row()

    def action_propose(self) -> None:
        """To the last row, whatever is left empty."""
        self.query_one(f"#{BEGIN}").focus()

    async def _propose(self) -> None:
        fields, draft = self.fields(), self.draft()
        if (missing := next((name for name in ASKS if name not in fields), "")) and (row := self.row_of(missing)):
            self.say(f"Not yet: {self.label_of(missing)} is needed.")
            row.query_one(Input).focus()
            return
        self.proposal = await self.understood(lambda farm: starts.propose(farm, draft))
        if self.proposal is None:
            return
        self._show(self.proposal, starts.unsaid(fields, self.wormbin.units))
        self.say(ASKED)
        self.refresh_bindings()

    async def _begin(self) -> None:
        draft, proposal = self.draft(), self.proposal
        self.query_one(f"#{BEGIN}", ChoiceRow).value = ""
        if proposal is None:
            await self._propose()
            return
        self._recorded = await self.understood(lambda farm: starts.start(farm, draft), SAVE)
        if self._recorded is not None:
            await self.understood(lambda farm: drafts.drop(farm, self.draft_name), SAVE)
            self._offer_list(proposal)

    def _show(self, proposal: StartProposal, taken: Sequence[str]) -> None:
        self.show_page([*(Sentence(words, "watch") for words in taken), *proposed(proposal)])
        self.query_one(".sheet").add_class("-proposed")
        self.query_one("#after").scroll_home(animate=False)

    def _offer_list(self, proposal: StartProposal) -> None:
        """The list of what to get and how to begin, to read or print; leaving it leaves the form."""
        page: list[Block] = [Sentence("The bin is written down.", "good"), GAP, *to_begin(proposal)]
        self.open("page", "To get and to do", lines(page), file="new-bin.txt", then=self._list_read)

    def action_list(self) -> None:
        """The list to print, while nothing is written: leaving it comes back to the form."""
        if self.proposal is not None:
            page: list[Block] = [
                Sentence("A plan: nothing is written in the log yet.", "watch"),
                GAP,
                *to_begin(self.proposal),
            ]
            self.open("page", "To get and to do", lines(page), file="new-bin.txt")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """The list can be shown once there is a proposal."""
        return self.proposal is not None if action == "list" else super().check_action(action, parameters)

    def _list_read(self, _: None) -> None:
        self.dismiss(self._recorded)


def key_of(name: str) -> str:
    """A bin's key made of its name: ``Kitchen bin`` gives ``kitchen-bin``; empty when no letter of it can be used."""
    letters = [char if char.isascii() and char.isalnum() else "-" for char in name.casefold()]
    parts = [part for part in "".join(letters).split("-") if part]
    return "-".join(parts)[:40].strip("-") or ("bin" if name.strip() else "")


A_BIN = Cut((Section(1, 0.03, 0.08, 0.09, 0.0, 4.0),), 0.30)
"""The bin in the picture: nobody's, a few months old, and well."""
WIDE = 64


class WelcomeScreen(Place[None]):
    """Three ways to begin; nothing is created before one of them is taken."""

    HELP = "There is no bin in this store yet. Start one, or bring in log files, or leave and run: wormbin demo"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "go('start')", "start a bin"),
        Binding("i", "go('bring_in')", "import log files"),
        Binding("d", "demo", "look at the demo"),
        Binding("escape", "stay", "not now", show=False),
        Binding("q", "app.quit", "quit"),
    ]

    def compose(self) -> ComposeResult:
        """A greeting and the three ways."""
        with Vertical(id="welcome"):
            yield PageLines(
                [
                    [("wormbin", "title"), ("   keeps a worm bin's log and says what to do, and how much", "")],
                    [],
                    [("  b  ", "key"), ("start a bin: its first bedding, water, worms and feedings", "strong")],
                    [("  d  ", "key"), ("look at the demo: one bin, five months of log, thrown away after", "")],
                    [("  i  ", "key"), ("bring in log files: bins.csv and log.csv in a folder", "")],
                    [("  ?  ", "key"), ("help; F1 while you fill in a form", "")],
                ]
            )
            yield PictureView(self._draw, id="picture")
        yield KeyLine()

    def _draw(self, width: int, height: int) -> Picture:
        """A bin cut open, as every bin will be drawn."""
        return cutaway(A_BIN, min(width, WIDE), min(height, WIDE // 4), ascii=self.wormbin.ascii)

    def action_go(self, name: str) -> None:
        """The guided start, or log files brought in."""
        self.open(name, then=self._begun)

    def _begun(self, recorded: Recorded | None) -> None:
        if recorded is not None:
            self.in_background(self._open_bin)

    async def _open_bin(self) -> None:
        """There are bins now."""
        screen = await self.wormbin.first_screen()
        self.dismiss(None)
        if screen is not None:
            await self.wormbin.push_screen(screen)

    def action_demo(self) -> None:
        """Leave this store as it is, and open the program on a throw-away copy of the demo."""
        self.wormbin.leave_for_demo()

    def action_stay(self) -> None:
        """To the empty round."""
        self.dismiss(None)
