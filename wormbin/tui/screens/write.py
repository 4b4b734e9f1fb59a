"""Write down anything else: which kind, by one key; then its few lines. A survey, sample by sample. Or a strike."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import DescendantFocus
from textual.widget import Widget
from textual.widgets import Input, Static

from wormbin.farm import recording
from wormbin.farm.heading import Heading
from wormbin.farm.lots import write_line
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.views.bin import LogLine, Recorded
from wormbin.measures import counted
from wormbin.pages.futures import what_if
from wormbin.pages.page import GAP, Block, Sentence, lines
from wormbin.records.ids import key_from
from wormbin.records.kinds.castings import LotKind
from wormbin.records.kinds.fields import Description, Of
from wormbin.records.kinds.log import WRITTEN, Kind
from wormbin.tui.form import FilledForm
from wormbin.tui.place import Form, Hand, acting
from wormbin.tui.themes import Piece, line_of, lines_of, said
from wormbin.tui.widgets.fields import NameField, NameSuggester, WordField
from wormbin.tui.widgets.key_line import KeyLine
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.page_lines import PageLines


class KindMenu(Form[Description[Kind]]):
    """Every kind of entry with its key."""

    HELP = "Pick what to write down by its letter, or with the arrows and Enter."
    heading = "Write down"
    KEYS = (("a letter", "picks"),)
    SHEET = "small"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            # Before the list's own letters, and before the next key is looked at.
            Binding(kind.page.key, f"pick({number})", kind.page.title, show=False, priority=True)
            for number, kind in enumerate(WRITTEN)
        )
    ]

    def parts(self) -> ComposeResult:
        """The kinds."""
        yield LineList(self._line, len(WRITTEN))

    def _line(self, index: int, _: int) -> list[Piece]:
        page = WRITTEN[index].page
        return [(f" {page.key}  ", "key"), (f"{page.title:<13}", "strong"), (page.about, "dim")]

    def on_mount(self) -> None:
        """Listen to letters at once."""
        self.query_one(LineList).focus()

    def action_pick(self, number: int) -> None:
        """A letter picks."""
        self.dismiss(WRITTEN[number])

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Enter picks."""
        self.dismiss(WRITTEN[event.index])


class LineForm(FilledForm):
    """Asks for the fields of one kind of line; what is refused stays filled in.

    In a line that ``replaces`` another its ``fields`` are filled in already.
    """

    HELP = (
        "Fill in the lines. Enter goes to the next, and saves on the last before the note. Tab goes on to the note and "
        "the day. Leave empty what does not apply."
    )
    KEYS = (("Enter", "next row"),)
    SHEET = "middling snug"
    named = ""
    """An example of the name that it begins with; a line of what has one already asks for none."""

    def __init__(self, title: str, kind: Description[Any], hand: Hand | None = None, **right: Any) -> None:
        super().__init__(hand, **right)
        self.kind = kind
        self.heading = title[:1].upper() + title[1:]
        self._parts = hand.compartments if hand else 1

    def written(self, farm: Session, said: Mapping[str, str], heading: Heading) -> Recorded:
        """Save the line."""
        raise NotImplementedError

    def parts(self) -> ComposeResult:
        """The lines of the kind, a note, a day, what to mind."""
        names = NameSuggester(partial(self.finish, "bedding"))  # no other materials are asked for here
        with VerticalScroll(can_focus=False):
            if self.kind.kind is Kind.GUESS:
                yield from self.who()
            if self.named:
                yield WordField("name", self.named, id="name")
            for each in self.kind.asked:
                finished = names if each.of in (Of.PORTIONS, Of.PORTION) else None
                yield WordField(each.label, each.example, suggester=finished, id=each.name)
            if not any(each.of is Of.NOTE for each in self.kind.asked):
                yield WordField("note", id="note")
            yield from self.when_and_where(self._parts)
            if self.kind.page.mind:
                yield Static(line_of([said(self.kind.page.mind, "dim")]), classes="mind")

    async def on_mount(self) -> None:
        """Offer what is to be put right, or was half filled."""
        await self.offer_draft()

    @property
    def _names(self) -> list[str]:
        return [*(["name"] if self.named else []), *(each.name for each in self.kind.asked)]

    def _goes_on(self, row: Widget | None) -> bool:
        """Whether Enter leads to the next row; on the last of the kind's own, or once all are filled, it saves."""
        own = [self.query_one(f"#{name}", WordField) for name in self._names]
        early = row is not None and (isinstance(row.parent, NameField) or any(each.input is row for each in own[:-1]))
        return early and not all(each.value for each in own)

    @on(DescendantFocus)
    @on(Input.Changed)
    def tell_enter(self) -> None:
        """Say below what Enter does in this row."""
        self.query_one("#keys", KeyLine).tell((("Enter", "next row" if self._goes_on(self.focused) else "save"),))

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """The next line, or save."""
        if self._goes_on(event.input):
            self.focus_next()
            return
        answers = {name: self.word(name) for name in self._names}
        if (heading := await self.signed_heading()) is not None:
            await self.save(lambda farm: self.written(farm, answers, heading))


