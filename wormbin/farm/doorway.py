"""The one doorway to a farm: look at it, ask it, write in its log, keep it. It owns the store and the clock."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.farm.errors import DoubtedError, HeldBackError, StoreError
from wormbin.farm.heading import NOW, Heading
from wormbin.farm.session import Clock, Helping, local_clock
from wormbin.farm.views.bin import Recorded
from wormbin.farm.words import whats
from wormbin.measures import counted, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry
from wormbin.records.farms import Farm, OwnMaterial
from wormbin.records.ids import key_from
from wormbin.records.moves import MARK

if TYPE_CHECKING:
    from wormbin.farm.backups import Care
    from wormbin.farm.logbook.ledger import Ledger
    from wormbin.farm.lots.book import Lots
    from wormbin.farm.views.proposals import BinDraft, CheckDraft
    from wormbin.farm.words.spoken import Spoken
    from wormbin.records.entries import What
    from wormbin.records.lots import Line

__all__ = ["NOW", "Clock", "DoubtedError", "Session", "HeldBackError", "StoreError", "local_clock"]


class Session(Helping):
    """A farm in one folder. Everything said is in the keeper's own words.

    Whatever is refused is a ``RefusedError`` and saves nothing; a store that cannot be used is a ``StoreError``.
    """

    # the log

    def record_feeding(
        self,
        bin: str,
        portions: Sequence[str],
        *,
        bedding: Sequence[str] = (),
        water: str = "",
        heading: Heading = NOW,
        anyway: bool = False,
    ) -> Recorded:
        """Save a feeding with the bedding and water that go with it; HeldBackError when too much and not ``anyway``."""
        if not anyway:
            view = self.preview_feeding(bin, portions, bedding=bedding, water=water, heading=heading)
            if view.too_much:
                raise HeldBackError(view)
        ledger = self.ledger()
        one = ledger.bin(bin)
        entries = ledger.feeding(one, portions, bedding, water, heading)
        return ledger.save(one, entries, ledger.line_id(heading.replaces))

    def _write(self, bin: str, heading: Heading, read: Callable[[Spoken], What]) -> Recorded:
        return self._asking(heading).write(bin, heading, read)

    def _asking(self, heading: Heading) -> Ledger:
        """The log, asking about what can hardly be when the heading says so."""
        if not heading.ask:
            return self.ledger()
        from wormbin.farm.recording.doubts import doubt

        return replace(self.ledger(), doubt=partial(doubt, self))

    def _believed(self, bin: str, recorded: Recorded) -> Recorded:
        """What was saved, with what was believed before and what is taken now where that is to be told."""
        from wormbin.farm.bins.page import taken_words

        scene = self.scene(bin)
        said = next(filter(None, (taken_words(scene, entry) for entry in recorded.ids)), "")
        return replace(recorded, sentence=f"{recorded.sentence}; {said}") if said else recorded

    def record_check(self, bin: str, draft: CheckDraft, heading: Heading = NOW) -> Recorded:
        """Save a check."""
        return self.ledger().check(bin, draft, heading)

    def record_bedding(self, bin: str, portions: Sequence[str], heading: Heading = NOW) -> Recorded:
        """Save bedding put in."""
        return self._write(bin, heading, whats.bedding(portions))

    def record_water(self, bin: str, amount: str, heading: Heading = NOW) -> Recorded:
        """Save water put in."""
        return self._write(bin, heading, whats.water(amount))

    def record_drain(self, bin: str, amount: str, heading: Heading = NOW) -> Recorded:
        """Save water let out at the base."""
        return self._write(bin, heading, whats.drain(amount))

    def record_weighing(
        self,
        bin: str,
        amount: str,
        *,
        with_box: bool = False,
        heading: Heading = NOW,
    ) -> Recorded:
        """Save a weighing; ``with_box`` when the box was on the scale."""
        return self._believed(bin, self._write(bin, heading, whats.weighing(amount, with_box)))

    def record_survey(
        self,
        bin: str,
        samples: Sequence[str],
        sample_area: str,
        heading: Heading = NOW,
    ) -> Recorded:
        """Save a survey: worms in each equal-area sample ("12 g", "25 worms"); the area as "225 cm2"."""
        view = self.preview_survey(bin, samples, sample_area, heading)
        recorded = self._write(bin, heading, lambda spoken: spoken.survey(samples, sample_area))
        return self._believed(bin, replace(recorded, sentence=f"{recorded.sentence}; {view.words}"))

    def record_stocking(self, bin: str, worms: str, *, out: bool = False, heading: Heading = NOW) -> Recorded:
        """Save worms put in, or taken ``out`` (sold, given away)."""
        return self._write(bin, heading, whats.stocking(worms, out))

    def record_move(self, bin: str, to: str, worms: str, heading: Heading = NOW) -> Recorded:
        """Save worms moved to another bin: both books or neither."""
        return self._asking(heading).move(bin, to, worms, heading)

    def record_harvest(
        self,
        bin: str,
        castings: str,
        *,
        moisture: str = "",
        worms_out: str = "",
        left_behind: str = "",
        lot: str | None = None,
        heading: Heading = NOW,
    ) -> Recorded:
        """Save castings taken off; with ``lot`` also that they went into it, in both books or in neither.

        None leaves the lot of the line that is put right as it is; empty takes the castings out of it.
        """
        ledger, lots = self._asking(heading), self.castings()
        return self._believed(bin, ledger.harvest(bin, castings, moisture, worms_out, left_behind, lot, lots, heading))

    def castings(self) -> Lots:
        """Castings after the harvest: lots, stock, sales, uses, where a bag came from."""
        from wormbin.farm.lots.book import Lots

        return Lots(self)

    def record_fluff(self, bin: str, heading: Heading = NOW) -> Recorded:
        """Save that the contents were loosened."""
        return self._write(bin, heading, whats.fluff)

    def record_note(self, bin: str, words: str, heading: Heading = NOW) -> Recorded:
        """Save words."""
        return self._write(bin, replace(heading, note=words), whats.note)

    def start(self, draft: BinDraft) -> Recorded:
        """Write a new bin with its first bedding, water and worms as proposed: all of it or nothing."""
        from wormbin.farm.starts.first_bed import first_entries, read_bin
        from wormbin.farm.words.headings import read_heading

        farm, now = self.farm(), self.clock()
        one = read_bin(draft, farm, now)
        first = first_entries(one, draft.worms, self.table, self.settings_now())
        grown = replace(farm, bins=(*farm.bins, one))
        ledger = replace(self.ledger(), farm=grown)
        when = "" if one.started == now.date() else one.started.isoformat()
        entries = ledger.entries(one, read_heading(Heading(when=when, by=draft.keeper), one, now), first)
        self.store.record(entries, did="started", farm=lambda held: replace(held, bins=(*held.bins, one)))
        said = "; ".join(ledger.words(entry) for entry in entries)
        return Recorded(tuple(entry.id for entry in entries), f"{one.name} started: {said}")

    def strike(self, entry: str, why: str, by: str = "", *, ask: bool = False) -> Recorded:
        """Strike a line through; it stays, with the reason.

        A line that put another right lets that one stand again: with ``ask`` that is asked first (DoubtedError).
        """
        reason = tidy(why)
        if not reason:
            raise RefusedError(Problem("why", why, "the reason, in a few words", "wrong bin"))
        line = self.store.find_line(entry)
        right = self._put_right_by(line)
        if right:
            raise RefusedError(
                Problem("entry", line.id, right, whole=f"That line was put right by {right}: strike {right}.")
            )
        again = self._stands_again(line)
        if again and ask:
            from wormbin.farm.views.proposals import Question

            raise DoubtedError((Question("entry", line.id, f"{again[:1].upper()}{again[1:]}. Strike {line.id}?"),))
        words = self._said(line)
        self.store.strike(line.id, reason, tidy(by), self.clock())
        return Recorded((line.id,), f"struck through: {words} ({reason})" + (f"; {again}" if again else ""))

    def _stands_again(self, line: Line) -> str:
        """Which line stands again once this one is struck, and how to strike both; "" when none does."""
        if not line.replaces or line.struck is not None:
            return ""
        wrong = self.store.find_line(line.replaces)
        if wrong.struck is not None:
            return ""
        said = self._said(wrong) or "a note"
        return f"without it line {wrong.id} stands again: {said}. If both are wrong, strike {wrong.id} as well"

    def _put_right_by(self, line: Line) -> str:
        """The id of the line that stands in the place of this one; "" when it stands itself or nothing does."""
        lines: Sequence[Line] = self.store.entries(line.bin) if isinstance(line, Entry) else self.store.lot_lines()
        return next((each.id for each in lines if each.replaces == line.id and each.struck is None), "")

    def _said(self, line: Line) -> str:
        """A line of either book in words."""
        return self.line(line.id).words if isinstance(line, Entry) else self.castings().line_words(line)

    def undo(self, by: str = "", *, ask: bool = False, agreed: str = "") -> Recorded:
        """Take the last change back: what it wrote is struck, what it struck stands again.

        With ``ask`` a change of many lines is asked about first (DoubtedError), until those words are ``agreed`` to.
        """
        if ask:
            from wormbin.farm.recording.undoing import ask_undo

            ask_undo(self, agreed)
        change = self.store.undo(tidy(by), self.clock())
        if change.struck and not change.wrote:
            return Recorded(change.ids, f"the strike is taken back, the line stands again: {self._each(change.struck)}")
        if change.struck:
            stands = f"; as before stands: {self._each(change.struck)}"
            return Recorded(change.ids, f"taken back ({change.did}): {self._each(change.wrote)}{stands}")
        return Recorded(change.ids, f"taken back ({change.did}): {self._each(change.ids)}")

    def redo(self, by: str = "") -> Recorded:
        """Do again what ``undo`` took back last, as long as nothing else was changed since."""
        change = self.store.redo(tidy(by), self.clock())
        if change.struck and not change.wrote:
            return Recorded(change.ids, f"struck through again: {self._each(change.struck)}")
        return Recorded(change.ids, f"done again ({change.did}): {self._each(change.wrote or change.ids)}")

    def _each(self, ids: Sequence[str]) -> str:
        """The lines of a change in words, the first three of them."""
        lines = [each for each in ids if not each.endswith(MARK)] or list(ids)
        said = "; ".join(self._said(self.store.find_line(entry)) or "a note" for entry in lines[:3])
        return said + (f" and {len(lines) - 3} more" if len(lines) > 3 else "")

    # the farm itself

    def _change(self, change: Callable[[Farm], Farm], sentence: str) -> Recorded:
        self.store.change_farm(change)
        return Recorded((), sentence)

    def setting_words(self) -> dict[str, str]:
        """Every setting by its name, in words."""
        from wormbin.farm.settings.words import SettingWords

        return SettingWords(self.table, self.clock().date()).all(self.farm().settings, self.asked_units)

    def setting_word(self, name: str) -> str:
        """One setting in words."""
        words = self.setting_words()
        if name not in words:
            raise RefusedError(Problem("setting", name, "one of " + ", ".join(words), "units"))
        return words[name]

    def stock_words(self) -> tuple[str, ...]:
        """What is left of the beddings on hand, where some of it went into the bins since it was noted."""
        from wormbin.farm.settings.stock import stock_words

        return stock_words(self.settings_now().on_hand, self.units)

    def change_setting(self, name: str, words: str) -> Recorded:
        """Change one setting, said in words; empty words clear a list."""
        from wormbin.farm.settings.words import SettingWords

        reader = SettingWords(self.table, self.clock().date(), self.clock())
        after = reader.changed(self.farm().settings, name, words)
        said = reader.all(after).get(tidy(name).casefold().replace("_", "-"), "")
        return self._change(
            lambda farm: replace(farm, settings=reader.changed(farm.settings, name, words)), f"{name}: {said or 'none'}"
        )

    def keepers(self) -> tuple[str, ...]:
        """Who writes."""
        return self.farm().keepers

    def wrote_too(self) -> tuple[str, ...]:
        """Who signed lines of the log and is not on the list, by name."""
        names = {entry.by for one in self.bins() for entry in self.entries(one.key) if entry.by}
        return tuple(sorted(names - set(self.keepers()), key=str.casefold))

    def add_keeper(self, name: str) -> Recorded:
        """One more who writes: a first name or initials, nothing more."""
        said = tidy(name)
        if not said or len(said) > 40 or said in self.keepers():
            raise RefusedError(Problem("keeper", name, "a first name or initials, up to 40 letters, once", "Ana"))
        return self._change(lambda farm: replace(farm, keepers=(*farm.keepers, said)), f"{said} may write")

    def remove_keeper(self, name: str) -> Recorded:
        """Take a name off the list; what they wrote stays."""
        said = tidy(name)
        if said not in self.keepers():
            raise RefusedError(Problem("keeper", name, "one of " + ", ".join(self.keepers() or ("nobody yet",))))
        return self._change(
            lambda farm: replace(farm, keepers=tuple(each for each in farm.keepers if each != said)),
            f"{said} is off the list; what they wrote stays",
        )

    def set_material(self, key: str, sets: Sequence[str], name: str = "", by: str = "") -> Recorded:
        """Own values for a material ("moisture_pct=77"), or a new material of the keeper's own."""
        from wormbin.farm.materials.own import own_material

        own = own_material(key, sets, name, by, self.table, self.farm().materials)

        def laid(farm: Farm) -> Farm:
            others: list[OwnMaterial] = [each for each in farm.materials if each.key != own.key]
            return replace(farm, materials=(*others, own))

        return self._change(laid, f"{own.key}: " + ", ".join(f"{field} {value}" for field, value in own.values.items()))

    # files

    def import_folder(
        self, folder: Path, *, only_try: bool = False, heard: Callable[[int], None] | None = None
    ) -> Recorded:
        """Bring log files in, all or nothing; ``only_try`` says what would happen.

        ``heard`` is told how many lines were read so far, last right before they are saved; what it raises stops the
        import, and nothing is saved.
        """
        from wormbin.farm.log_files.incoming import bring_in

        return bring_in(self, Path(folder), only_try, heard or (lambda _: None))

    def export_folder(self, folder: Path, year: int | None = None) -> Recorded:
        """Write the log files; with ``year`` only that year's lines."""
        from wormbin.exchange.folders import write_folder
        from wormbin.exchange.tables import ROW_LIMIT

        farm = self.farm()
        rows = write_folder(Path(folder), farm, self.store.entries, year, self.store.lot_lines())
        much = (
            (f"one import takes up to {ROW_LIMIT:,} rows; write year by year with --year",) if rows > ROW_LIMIT else ()
        )
        return Recorded((), f"{counted(len(farm.bins), 'bin')} and {counted(rows, 'row')} written to {folder}", much)

    def care(self) -> Care:
        """Looking the store over, copying it, bringing a copy back."""
        from wormbin.farm.backups import Care

        return Care(self.store)

    # half-filled forms

    def save_draft(self, form: str, fields: Mapping[str, str]) -> None:
        """Keep what is filled in of a form; an empty one is dropped. A full disk must not stop the typing."""
        filled = {name: text for name, text in fields.items() if text}
        with suppress(StoreError):
            if filled:
                self.store.desk.keep_form(key_from(form), filled)
            else:
                self.store.desk.drop_form(key_from(form))

    def draft(self, form: str) -> Mapping[str, str]:
        """A form kept half-filled; empty when there is none."""
        return self.store.desk.form(key_from(form)) or {}

    def drop_draft(self, form: str) -> None:
        """Forget a half-filled form."""
        with suppress(StoreError):
            self.store.desk.drop_form(key_from(form))

    def drafts(self) -> tuple[str, ...]:
        """The names of the forms that wait half-filled."""
        return self.store.desk.forms()
