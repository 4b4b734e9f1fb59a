"""Start a bin: say how big it is and where it stands; the first bedding, water, worms and feedings are proposed."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain
from wormbin.farm.proposals import BinDraft, StartProposal
from wormbin.farm.views import Recorded
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form
from wormbin.tui.showing import Piece, line_of, lines_of, said
from wormbin.tui.widgets.choice_row import Choice, ChoiceRow
from wormbin.tui.widgets.word_field import WordField

WORDS = (
    ("name", "name", "Kitchen bin"), ("length", "length inside", "60 cm"), ("width", "width inside", "40 cm"),
    ("depth", "depth inside", "30 cm"), ("site_temp", "usual room warmth", "20C"),
    ("worms", "worms, if you have them", "500 g or 1000 worms"),
)  # fmt: skip
ROWS = (
    ("drainage", "holes in the base", (Choice("y", "yes", "yes"), Choice("n", "no", "no"))),
    ("cover", "cover", (Choice("o", "open", "open"), Choice("l", "loose", "loose"), Choice("c", "closed", "closed"))),
    (
        "method", "castings taken by",
        (
            Choice("1", "sort", "light and heaps"), Choice("2", "sideways", "sideways"), Choice("3", "upward", "trays"),
            Choice("4", "bait", "bait"), Choice("5", "screen", "screen"), Choice("6", "flow", "flow"),
        ),
    ),
)  # fmt: skip


class StartForm(Form[Recorded]):
    """The first Enter that is understood shows the proposal; the next writes the bin."""

    HELP = (
        "Measure the inside of the box. Enter goes on; when all is said, the first bedding, the water to soak it, the "
        "worms that the surface carries and the first weeks' feedings are proposed. Enter again writes them down."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave")]

    def __init__(self) -> None:
        super().__init__()
        self.proposal: StartProposal | None = None
        self._leaving = False

    def compose(self) -> ComposeResult:
        """What is asked at the left, what is proposed at the right."""
        with Vertical(classes="sheet"):
            yield Static(line_of([("Start a bin", "title")]))
            with Horizontal(id="pair"):
                with VerticalScroll(id="asked", can_focus=False):
                    for name, label, example in WORDS:
                        yield WordField(label, example, id=name)
                    for name, label, choices in ROWS:
                        yield ChoiceRow(label, choices, id=name)
                with VerticalScroll(id="after"):
                    yield Static(line_of([said("What is proposed will stand here.", "dim")]), id="effect")
            yield Static(id="trouble", classes="trouble")
            yield Static(line_of([("Enter propose, Enter again write it down   Tab next   Esc leave", "dim")]))

    def on_mount(self) -> None:
        """Listen to the first line."""
        self.query(WordField).first().input.focus()

    def draft(self) -> BinDraft:
        """What is said so far."""
        said_so_far = {name: self.query_one(f"#{name}", WordField).value for name, _, _ in WORDS}
        said_so_far |= {name: self.query_one(f"#{name}", ChoiceRow).value for name, _, _ in ROWS}
        return BinDraft(**said_so_far)

    def _say(self, *sentences: str) -> None:
        self.query_one("#trouble", Static).update(lines_of([said(plain(words), "watch")] for words in sentences))

    @on(Input.Changed)
    def changed(self) -> None:
        """What was proposed is for another box now."""
        self.proposal = None
        self._leaving = False

    @on(ChoiceRow.Picked)
    def picked(self, event: ChoiceRow.Picked) -> None:
        """An answered row hands over to the next."""
        self.proposal = None
        if event.row.value and event.row.id != ROWS[-1][0]:
            self.focus_next()

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """Go on while lines are empty; then propose, then write."""
        event.stop()
        await self.action_go_on()

    async def on_key(self, event: object) -> None:
        """Enter on a row of choices goes on as well."""
        if getattr(event, "key", "") == "enter" and isinstance(self.focused, ChoiceRow):
            event.stop()  # type: ignore[attr-defined]
            await self.action_go_on()

    async def action_go_on(self) -> None:
        """Propose what the draft asks for; when it has been proposed, write it."""
        draft = self.draft()
        if not (draft.length and draft.width and draft.depth) and isinstance(self.focused, Input):
            self.focus_next()
            return
        try:
            if self.proposal is None:
                self.proposal = await self.ask(lambda farm: farm.propose_start(draft))
                self._show(self.proposal)
                self._say("Enter again writes it down.")
                return
            recorded = await self.ask(lambda farm: farm.start(draft), SAVE)
        except RefusedError as refused:
            self._say(*(problem.sentence() for problem in refused.problems))
            return
        self.dismiss(recorded)

    def _show(self, proposal: StartProposal) -> None:
        lines: list[list[Piece]] = [[said(line)] for line in proposal.lines]
        lines += [[], [("To get", "strong")]]
        lines += [[said(f"  {line}")] for line in proposal.shopping]
        lines += [[], *([said(line, "dim")] for line in proposal.cautions)]
        self.query_one("#effect", Static).update(lines_of(lines))

    def action_leave(self) -> None:
        """Leave at once when nothing is said; else ask once."""
        if any(self.draft().__getattribute__(name) for name, _, _ in WORDS) and not self._leaving:
            self._leaving = True
            self._say("Not saved. Esc again drops what is filled in.")
            return
        self.dismiss(None)