class WriteForm(LineForm):
    """A line of a bin's log."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+t", "try", "what it would do")]

    def __init__(self, hand: Hand, kind: Description[Kind], **right: Any) -> None:
        super().__init__(f"{'Put right, ' if right else ''}{kind.page.title}: {hand.name}", kind, hand, **right)
        self.key = hand.key
        self.draft_name = f"{kind.page.title.replace(' ', '-')}-{hand.key}"

    async def on_mount(self) -> None:
        """Whose turn it is stands there where several write."""
        await self.offer_name(self.key, self.kind.kind)

    def written(self, farm: Session, said: Mapping[str, str], heading: Heading) -> Recorded:
        """Save the line in the bin's log."""
        return write(farm, self.key, self.kind.kind, said, heading)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A harvest can be tried before it is written."""
        return self.kind.kind is Kind.HARVEST if action == "try" else super().check_action(action, parameters)

    @acting
    async def action_try(self) -> None:
        """Open what the harvest would do as a page; nothing is saved."""
        said = {each.name: self.word(each.name) for each in self.kind.asked}
        heading = self.entry_heading(ask=False)
        view = await self.understood(lambda farm: recording.preview_harvest(farm, self.key, said, heading))
        if view is not None:
            self.open("page", self.heading, lines(what_if(view)), file=f"harvest-{self.key}.txt")


class BookForm(LineForm):
    """A line of a lot, a load, a pile or a cost; with no ``name`` of one that is new, and asks for it."""

    def __init__(self, name: str, kind: Description[LotKind]) -> None:
        super().__init__(f"{kind.about} {name}".strip() + f": {kind.page.title}", kind)
        self.given_name = name
        self.named = "" if name else _NAMES[kind.about]
        self.draft_name = f"{kind.about}-{key_from(kind.page.title)}-{key_from(name or 'new')}"[:40]

    def written(self, farm: Session, said: Mapping[str, str], heading: Heading) -> Recorded:
        """Save the line in the castings book."""
        return write_line(farm, self.given_name or said.get("name", ""), self.kind.kind, said, heading)


_NAMES = {"load": "grain-12, or empty", "pile": "spring-pile", "cost": "bags", "order": "cafe-may"}
"""Names that are as good as any."""


class StrikeForm(FilledForm):
    """One line: why."""

    HELP = "A paper log is never rubbed out. Say in a word or two why the line is wrong. Enter strikes it through."

    heading = "Strike through"
    KEYS = (("Enter", "strike it through"),)
    SHEET = "small"

    def __init__(self, line: LogLine) -> None:
        super().__init__()
        self.line = line
        self.draft_name = f"strike-{line.entry}"

    def parts(self) -> ComposeResult:
        """The line, and why."""
        yield Static(lines_of([[said(f"{self.line.moment}  {self.line.kind.value}", "dim")], [said(self.line.words)]]))
        yield WordField("why", "mistyped", id="why")

    def on_mount(self) -> None:
        """Listen."""
        self.query_one(WordField).input.focus()

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """Strike."""
        why, by = event.value.strip(), self.wormbin.by
        if not why:
            self.say("why: nothing yet. Write a word or two. Example: mistyped")
            return
        asks, way = self.asks, "Enter again strikes it; Esc leaves."
        await self.save(lambda farm: recording.strike(farm, self.line.entry, why, by, ask=asks), way)


class SurveyForm(FilledForm):
    """Enter adds a sample; Enter on an empty line saves."""

    HELP = (
        "Take equal areas down to the floor, from the edge and the middle. Wash and blot the worms before you weigh "
        "them. Enter adds a sample and shows the estimate so far. Enter on an empty line saves the survey."
    )
    KEYS = (("Enter", "add; on an empty line: save"), ("Tab", "next"))
    SHEET = "middling"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+r", "take_out", "take out")]

    heading = "Worm survey"
    draft_name = "survey"

    def __init__(self, hand: Hand) -> None:
        super().__init__(hand)
        self.samples: list[str] = []

    def parts(self) -> ComposeResult:
        """The area, the samples, the interval."""
        yield WordField("area of a sample", "225 cm2 (15 cm x 15 cm)", id="area")
        yield WordField("worms in a sample", "12 g, or 25 worms, or 0", id="sample")
        yield WordField("note", id="note")
        with VerticalScroll(can_focus=False, id="page"):
            yield PageLines([[("No sample yet. Five or more make a fair guess.", "dim")]], id="effect")

    async def on_mount(self) -> None:
        """Offer what was half filled."""
        if await self.offer_draft():
            await self._look()
            area = self.query_one("#area", WordField)
            if area.value and self.focused is area.input:
                self.query_one("#sample", WordField).input.focus()

    def fields(self) -> dict[str, str]:
        """What is filled in so far."""
        return {**super().fields(), **({"samples": "; ".join(self.samples)} if self.samples else {})}

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        super().fill(fields)
        self.samples = [words for words in fields.get("samples", "").split("; ") if words]

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """The next line, a sample more, or save."""
        area, sample = (self.query_one(f"#{name}", WordField) for name in ("area", "sample"))
        if event.input is area.input:
            sample.input.focus()
        elif sample.value:
            self.samples.append(sample.value)
            if await self._look():
                sample.value = ""
                sample.input.focus()
            else:
                self.samples.pop()
        else:
            await self._save()

    async def _look(self) -> bool:
        samples, area = list(self.samples), self.word("area")
        if not samples:
            self.show_page([Sentence("No sample yet.", "dim")])
            return True
        view = await self.understood(lambda farm: recording.preview_survey(farm, self.hand.key, samples, area))
        if view is None:
            return False
        page: list[Block] = [Sentence(view.words, "strong")]
        if view.more_samples:
            page.append(Sentence(f"{counted(view.more_samples, 'sample')} more would halve the width", "dim"))
        page += [
            GAP,
            *(Sentence(each, lead=f"  {at:>2}  ", lead_role="dim") for at, each in enumerate(view.samples, 1)),
        ]
        self.show_page(page)
        self.say("")
        return True

    async def _save(self) -> None:
        if not self.samples:
            self.say("No sample yet. Example: 12 g")
            return
        samples, area = list(self.samples), self.word("area")
        heading, filled = self.entry_heading(ask=self.asks), {"samples": "; ".join(samples), "area": area}
        await self.save(lambda farm: write(farm, self.hand.key, Kind.SURVEY, filled, heading))

    @acting
    async def action_take_out(self) -> None:
        """Take the last sample out again."""
        if self.samples:
            self.query_one("#sample", WordField).value = self.samples.pop()
            await self._look()
