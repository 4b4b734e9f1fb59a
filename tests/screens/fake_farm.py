"""A farm that answers at once with views made by hand, so that screens can be driven without a store or a model."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from tests.screens import made_views as made
from wormbin.farm import bins, drafts, feedings, logbook, materials, mixes, recording, rounds, settings, starts
from wormbin.farm.bins.causes import Cause
from wormbin.farm.errors import DoubtedError, HeldBackError
from wormbin.farm.feedings import AdvisedBucket, FeedingPreview
from wormbin.farm.heading import NOW, Heading
from wormbin.farm.recording import lines
from wormbin.farm.recording.gaps import GapView
from wormbin.farm.rounds import minutes_left
from wormbin.farm.rounds.fill import Filling, Made
from wormbin.farm.session import Logs, Session
from wormbin.farm.views.bin import BinView, HarvestRow, LogLine, MaterialRow, Recorded, RoundView
from wormbin.farm.views.proposals import Absence, BinDraft, MixView, Question, StartProposal, SurveyView, WhatIfView
from wormbin.farm.views.round import RoundRow
from wormbin.farm.words.typed import TypedLine
from wormbin.figures import Level, Working
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import LOG_KINDS, Check, Kind
from wormbin.records.farms import Bucket, Farm, Settings

TODAY = made.TODAY
Written = tuple[str, str, object]


class _Known(Filling):
    """A round with nothing left to work out."""

    def __init__(self, rows: Sequence[RoundRow]) -> None:
        self.known, self.coming, self.cold, self.troubled, self.layout = list(rows), [], [], [], None

    @property
    def is_long(self) -> bool:
        return False

    def beside(self) -> Iterator[tuple[Bin, Made]]:
        return iter(())

    def end(self) -> None:
        pass


class FakeFarm(Session):
    """Holds rows; what is written is only kept in ``written`` as (what, bin, draft)."""

    def __init__(self, names: Sequence[str] = ("Kitchen bin",), *, lines: int = 30, question: bool = False) -> None:
        self.asked_on = None
        self.logs = Logs(self)
        self.folder = Path("nowhere")
        self.clock = lambda: datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
        self.made = [made.row(f"bin-{at}", name, at) for at, name in enumerate(names)]
        self.written: list[Written] = []
        self.half_filled: dict[str, dict[str, str]] = {}
        self.how_run = Settings(buckets=(Bucket("sunday", ("300 g melon rind", "2 cups coffee grounds")),))
        self.lines = lines
        self.asks = question
        self.elsewhere = False

    def farm(self) -> Farm:
        return Farm(bins=self.bins(), settings=self.how_run)

    def bins(self) -> tuple[Bin, ...]:
        return tuple(made.bin_of(row.bin, row.name) for row in self.made)

    def bin(self, words: str) -> Bin:
        for one in self.bins():
            if words in (one.key, one.name):
                return one
        raise RefusedError(Problem("bin", words, "one of your bins", self.made[0].bin))

    def moment(self, on: date | None) -> datetime:
        return self.clock()

    def changed(self) -> bool:
        was, self.elsewhere = self.elsewhere, False
        return was

    def round(self, on: date | None = None) -> RoundView:
        return RoundView(TODAY, tuple(self.made), minutes_left(self.made))

    def rows(self, on: date | None = None) -> Iterator[RoundRow]:
        return iter(self.made)

    def filling(self, on: date | None = None, only: str = "") -> Filling:
        return _Known([row for row in self.made if only in ("", row.bin)])

    def look(self, bin: str, on: date | None = None, *, days: int = 120) -> BinView:
        return made.look(next(row for row in self.made if row.bin == bin))

    def log(
        self, bin: str, *, kind: str = "", word: str = "", until: date | None = None, struck: bool = True
    ) -> Sequence[LogLine]:
        lines = made.log(bin, self.lines)
        return (
            [line for line in lines if (not kind or line.kind == kind) and word in line.words]
            if kind or word
            else lines
        )

    def harvests(self, on: date | None = None) -> tuple[HarvestRow, ...]:
        return tuple(HarvestRow(row.bin, row.name, row.harvest) for row in self.made)

    def working(self, bin: str, code: str, on: date | None = None) -> Working:
        return made.working(code)

    def every_number(self, bin: str, on: date | None = None) -> tuple[tuple[str, Working], ...]:
        return tuple((code, made.working(code)) for code in ("moisture", "feed_waiting", "cn"))

    def complete_portion(self, text: str, role: str = "") -> str | None:
        return text + "on rind" if text.endswith("mel") else None

    def emergency(self, bin: str = "") -> tuple[str, ...]:
        return ("lid off", "stop feeding", "lift and fluff", "make a refuge", "measure")

    def preview_feeding(
        self, bin: str, portions: Sequence[str], *, bedding: Sequence[str] = (), water: str = "", heading: Heading = NOW
    ) -> FeedingPreview:
        for words in portions:
            if not words[:1].isdigit():
                raise RefusedError(Problem("portion", words, "an amount and a material", "300 g melon rind"))
        return made.preview(bin, portions)

    def advised_bucket(self, preview: FeedingPreview) -> AdvisedBucket:
        return AdvisedBucket(("200 g melon rind",), "60 g shredded cardboard", "", "200 g today; freeze the other 2 kg")

    def last_bucket(self, bin: str) -> tuple[str, ...]:
        return ("250 g lettuce",)

    def preview_survey(self, bin: str, samples: Sequence[str], sample_area: str, heading: Heading = NOW) -> SurveyView:
        return made.survey(samples)

    def propose_start(self, draft: BinDraft) -> StartProposal:
        if not draft.length:
            raise RefusedError(Problem("length", "", "a length with its unit", "60 cm"))
        return made.proposal(draft.name or "bin")

    def settings(self) -> Settings:
        return self.how_run

    def change_setting(self, name: str, words: str) -> Recorded:
        self.how_run = replace(self.how_run, theme=words) if name == "theme" else self.how_run
        return self._kept("setting", name, words)

    def wrote_too(self) -> tuple[str, ...]:
        return ()

    def keepers(self) -> tuple[str, ...]:
        return ("ada", "ben")

    def setting_words(self) -> dict[str, str]:
        return {"units": "metric", "moisture": "75-85", "theme": self.how_run.theme}

    def materials(self, word: str = "") -> tuple[MaterialRow, ...]:
        return tuple(row for row in made.materials() if word in row.name)

    def mix(
        self,
        portions: Sequence[str],
        *,
        add: Sequence[str] = (),
        cn: str = "",
        moisture: str = "",
        sets: Sequence[str] = (),
    ) -> MixView:
        return made.blend(portions)

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
        return made.what_if(bin)

    def away(self, bin: str, first: str, last: str, on: date | None = None) -> Absence:
        return made.absence(bin)

    def next_absence(self, bin: str, on: date | None = None) -> tuple[str, str]:
        return "", ""

    def sheet(self, bin: str, on: date | None = None) -> tuple[str, ...]:
        return ("Monday", "Tuesday")

    def troubles(self, bin: str, signs: Mapping[str, str]) -> tuple[Cause, ...]:
        return (Cause(made.finding(Level.WATCH), True, "speaks for it: wetter than it should be"),)

    def forgotten(self, bin: str) -> tuple[GapView, ...]:
        days = tuple(TODAY - timedelta(days=day) for day in range(14, 0, -1))
        return (GapView(days[0], days[-1], days, days[::4], "300 g melon-rind", "14 days without a line."),)

    def record_caught_up(self, bin: str, days: Sequence[date], bucket: str, by: str = "") -> Recorded:
        return self._kept("caught up", bin, (tuple(days), bucket))

    def record_not_known(self, bin: str, gap: GapView, by: str = "") -> Recorded:
        return self._kept("not known", bin, gap.last)

    def typed_line(self, entry: str) -> TypedLine:
        return TypedLine(entry, LOG_KINDS[Check], "kitchen", {"squeeze": "damp"})

    def _kept(self, what: str, bin: str, draft: object) -> Recorded:
        self.written.append((what, bin, draft))
        return Recorded((f"e{len(self.written)}",), f"{what} written down for {bin}")

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
        view = made.preview(bin, portions)
        if view.too_much and not anyway:
            raise HeldBackError(view)
        return self._kept("feeding", bin, (tuple(portions), tuple(bedding), water))

    def write(self, bin: str, kind: Kind, said: Mapping[str, str], heading: Heading = NOW) -> Recorded:
        moisture, amount = said.get("moisture", ""), said.get("amount", "")
        if kind is Kind.CHECK and moisture and not moisture.isdigit():
            raise RefusedError(Problem("moisture", moisture, "a percentage from 0 to 100", "82"))
        if kind is Kind.CHECK and moisture == "21" and heading.ask:
            raise DoubtedError((Question("moisture", "21%", "21% moisture would be dry as dust. Keep it?"),))
        if kind is Kind.WATERING and not amount[:1].isdigit():
            raise RefusedError(Problem("water", amount, "an amount with its unit", "0.5 L"))
        if kind is Kind.CHECK:
            self.made = [replace(row, checked_today=True) if row.bin == bin else row for row in self.made]
        return self._kept(kind.value, bin, {name: words for name, words in said.items() if words})

    def start(self, draft: BinDraft) -> Recorded:
        self.made.append(made.row(draft.name.casefold().replace(" ", "-"), draft.name, len(self.made)))
        return self._kept("start", draft.name, draft)

    def strike(self, entry: str, why: str, by: str = "", *, ask: bool = False) -> Recorded:
        return self._kept("strike", entry, why)

    def undo(self, by: str = "", *, ask: bool = False, agreed: str = "") -> Recorded:
        if not self.written:
            raise RefusedError(Problem("undo", "", "a change to take back"))
        return self._kept("undo", "", "")

    def save_draft(self, form: str, fields: Mapping[str, str]) -> None:
        self.half_filled[form] = dict(fields)

    def drafts(self) -> tuple[str, ...]:
        return tuple(self.half_filled)

    def draft(self, form: str) -> Mapping[str, str]:
        return self.half_filled.get(form, {})

    def drop_draft(self, form: str) -> None:
        self.half_filled.pop(form, None)


DOORS = {
    bins: "look working every_number emergency what_if absence=away next_absence",
    drafts: "save=save_draft names=drafts read=draft drop=drop_draft",
    feedings: "preview=preview_feeding advised_bucket last_bucket",
    logbook: "lines=log typed_line",
    materials: "complete_portion material_rows=materials",
    recording: "preview_survey troubles forgotten strike undo",
    lines: "record_caught_up record_not_known record_feeding write",
    rounds: "view=round rows filling harvests sheet",
    settings: "change_setting wrote_too keepers setting_words",
    starts: "propose=propose_start start",
    mixes: "mix",
}
"""The functions that a fake farm answers itself, by its methods."""


def _answered(real: Callable[..., Any], method: str) -> Callable[..., Any]:
    def call(farm: Session, *args: Any, **said: Any) -> Any:
        return getattr(farm, method)(*args, **said) if isinstance(farm, FakeFarm) else real(farm, *args, **said)

    return call


for _door, _functions in DOORS.items():
    for _name, _, _method in (each.partition("=") for each in _functions.split()):
        _real = getattr(_door, _name)
        _call = _answered(_real, _method or _name)
        for _module in [each for name, each in sys.modules.items() if name.startswith("wormbin.")]:
            for _known in [known for known, value in vars(_module).items() if value is _real]:
                setattr(_module, _known, _call)


HOSTILE = (
    "[b]x[/b] [/red] [link=x",
    "\x1b[31mred\x1b[0m\x00\x07\r\nnew line",
    "n" * 200,
    "🪱👩‍🌾🏳️‍🌈 worms 🪱",
    "مرحبا‮abc\u2066",
    "e" + "\u0301" * 40,
    "堆肥箱堆肥箱堆肥箱堆肥箱",
    "$wb-act [@click=app.quit]x[/]",
)
"""Names that try to be something other than text."""

FORTY = tuple(f"Rack {'ABCDEFGH'[at // 5]}-{at % 5 + 1}" for at in range(40))
EIGHT = ("Cellar crate", "North wedge", "Stack A", "Stack B", "Green tub", "Long bed", "Hatchery", "Old bath")

__all__ = ["EIGHT", "FORTY", "HOSTILE", "FakeFarm", "Kind", "timedelta"]
