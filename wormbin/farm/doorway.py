"""The one doorway to a farm: write a line down, look at a bin, look at the round. It owns the store and the clock."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime
from pathlib import Path

from wormbin.farm.proposals import (
    Absence,
    BinDraft,
    CheckDraft,
    FeedingPreview,
    Heading,
    MixView,
    Question,
    StartProposal,
    SurveyView,
    WhatIfView,
)
from wormbin.farm.views import BinView, HarvestRow, LogLine, MaterialRow, Recorded, RoundRow, RoundView
from wormbin.figures import Working
from wormbin.records.bins import Bin
from wormbin.records.farms import Farm, Settings

Clock = Callable[[], datetime]
NOW = Heading()


def local_clock() -> datetime:
    """The machine's wall clock, aware."""
    return datetime.now().astimezone()


class HeldBackError(Exception):
    """A feeding that is too much, with nobody having said to save it anyway; nothing has been saved."""

    def __init__(self, preview: FeedingPreview) -> None:
        self.preview = preview
        super().__init__(preview.verdict)


class Farmstead:
    """A farm in one folder. Everything said is in the keeper's own words; everything refused is a ``RefusedError``.

    ``on`` is always the day asked about; None is today by the clock. Nothing is created by a look.
    """

    def __init__(self, folder: Path, *, clock: Clock = local_clock) -> None:
        self.folder = folder
        self.clock = clock

    # what there is
    def farm(self) -> Farm:
        """Everything in ``farm.json``."""
        raise NotImplementedError

    def bins(self) -> tuple[Bin, ...]:
        """The bins, in the order they were started."""
        raise NotImplementedError

    def bin(self, words: str) -> Bin:
        """The bin meant by a key, a name or part of one; refuses with "did you mean"."""
        raise NotImplementedError

    def revision(self) -> str:
        """A token that changes when anything on disk changed; cheap enough to ask twice a second."""
        raise NotImplementedError

    def changed(self) -> bool:
        """Whether anything on disk changed since this was last asked (first call: False); own writes do not count."""
        raise NotImplementedError

    # looking
    def round(self, on: date | None = None) -> RoundView:
        """All bins, worst first."""
        raise NotImplementedError

    def rows(self, on: date | None = None) -> Iterator[RoundRow]:
        """The rows of the round one by one, in the bins' own order, so that a screen may fill as they come."""
        raise NotImplementedError

    def look(self, key: str, on: date | None = None) -> BinView:
        """One bin on one day."""
        raise NotImplementedError

    def log(self, key: str, *, kind: str = "", word: str = "") -> Sequence[LogLine]:
        """The log newest last, struck lines included; words are made as lines are asked for, so years cost nothing."""
        raise NotImplementedError

    def harvests(self, on: date | None = None) -> tuple[HarvestRow, ...]:
        """Every bin's harvest window and steps, soonest first."""
        raise NotImplementedError

    def outlook(self, key: str, *, on: date | None = None, days: int = 120) -> Mapping[str, object]:
        """``state``, ``series``, ``learned`` and ``harvest`` by the names of the command line's JSON."""
        raise NotImplementedError

    def materials(self, word: str = "") -> tuple[MaterialRow, ...]:
        """The material table, or what ``word`` finds in it."""
        raise NotImplementedError

    def complete(self, prefix: str) -> tuple[str, ...]:
        """Names and aliases of materials that begin with ``prefix``, best first."""
        raise NotImplementedError

    def working(self, key: str, code: str, on: date | None = None) -> Working:
        """A figure opened; ``code`` is a gauge's."""
        raise NotImplementedError

    # asking before writing
    def preview_feeding(
        self, key: str, portions: Sequence[str], *, bedding: Sequence[str] = (), water: str = "", heading: Heading = NOW
    ) -> FeedingPreview:
        raise NotImplementedError

    def last_bucket(self, key: str) -> tuple[str, ...]:
        """What the last feeding was, in the words it was written in: "the same as last time"."""
        raise NotImplementedError

    def questions(self, key: str, draft: CheckDraft, heading: Heading = NOW) -> tuple[Question, ...]:
        """Unlikely values to ask about before saving; raises RefusedError for what cannot be at all."""
        raise NotImplementedError

    def preview_survey(self, key: str, samples: Sequence[str], sample_area: str, heading: Heading = NOW) -> SurveyView:
        """The interval so far, and how many samples more would halve it."""
        raise NotImplementedError

    def propose_start(self, draft: BinDraft) -> StartProposal:
        """First bedding, water, worms and ramp for a bin that is not written yet."""
        raise NotImplementedError

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
        raise NotImplementedError

    def what_if(
        self,
        key: str,
        *,
        skip: int = 0,
        double: int = 0,
        bedding: str = "",
        spell: str = "",
        split: str = "",
        harvest: bool = False,
        on: date | None = None,
    ) -> WhatIfView:
        """Two futures side by side: as planned, and with one thing changed."""
        raise NotImplementedError

    def away(self, key: str, first: str, last: str, on: date | None = None) -> Absence:
        """The absence plan for one bin."""
        raise NotImplementedError

    # writing
    def record_feeding(
        self,
        key: str,
        portions: Sequence[str],
        *,
        bedding: Sequence[str] = (),
        water: str = "",
        heading: Heading = NOW,
        anyway: bool = False,
    ) -> Recorded:
        """Save a feeding with the bedding and water that go with it; HeldBackError when too much and not ``anyway``."""
        raise NotImplementedError

    def record_check(self, key: str, draft: CheckDraft, heading: Heading = NOW) -> Recorded:
        """Save a check."""
        raise NotImplementedError

    def record_bedding(self, key: str, portions: Sequence[str], heading: Heading = NOW) -> Recorded:
        """Save bedding put in."""
        raise NotImplementedError

    def record_water(self, key: str, amount: str, heading: Heading = NOW) -> Recorded:
        """Save water put in."""
        raise NotImplementedError

    def record_drain(self, key: str, amount: str, heading: Heading = NOW) -> Recorded:
        """Save water let out."""
        raise NotImplementedError

    def record_weighing(self, key: str, amount: str, *, with_box: bool = False, heading: Heading = NOW) -> Recorded:
        """Save a weighing; ``with_box`` when the box was on the scale."""
        raise NotImplementedError

    def record_survey(self, key: str, samples: Sequence[str], sample_area: str, heading: Heading = NOW) -> Recorded:
        """``samples`` are worms in each equal-area sample ("12 g", "25 worms"); ``sample_area`` is "225 cm2"."""
        raise NotImplementedError

    def record_stocking(self, key: str, worms: str, *, out: bool = False, heading: Heading = NOW) -> Recorded:
        """Save worms put in, or ``out`` (sold, given away)."""
        raise NotImplementedError

    def record_move(self, key: str, to: str, worms: str, heading: Heading = NOW) -> Recorded:
        """Save worms moved to another bin: both books or neither."""
        raise NotImplementedError

    def record_harvest(
        self, key: str, castings: str, *, moisture: str = "", worms_out: str = "", heading: Heading = NOW
    ) -> Recorded:
        """Save castings taken off."""
        raise NotImplementedError

    def record_fluff(self, key: str, heading: Heading = NOW) -> Recorded:
        """Save that the contents were loosened."""
        raise NotImplementedError

    def record_note(self, key: str, words: str, heading: Heading = NOW) -> Recorded:
        """Save words."""
        raise NotImplementedError

    def start(self, draft: BinDraft) -> Recorded:
        """Write the new bin with its first bedding, water and worms as proposed."""
        raise NotImplementedError

    def strike(self, entry: str, why: str, by: str = "") -> Recorded:
        """Strike a line through; it stays, with the reason."""
        raise NotImplementedError

    def undo(self, by: str = "") -> Recorded:
        """Take back the last change of this farm: strike the entries it wrote."""
        raise NotImplementedError

    # the farm itself
    def settings(self) -> Settings:
        """How this farm is run."""
        raise NotImplementedError

    def change_setting(self, name: str, words: str) -> Recorded:
        """Change one setting, said in words."""
        raise NotImplementedError

    def keepers(self) -> tuple[str, ...]:
        """Who writes."""
        raise NotImplementedError

    def add_keeper(self, name: str) -> Recorded:
        """One more who writes."""
        raise NotImplementedError

    def remove_keeper(self, name: str) -> Recorded:
        """Take a name off the list; what they wrote stays."""
        raise NotImplementedError

    def set_material(self, key: str, sets: Sequence[str], name: str = "", by: str = "") -> Recorded:
        """Own values for a material ("moisture_pct=77"), or a new material of the keeper's own."""
        raise NotImplementedError

    # files
    def import_folder(self, folder: Path, *, only_try: bool = False) -> Recorded:
        """Bring log files in, all or nothing; ``only_try`` says what would happen."""
        raise NotImplementedError

    def export_folder(self, folder: Path) -> Recorded:
        """Write the log files."""
        raise NotImplementedError

    def sheet(self, key: str, on: date | None = None) -> tuple[str, ...]:
        """The printable weekly sheet, line by line."""
        raise NotImplementedError

    # half-filled forms, kept beside the store until they are saved or dropped
    def save_draft(self, form: str, fields: Mapping[str, str]) -> None:
        """Keep a half-filled form."""
        raise NotImplementedError

    def draft(self, form: str) -> Mapping[str, str]:
        """A form kept half-filled; empty when there is none."""
        raise NotImplementedError

    def drop_draft(self, form: str) -> None:
        """Forget a half-filled form."""
        raise NotImplementedError
