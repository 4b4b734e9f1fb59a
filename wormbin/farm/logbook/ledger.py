"""Writing into the log: from the keeper's words to entries, through the one door, into the store; all or nothing."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from wormbin.farm.errors import not_closed
from wormbin.farm.heading import Head, Heading, read_heading, read_moment
from wormbin.farm.session import find_bin
from wormbin.farm.views.bin import Recorded
from wormbin.farm.words.log import words_of
from wormbin.farm.words.spoken import Spoken, oven_weights
from wormbin.farm.words.typed import OVEN, put_right, typed_fields
from wormbin.farm.words.unlikely import unlikely
from wormbin.materials.table import MaterialTable
from wormbin.records.bins import NOTHING_MORE, Bin
from wormbin.records.door import admit_entry, admit_lot_line
from wormbin.records.entries import (
    LOG_KINDS,
    Bedding,
    Entry,
    Feeding,
    Harvest,
    Kind,
    Note,
    Portion,
    Stocking,
    Watering,
    What,
)
from wormbin.records.farms import Farm
from wormbin.records.ids import new_id
from wormbin.records.kinds.fields import Field, Of
from wormbin.records.kinds.log import BY_KIND
from wormbin.records.lots import LotLine, LotWhat, lot_key, with_intakes
from wormbin.store import Store


def _meant(field: Field, words: str) -> list[str]:
    """The words for each bin that a field names."""
    several = [each for each in re.split("[;,]", words) if each.strip()] if field.of is Of.BINS else []
    return several or [words]


@dataclass(frozen=True, slots=True)
class Ledger:
    """One farm's log, to be written in. ``units`` is how amounts are said back."""

    store: Store
    farm: Farm
    table: MaterialTable
    now: datetime
    units: str
    random: Callable[[int], bytes] = os.urandom
    tested: Callable[[str, date], float | None] = lambda _material, _on: None
    """The moisture (fraction) of the load that a material is taken from on a day, where it was tested."""
    doubt: Callable[[Bin, Sequence[Entry], str], None] | None = None
    """Asked before anything is saved; raises DoubtedError when a line can hardly be."""

    @property
    def spoken(self) -> Spoken:
        """Reads the keeper's words, also those for what had better stayed out: a log must be able to be true."""
        settings = self.farm.settings
        buckets = {each.name: each.portions for each in settings.buckets}
        return Spoken(self.table, settings.measures, kept_out=True, buckets=buckets, today=self.now.date())

    def bin(self, words: str) -> Bin:
        """The bin meant."""
        return find_bin(words, self.farm.bins)

    def feeding(
        self, one: Bin, portions: Sequence[str], bedding: Sequence[str], water: str, heading: Heading
    ) -> tuple[Entry, ...]:
        """The entries of a feeding with the bedding and water that go in with it; nothing is saved."""
        head = read_heading(heading, one, self.now)
        given: list[What] = [Feeding(self.spoken.portions(portions, "feed"))]
        if bedding:
            given.append(Bedding(self.spoken.portions(bedding, "bedding")))
        if water.strip():
            given.append(self.spoken.read(LOG_KINDS[Watering], {"amount": water}))
        return self.entries(one, head, given)

    def entries(
        self, one: Bin, head: Head, said: Sequence[What], extra: dict[str, float] | None = None
    ) -> tuple[Entry, ...]:
        """Entries through the door: each validated, with an id of its own; the note goes with the first.

        In a line put right what nobody said anew stays exactly as it was.
        """
        made = []
        for place, what in enumerate(said):
            # The last harvest, weighing or note may well be of the day that it was closed on, or told later.
            if not head.replaces and not isinstance(what, Note):
                gives = isinstance(what, Bedding | Feeding | Watering)
                not_closed(one, head.when.date() - timedelta(days=not gives))
            entry = Entry(
                id=new_id(self.random(8)),
                bin=one.key,
                when=head.when,
                what=what,
                by=head.by,
                note=head.note if place == 0 else "",
                compartment=head.compartment,
                day_only=head.day_only,
                extra=extra or NOTHING_MORE,
            )
            if not head.replaces and isinstance(what, Feeding | Bedding):
                entry = replace(entry, what=type(what)(tuple(self._as_tested(each, head) for each in what.portions)))
            if head.replaces and place == 0:
                entry = put_right(entry, self.store.find(head.replaces), self.spoken, self.units)
            made.append(admit_entry(entry, self.farm.bins, self.now))
        return tuple(made)

    def _as_tested(self, portion: Portion, head: Head) -> Portion:
        """A portion with the moisture of its load, where that was tested and nobody said another."""
        if portion.moisture is not None:
            return portion
        return replace(portion, moisture=self.tested(portion.material, head.when.date()))

    def save(self, one: Bin, entries: Sequence[Entry], replaces: str, warnings: tuple[str, ...] = ()) -> Recorded:
        """Write entries, durable before this returns; the wrong line is struck when they amend one."""
        if self.doubt is not None:
            self.doubt(one, entries, replaces)
        if replaces and not entries[0].by:
            wrote = self.store.find(replaces).by
            entries = [replace(entry, by=wrote) for entry in entries]
        lines = with_intakes(entries)
        by = entries[0].by
        written = self.store.amend(replaces, lines, by, self.now) if replaces else self.store.record(lines)
        said = "; ".join(text for entry in entries if (text := self.words(entry)))
        when = entries[0].when
        day = "" if when.date() == self.now.date() else f" on {when.date().isoformat()}"
        done = "put right" if replaces else "written down"
        doubts = tuple(words for entry in entries for words in unlikely(entry.what, one, self.units))
        sentence = f"{one.name}{day}: {said} - {done}"
        ids = tuple(line.id for line in written if isinstance(line, Entry))
        return Recorded(ids, sentence, (*warnings, *doubts[:1]))

    def save_lot(self, name: str, what: LotWhat, heading: Heading) -> LotLine:
        """Write one line of the castings book, durable before this returns; the wrong line is struck for it."""
        wrong = self.store.find_line(heading.replaces.strip()) if heading.replaces.strip() else None
        heading = heading if heading.by or wrong is None else replace(heading, by=wrong.by)
        (line,) = self.lot_lines([(name, what)], heading)
        if wrong is not None:
            self.store.amend(wrong.id, [line], line.by, self.now)
        else:
            self.store.record([line])
        return line

    def lot_lines(self, said: Sequence[tuple[str, LotWhat]], heading: Heading) -> tuple[LotLine, ...]:
        """Lines of the castings book through the door, each of its name; nothing is saved."""
        head = read_moment(heading, self.now)
        made = (
            LotLine(new_id(self.random(8)), name, head.when, what, head.by, head.note, day_only=head.day_only)
            for name, what in said
        )
        return tuple(admit_lot_line(line, self.farm.bins, self.now) for line in made)

    def words(self, entry: Entry) -> str:
        """What an entry says, in one line."""
        return words_of(entry.what, self.units, self.name) or entry.note

    def name(self, material: str) -> str:
        """A material's everyday name."""
        return self.table.get(material).name.lower() if material in self.table else material

    def read(
        self, bin: str, kind: Kind, said: Mapping[str, str], heading: Heading
    ) -> tuple[Bin, Head, tuple[Entry, ...]]:
        """What the fields of a kind say, as a line that is not saved yet; in a line put right what is unsaid stays."""
        described = BY_KIND[kind]
        note = next((said[each.name] for each in described.fields if each.of is Of.NOTE and each.name in said), None)
        one = self.bin(bin)
        head = read_heading(heading if note is None else replace(heading, note=note), one, self.now)
        wrong = self.store.find(head.replaces) if head.replaces else None
        if wrong is not None and wrong.kind is kind:
            said = {**typed_fields(wrong.what, self.spoken, self.units), **said}
        oven = {f"{OVEN}{name}": grams for name, grams in oven_weights(said).items()} if kind is Kind.CHECK else {}
        others = {
            each.name: ", ".join(self.bin(word).key for word in _meant(each, said.get(each.name, "")))
            for each in described.fields
            if each.of in (Of.BIN, Of.BINS)
        }
        what = self.spoken.read(described, {**said, **others})
        if isinstance(what, Harvest) and what.lot:
            what = replace(what, lot=self.lot_name(what.lot))
        price = self.farm.settings.prices.get("worms")
        if isinstance(what, Stocking) and what.worms_kg < 0 and what.who and what.price is None and price:
            what = replace(what, price=round(price * -what.worms_kg, 2))
        return one, head, self.entries(one, head, [what], oven)

    def lot_name(self, words: str) -> str:
        """The name that a harvest into this lot is kept under: a lot's own spelling when there is such a lot."""
        lots = (line.lot for line in self.store.lot_lines() if line.about == "lot")
        return next((lot for lot in lots if lot_key(lot) == lot_key(words)), words)

    def line_id(self, said: str) -> str:
        """The whole id of a line from its first letters; "" for none."""
        return self.store.find(said).id if said else ""
