"""Everything that can be asked of a farm, with nothing written: the round, a bin, a feeding's effect, other futures."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from wormbin.farm.heading import NOW, Heading
from wormbin.farm.session import OpenFarm, within_life
from wormbin.farm.views.bin import (
    BinView,
    CompartmentView,
    HarvestRow,
    LogLine,
    MaterialRow,
    RoundRow,
    RoundView,
    TroubledBin,
)
from wormbin.figures import Working
from wormbin.measures import tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Feeding, Kind

if TYPE_CHECKING:
    from wormbin.farm.feedings.view import AdvisedBucket
    from wormbin.farm.rounds.fill import Filling
    from wormbin.farm.trials.made_up_bin import TrialDraft
    from wormbin.farm.views.proposals import (
        Absence,
        BinDraft,
        CheckDraft,
        FeedingPreview,
        MixView,
        Question,
        StartProposal,
        SurveyView,
        WhatIfView,
    )
    from wormbin.farm.views.report import ReportView
    from wormbin.farm.words.amending import WrongLine

DEEPEST_DAYS = 730
COMMAND_KINDS = {
    "stock": "stocking", "feed": "feeding", "water": "watering", "drain": "draining", "weigh": "weighing",
}  # fmt: skip
"""The commands that are not called like the kind of line that they write."""


class Answering(OpenFarm):
    """The questions. ``on`` is the day asked about; None is today by the clock. Nothing is created by a look."""

    def round(self, on: date | None = None) -> RoundView:
        """All bins, worst first; a bin whose book cannot be read is named apart, and the others stay usable."""
        from wormbin.farm.rounds.order import minutes_left, order

        filling = self.filling(on)
        rows = sorted(self.filled(filling), key=order)
        notes = " ".join(flaw.sentence() for flaw in self.store.notices())
        return RoundView(self.moment(on).date(), tuple(rows), minutes_left(rows), notes, tuple(filling.troubled))

    def rows(self, on: date | None = None) -> Iterator[RoundRow]:
        """The rows of the round one by one, as they come; troubled bins are left out."""
        return self.filled(self.filling(on))

    def filling(self, on: date | None = None, only: str = "") -> Filling:
        """The round of a day, to be filled step by step by whoever shows it; ``only`` one bin's row, by its key."""
        from wormbin.farm.rounds.fill import Filling

        on = on or self.asked_on
        if on is not None:
            within_life(on, self.bins(), self.clock().date())
        return Filling(self, on, only)

    def filled(self, filling: Filling) -> Iterator[RoundRow]:
        """The rows of a filling one by one, as they come; the bins that cannot be read are then among its troubled."""
        try:
            yield from tuple(filling.known)
            for given in filling.beside():
                made = filling.take(given)
                if not isinstance(made, TroubledBin):
                    yield made
        finally:
            filling.end()

    def living(self, on: date | None = None) -> tuple[Bin, ...]:
        """The bins that live on a day: those that the round has a row for."""
        on, day = on or self.asked_on, self.moment(on).date()
        return tuple(
            one
            for one in self.bins()
            if not (one.ended is not None and one.ended < day) and not (on is not None and on < one.started)
        )

    def look(self, bin: str, on: date | None = None, *, days: int = 120) -> BinView:
        """One bin on one day, with a look ahead of so many days."""
        from wormbin.farm.bins.page import bin_view

        return bin_view(self.scene(bin, on, _depth(days)))

    def log(
        self,
        bin: str,
        *,
        kind: str = "",
        word: str = "",
        until: date | None = None,
        struck: bool = True,
    ) -> Sequence[LogLine]:
        """The log, newest last; words are made as lines are asked for, so years cost nothing."""
        from wormbin.farm.words.log import LogView, fits, replaced_by

        one, name = self.bin(bin), self._namer()
        said = tidy(kind).casefold()
        said = COMMAND_KINDS.get(said, said)
        if said and said not in {each.value for each in Kind}:
            raise RefusedError(Problem("kind", kind, "one of " + ", ".join(Kind), "check"))
        every = self.store.entries(one.key)
        replaced = replaced_by(every)
        entries: Sequence[Entry] = every
        until = until or self.asked_on
        if until is not None:
            entries = [entry for entry in entries if entry.when.date() <= until]
        if not struck:
            entries = [entry for entry in entries if entry.struck is None and entry.id not in replaced]
        if said or word:
            entries = [entry for entry in entries if fits(entry, said, word, name)]
        return LogView(entries, replaced, self.units, name)

    def _namer(self) -> Callable[[str], str]:
        """Gives a material's name. It asks the store for nothing, as lines are made on whatever thread draws them."""
        table, known = self.table, dict[str, str]()

        def name(key: str) -> str:
            if key not in known:
                known[key] = table.get(key).name.lower() if key in table else key
            return known[key]

        return name

    def line(self, entry: str) -> LogLine:
        """One line of the log by its id, or by the first letters of it."""
        from wormbin.farm.words.log import LogView, replaced_by

        found = self.store.find(entry)
        return LogView([found], replaced_by(self.store.entries(found.bin)), self.units, self._namer())[0]

    def harvests(self, on: date | None = None) -> tuple[HarvestRow, ...]:
        """Every bin's harvest window and steps, the soonest first."""
        found = [HarvestRow(row.bin, row.name, row.harvest, self._trays(row, on)) for row in self.rows(on)]
        far = date.max
        return tuple(sorted(found, key=lambda row: (row.harvest.due_since or row.harvest.likely or far, row.bin)))

    def _trays(self, row: RoundRow, on: date | None) -> tuple[CompartmentView, ...]:
        if row.compartments < 2:
            return ()
        from wormbin.farm.bins.row import compartments

        return compartments(self.scene(row.bin, on))

    def outlook(self, bin: str, *, on: date | None = None, days: int = 120) -> Mapping[str, object]:
        """``state``, ``series``, ``learned`` and ``harvest`` by the names of the command line's JSON."""
        from wormbin.farm.bins.ahead import outlook_document

        return outlook_document(self.scene(bin, on, _depth(days)))

    def materials(self, word: str = "") -> tuple[MaterialRow, ...]:
        """The material table, or what ``word`` finds in it."""
        from wormbin.farm.materials.table_rows import material_row

        return tuple(material_row(each) for each in self.table.search(word))

    def complete_portion(self, words: str, role: str = "") -> str | None:
        """ "300 g mel" completed to "300 g melon-rind"; None when there is nothing to complete.

        ``role`` is what is wanted most here: "feed" or "bedding".
        """
        from wormbin.farm.materials.completion import completed
        from wormbin.materials.material import Role

        return completed(words, self.table, Role(role) if role else None)

    def working(self, bin: str, code: str, on: date | None = None) -> Working:
        """A figure opened; ``code`` is a gauge's."""
        from wormbin.farm.bins.workings import working

        return working(self.scene(bin, on), code)

    def emergency(self, bin: str = "") -> tuple[str, ...]:
        """The five steps to take before any sum, with the amounts of this bin if one is named."""
        from wormbin.farm.bins.emergencies import five_steps

        return five_steps(self.scene(bin) if bin else None)

    # what a writing would do

    def of_the_day(self, heading: Heading) -> Heading:
        """The heading on the day that is asked of, where it names none."""
        day = self.asked_on
        return replace(heading, when=day.isoformat()) if day is not None and not heading.when.strip() else heading

    def preview_feeding(
        self,
        bin: str,
        portions: Sequence[str],
        *,
        bedding: Sequence[str] = (),
        water: str = "",
        heading: Heading = NOW,
    ) -> FeedingPreview:
        """What a feeding does to the bin; nothing is saved."""
        from wormbin.farm.feedings.view import preview

        ledger, today = self.ledger(), self.moment(None).date()
        entries = ledger.feeding(ledger.bin(bin), portions, bedding, water, self.of_the_day(heading))
        moment = entries[0].when
        scene = self.scene(bin, moment.date())
        if heading.replaces:
            # The wrong line is struck when this one is written: its feed is not in the bin beside the right one's.
            # And it is judged as of its own time, by nothing that was seen or done later.
            scene = self.without(scene, ledger.line_id(heading.replaces), moment)
        return preview(scene, entries, done=moment.date() < today)

    def advised_bucket(self, view: FeedingPreview) -> AdvisedBucket:
        """The same feeding cut down to what the bin can take, in words that can be typed again."""
        from wormbin.farm.feedings.view import advised, allowed_share, taken
        from wormbin.materials.material import Role

        belongs = tuple(each for each in view.portions if self.table.get(each.material).role is not Role.KEEP_OUT)
        view = replace(view, portions=belongs, total_kg=sum(each.kg for each in belongs))
        share = allowed_share(view)
        cut = taken(view, share)
        if cut:
            # The bedding and the water are those of what is taken, not of the whole bucket.
            right = self.preview_feeding(view.bin, cut)
            view = replace(view, add=right.add, add_water_kg=right.add_water_kg)
        return advised(view, self.units)

    def last_bucket(self, bin: str) -> tuple[str, ...]:
        """What the last feeding was, in words that read back the same: "the same as last time"."""
        from wormbin.farm.words.typed import portion_words
        from wormbin.records.habits import last_feeding

        scene = self.scene(bin)
        entry = last_feeding(scene.entries, scene.on)
        if entry is None or not isinstance(entry.what, Feeding):
            return ()
        return portion_words(entry.what.portions, self.ledger().spoken, self.units)

    def bucket(self, name: str) -> tuple[str, ...]:
        """What is in one of the usual buckets."""
        buckets = self.settings().buckets
        for each in buckets:
            if each.name.casefold() == tidy(name).casefold():
                return each.portions
        known = ", ".join(each.name for each in buckets) or "none yet: see wormbin settings bucket"
        raise RefusedError(Problem("bucket", name, f"one of the usual buckets ({known})"))

    def questions(self, bin: str, draft: CheckDraft, heading: Heading = NOW) -> tuple[Question, ...]:
        """Unlikely values to ask about before saving; raises RefusedError for what cannot be at all."""
        from wormbin.farm.recording.check_questions import questions
        from wormbin.farm.words.headings import read_heading

        ledger = self.ledger()
        one = ledger.bin(bin)
        head = read_heading(heading, one, self.clock())
        check, _oven = ledger.spoken.check(draft)
        ledger.entries(one, head, [check])
        return questions(check, self.scene(bin, head.when.date()))

    def right_line(self, entry: str) -> WrongLine:
        """A line of either book as the command that it was written by, to be put right."""
        from wormbin.farm.words.amending import wrong_line

        return wrong_line(self.store.find_line(entry), self.ledger().spoken, self.units)

    def preview_survey(
        self,
        bin: str,
        samples: Sequence[str],
        sample_area: str,
        heading: Heading = NOW,
    ) -> SurveyView:
        """The interval so far, and how many samples more would halve it."""
        from wormbin.farm.recording.survey import survey_view

        ledger = self.ledger()
        return survey_view(ledger.spoken.survey(samples, sample_area), ledger.bin(bin), self.units)

    def propose_start(self, draft: BinDraft) -> StartProposal:
        """First bedding, water, worms and ramp for a bin that is not written yet."""
        from wormbin.farm.starts.first_bed import first_entries, proposal, read_bin

        one = read_bin(draft, self.farm(), self.clock())
        settings = self.settings_now()
        return proposal(one, first_entries(one, draft.worms, self.table, settings), self.table, settings)

    def mix(
        self,
        portions: Sequence[str],
        *,
        add: Sequence[str] = (),
        cn: str = "",
        moisture: str = "",
        sets: Sequence[str] = (),
    ) -> MixView:
        """C:N, moisture and air of a blend; with ``add`` the least amounts that reach ``cn`` and ``moisture``."""
        from wormbin.farm.materials.sets import laid_over
        from wormbin.farm.trials.blend import mix

        return mix(portions, add, cn, moisture, laid_over(self.table, self.farm().materials, sets), self.settings())

    def trial(self, draft: TrialDraft) -> Mapping[str, object]:
        """A bin that does not exist, by the names of the command line's JSON."""
        from wormbin.farm.materials.sets import laid_over
        from wormbin.farm.trials.made_up_bin import read_setup, trial_document

        table = laid_over(self.table, self.farm().materials, draft.sets)
        return trial_document(read_setup(draft, table), table)

    def what_if(
        self,
        bin: str,
        *,
        skip: int = 0,
        double: int = 0,
        bedding: str = "",
        spell: str = "",
        split: str = "",
        harvest: bool = False,
        on: date | None = None,
    ) -> WhatIfView:
        """Two futures side by side: as planned, and with one thing changed, or several at once."""
        from wormbin.farm.bins.futures import Change, what_if

        return what_if(self.scene(bin, on), Change(skip, double, bedding, spell, split, harvest))

    def away(self, bin: str, first: str, last: str, on: date | None = None) -> Absence:
        """The absence plan for one bin."""
        from wormbin.farm.bins.absences import absence

        return absence(self.scene(bin, on), first, last)

    def next_absence(self, bin: str, on: date | None = None) -> tuple[str, str]:
        """The next holiday of the settings as it is typed, first and last day; two empty words without one."""
        found = self.scene(bin, on).next_absence
        return (found[0].isoformat(), found[1].isoformat()) if found is not None else ("", "")

    def calendar(self, on: date | None = None, *, days: int = 60) -> str:
        """Everything due in the next days as an iCalendar file."""
        from wormbin.exchange.calendar import calendar
        from wormbin.farm.rounds.week import by_rounds, dues

        bins, on = self.bins(), on or self.asked_on
        if on is not None:
            within_life(on, bins, self.clock().date())
        open_bins = [one for one in bins if one.ended is None and (on is None or one.started <= on)]
        every = [due for one in open_bins for due in dues(self.scene(one.key, on), days)]
        return calendar(by_rounds(every, {one.key: one.name for one in open_bins}), self.clock())

    def sheet(self, bin: str, on: date | None = None) -> tuple[str, ...]:
        """The printable weekly sheet, line by line."""
        from wormbin.farm.rounds.week import sheet

        return sheet(self.scene(bin, on), self.farm().keepers)

    def report(self, bin: str, first: str = "", last: str = "", on: date | None = None) -> ReportView:
        """A bin's report between two days in words; "" for the last 120 days up to the day asked about."""
        from wormbin.farm.reports.contents import report

        return report(self, bin, first, last, on)


def _depth(days: int) -> int:
    if not 1 <= days <= DEEPEST_DAYS:
        raise RefusedError(Problem("days", str(days), f"1 to {DEEPEST_DAYS}", "120"))
    return days
