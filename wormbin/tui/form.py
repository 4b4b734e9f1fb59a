"""The form that ends with something saved: it keeps what is half filled and asks before that is dropped.

A form is never emptied by a refusal, a resize, a second look or the end of the program.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from wormbin.farm import drafts, turns
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.views.bin import Recorded
from wormbin.problems import MissingError, RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form, Hand, acting
from wormbin.tui.widgets.fields import ChoiceRow, NameField, WordField

if TYPE_CHECKING:
    from wormbin.farm.errors import Question
    from wormbin.farm.session import Session

HALF_FILLED = "Half filled before: carry on, or Esc twice to drop it."
NO_NAME = "Enter again saves it without a name."
KEEPS = "Enter again keeps it; or change it."
NOT_SAVED = "Not saved. Esc again drops what is filled in; Enter goes on."


class FilledForm(Form[Recorded]):
    """Its lines are the ``WordField`` and ``ChoiceRow`` on it; what else is filled in says ``fields`` too.

    ``draft_name`` is where it is kept when it is left half filled.
    """

    draft_name = ""
    _stood: Mapping[str, str] = {}
    """What stood in it when it came up."""
    _leaving = False
    _asked_of: Mapping[str, str] | None = None
    _named: str | None = None

    def __init__(
        self, hand: Hand | None = None, *, fields: Mapping[str, str] | None = None, replaces: str = ""
    ) -> None:
        """``fields`` are what a line says that is to be put right, ``replaces`` is its id."""
        super().__init__(hand)
        self.given = fields or {}
        self.replaces = replaces
        if hand is not None:
            self.draft_name = f"{self.draft_name}-{hand.key}"
        if hand is not None and replaces:
            self.heading = f"Put right: {hand.name}"

    def lines(self) -> Iterator[WordField | ChoiceRow]:
        """Every line that can be filled in."""
        return (line for line in self.query("WordField, ChoiceRow") if isinstance(line, WordField | ChoiceRow))

    def fields(self) -> dict[str, str]:
        """What is filled in so far, by field; empty when nothing is."""
        return {
            line.id or "": line.value
            for line in self.lines()
            if line.value and not (isinstance(line, NameField) and line.value == line.offered)
        }

    def fill(self, fields: Mapping[str, str]) -> None:
        """Put back what was filled in before."""
        for line in self.lines():
            line.value = fields.get(line.id or "", "")

    def when_and_where(self, compartments: int = 1) -> ComposeResult:
        """The lines that every entry has: which part of the bin, and which day."""
        if compartments > 1:
            yield WordField(f"part, 1 to {compartments}", "1", id="part")
        yield WordField("when, if not now", "yesterday, or 2026-03-02", id="when")

    def who(self) -> ComposeResult:
        """The line for a name, where several write."""
        if len(self.wormbin.names) > 1:
            yield NameField(self.wormbin.names)

    async def offer_name(self, bin: str, kind: str) -> None:
        """Whose turn it is stands there to be taken; without a rota who was picked by the key for it."""
        for field in self.query(NameField):
            if self.replaces:
                field.offer([self.given["by"]] if self.given.get("by") else ())
            else:
                turn, rota = await self.ask(lambda farm: (turns.offered(farm, bin, kind), turns.taken(farm)))
                field.offer(turn if rota else [self.wormbin.by] if self.wormbin.by else ())

    async def signed_heading(self) -> Heading | None:
        """The heading with the name that the first letters mean; None when that is asked about first."""
        heading = self.entry_heading(ask=self.asks)
        if not self.query(NameField):
            return heading
        said = self.word("who")
        try:
            by = await self.ask(lambda farm: turns.signer(farm, said, ask=self._named != said))
        except DoubtedError as doubt:
            self._named = said
            self.say(*(each.words for each in doubt.questions), KEEPS if said else NO_NAME)
        except RefusedError as refused:
            self.refuse(refused)
        else:
            return replace(heading, by=by)
        return None

    def entry_heading(self, *, ask: bool = False) -> Heading:
        """What every entry has, as it is filled in so far; ``ask`` is whether what can hardly be is asked about."""
        return Heading(
            when=self.day_meant(self.word("when") or self.given.get("when", "")), note=self.word("note"),
            compartment=self.word("part"), by=self.wormbin.by, replaces=self.replaces, ask=ask,
        )  # fmt: skip

    @property
    def kept_as(self) -> str:
        """Where it is kept half filled: one of a line that is put right comes back to that line alone, never as new."""
        return f"put-right-{self.replaces}" if self.replaces else self.draft_name

    async def offer_draft(self) -> bool:
        """Fill in what is to be put right, or was left half filled, and say so; whether there was any."""
        if self.given:
            self.fill(self.given)
            self._stood = self.fields()
        draft = await self.ask(lambda farm: dict(drafts.read(farm, self.kept_as)))
        if draft:
            # What was typed before it came stands.
            typed = {name: words for name, words in self.fields().items() if words != self._stood.get(name)}
            self.fill({**draft, **typed})
            self.app.clear_notifications()  # they told of this one
            self.say(HALF_FILLED)
        return bool(draft)

    async def save(self, write: Callable[[Session], Recorded], way: str = KEEPS) -> None:
        """Save, and leave; or say what was refused, or ask about what can hardly be and tell the ``way`` on."""
        try:
            recorded = await self.ask(write, SAVE)
        except DoubtedError as doubt:
            self.question(doubt.questions, way)
        except RefusedError as refused:
            self.refuse(refused)
        else:
            await self.saved(recorded)

    def refuse(self, refused: RefusedError) -> None:
        """Say what was refused; what can be said once and kept is asked for over the form."""
        if isinstance(refused, MissingError):
            self.open("once", refused, then=partial(self._asked_once, refused))
        else:
            super().refuse(refused)

    def _asked_once(self, missing: MissingError, recorded: Recorded | None) -> None:
        if recorded is None:
            super().refuse(missing)
        else:
            self.say(f"Kept: {recorded.sentence}.", "Press Enter again.", role="good")

    def question(self, questions: Sequence[Question], way: str = KEEPS) -> None:
        """Ask about what can hardly be; Enter on the same words keeps it."""
        self._asked_of = self.fields()
        self.say(*(each.words for each in questions), way)

    @property
    def asks(self) -> bool:
        """Whether what can hardly be is asked about: not for the same words a second time."""
        return self._asked_of != self.fields()

    @on(ChoiceRow.Unknown)
    def unknown(self, event: ChoiceRow.Unknown) -> None:
        """No key is swallowed in silence."""
        self.say_of(event.row, event.words)

    @on(Input.Changed)
    @on(ChoiceRow.Picked)
    def gone_on(self) -> None:
        """Something was typed or picked: a question about leaving no longer stands."""
        self._leaving = False

    async def saved(self, recorded: Recorded) -> None:
        """It is in the log: nothing is left to keep."""
        await self.ask(lambda farm: drafts.drop(farm, self.kept_as), SAVE)
        self.wormbin.drop_repeats()
        self.dismiss(recorded)

    @acting
    async def action_leave(self) -> None:
        """Leave at once when nothing is filled in; else ask once."""
        if self.fields() and not self._leaving:
            self._leaving = True
            self.say(NOT_SAVED)
            return
        await self.ask(lambda farm: drafts.drop(farm, self.kept_as), SAVE)
        self.dismiss(None)

    async def keep_draft(self) -> None:
        """The program is ending: keep what is half filled for the next start."""
        fields = self.fields()
        if fields and fields != self._stood:
            await self.ask(lambda farm: drafts.save(farm, self.kept_as, fields), SAVE)
