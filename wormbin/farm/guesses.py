"""What was expected before the number was shown, beside what came: the guesses of a bin's log."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import date, timedelta

from wormbin.advice.finding import Doing, Finding
from wormbin.drawing.series import Series
from wormbin.farm.bins.scene import Scene
from wormbin.farm.session import Session
from wormbin.farm.views.round import CoveredRow, RoundRow
from wormbin.figures import Level
from wormbin.measures import counted, mass, percent
from wormbin.measures.dates import day_words
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Guess, Harvest, standing

GUESSED = ("moisture", "worms", "castings")
"""What a guess is about, as the gauges call it."""
FIRST = "guess first, then look"
READ_WITHIN_DAYS = 3
"""A reading of so many days after a guess is what came; else the estimate of its day (ours)."""


def wanted(session: Session, bin: str) -> bool:
    """Whether a guess comes before the figures: where that is the rule, and nobody has guessed today."""
    day = session.moment(None).date()
    return session.settings().guess_first and not any(each.when.date() == day for each in _of(session, bin))


def covered(row: RoundRow) -> CoveredRow:
    """The row without findings and steps that tell what is to be guessed. What may not wait is told all the same."""
    from wormbin.advice.judgement import level
    from wormbin.farm.bins.gauges import GAUGE_OF

    def is_told(each: Finding) -> bool:
        about = GAUGE_OF.get(each.code, "")
        return about not in GUESSED or (each.level is Level.ACT and about != "castings")

    told = tuple(each for each in row.findings if is_told(each))
    alarms = [each for each in told if each.level is not Level.STEADY]
    hidden = {step.text for each in row.findings if each not in told for step in each.actions}
    steps = zip(row.do, row.doing, strict=True)
    kept = [(words, kind) for words, kind in steps if words not in hidden and kind is not Doing.HARVEST]
    values = {each.name: getattr(row, each.name) for each in fields(row)} | {
        "headline": alarms[0].what if alarms else FIRST,
        "level": level(told), "findings": told, "also": (),
        "do": tuple(words for words, _kind in kept), "doing": tuple(kind for _words, kind in kept),
    }  # fmt: skip
    return CoveredRow(**values)


def view(session: Session, bin: str) -> GuessesView:
    """Every guess of a bin, the oldest first, each with what came and how far off it was, and a chart of each kind."""
    scene = session.scene(bin)
    guesses = [each for each in _of(session, bin) if each.when.date() <= scene.on]
    rows = tuple(row for each in guesses for row in _rows(scene, each))
    return GuessesView(scene.bin, scene.on, rows, tuple(_charts(scene, rows)))


def _of(session: Session, bin: str) -> tuple[Entry, ...]:
    return tuple(each for each in standing(session.entries(bin)) if isinstance(each.what, Guess))


def _rows(scene: Scene, entry: Entry) -> Iterator[GuessRow]:
    what, on, units = entry.what, entry.when.date(), scene.settings.units
    if not isinstance(what, Guess):
        return
    for quantity, guess in (("moisture", what.moisture), ("worms", what.worms_kg)):
        if guess is not None:
            came, read = _came(scene, quantity, on)
            said = percent if quantity == "moisture" else lambda kg: mass(kg, units)
            off = None if came is None else guess - came
            words = "" if off is None else "right" if said(abs(off)) == said(0.0) else _off_words(quantity, off, units)
            told = "" if came is None else f"{said(came)}{'' if read else ' worked out'}"
            yield GuessRow(entry.id, on, entry.by, quantity, guess, said(guess), came, told, read, words)
    if what.harvest is not None:
        done = next((e.when.date() for e in scene.entries if isinstance(e.what, Harvest) and e.when.date() >= on), None)
        days = None if done is None else (what.harvest - done).days
        late = (
            ""
            if days is None
            else "right"
            if not days
            else f"{counted(abs(days), 'day')} {'late' if days > 0 else 'early'}"
        )
        yield GuessRow(
            entry.id, on, entry.by, "harvest", float(what.harvest.toordinal()), day_words(what.harvest, scene.on),
            None if done is None else float(done.toordinal()), "" if done is None else day_words(done, scene.on), True,
            late,
        )  # fmt: skip


def _off_words(quantity: str, off: float, units: str) -> str:
    size = counted(round(abs(off) * 100), "point") if quantity == "moisture" else mass(abs(off), units)
    return f"{size} {'over' if off > 0 else 'under'}"


def _came(scene: Scene, quantity: str, on: date) -> tuple[float | None, bool]:
    """What was read soon after, or else worked out for the day; and whether it was read."""
    name = "moisture" if quantity == "moisture" else "worms_kg"
    last = on + timedelta(days=READ_WITHIN_DAYS)
    read = [each for each in scene.past.judged if each.quantity == name and not each.questioned]
    read = [each for each in read if each.by != "squeeze"]  # four steps are no number to be right by
    soon = [each for each in read if on <= each.when.date() <= last]
    if soon:
        first = min(each.when.date() for each in soon)
        values = [each.read for each in soon if each.when.date() == first]
        return sum(values) / len(values), True
    day = next((each for each in scene.past.days if each.on == on), None)
    if day is None:
        return None, False
    return (day.moisture if quantity == "moisture" else day.worms_kg).p50, False


def _charts(scene: Scene, rows: Sequence[GuessRow]) -> Iterator[Series]:
    """The estimate as a line, and the guesses as discs on it."""
    from dataclasses import replace

    from wormbin.drawing.series import Reading
    from wormbin.farm.bins.ahead import charts

    for series in charts(scene):
        mine = [row for row in rows if row.quantity == series.code]
        if mine:
            discs = tuple(Reading(row.on, row.guess, by=row.by) for row in mine)
            title = f"{series.title}: the guesses (discs) on the estimate (line)"
            nothing = (None, None, None)
            yield replace(series, title=title, readings=discs, ahead=(), events=(), harvest=nothing)


@dataclass(frozen=True, slots=True)
class GuessRow:
    """One guess of ``moisture`` (fraction), ``worms`` (kg) or ``harvest`` (ordinal of a day), and what came of it.

    ``read`` is whether what came was read by somebody, or worked out. ``off`` says how far off it was, in words.
    """

    entry: str
    on: date
    by: str
    quantity: str
    guess: float
    words: str
    came: float | None
    came_words: str
    read: bool
    off: str


@dataclass(frozen=True, slots=True)
class GuessesView:
    """The guesses of a bin, the oldest first; ``charts`` one a quantity."""

    bin: Bin
    on: date
    rows: tuple[GuessRow, ...]
    charts: tuple[Series, ...]

    def off_by(self, quantity: str) -> tuple[float, ...]:
        """How far off the guesses of a quantity were, the oldest first, whichever way; those that came."""
        return tuple(
            abs(row.guess - row.came) for row in self.rows if row.quantity == quantity and row.came is not None
        )

    @property
    def document(self) -> dict[str, object]:
        """What goes out as JSON."""
        rows = [
            {"entry": row.entry, "date": row.on, "by": row.by, "quantity": row.quantity, "guess": row.words,
             "came": row.came_words or None, "read": row.read, "off": row.off or None}
            for row in self.rows
        ]  # fmt: skip
        return {"bin": self.bin.key, "guesses": rows}
