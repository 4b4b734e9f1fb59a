"""Views made by hand, plausible enough to look at, for a farm that has no store behind it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.mixing import Proposal, ToAdd
from wormbin.drawing.axes import measure_of
from wormbin.drawing.cutaway import Cut
from wormbin.drawing.gauge import Gauge
from wormbin.drawing.series import Event, Point, Reading, Series
from wormbin.drawing.strata import Section
from wormbin.farm.feedings import FeedingPreview
from wormbin.farm.views.bin import BinView, LogLine, MaterialRow
from wormbin.farm.views.proposals import (
    Absence,
    Added,
    Future,
    MixView,
    PortionView,
    StartProposal,
    SurveyView,
    WhatIfView,
)  # fmt: skip
from wormbin.farm.views.round import HarvestView, RoundRow, StepView
from wormbin.figures import Band, Basis, Level, Quantity, Working
from wormbin.records.bins import Bin
from wormbin.records.entries import Kind
from wormbin.science.solver import least_addition

ANY = least_addition([], ())
TODAY = date(2026, 3, 2)
LEVELS = (Level.ACT, Level.STEADY, Level.WATCH, Level.STEADY)


def band(middle: float, part: float = 0.2) -> Band:
    return Band(middle * (1 - part), middle, middle * (1 + part))


def bin_of(key: str, name: str) -> Bin:
    return Bin(key, name, 0.6, 0.4, 0.3, TODAY - timedelta(days=90))


def finding(level: Level) -> Finding:
    if level is Level.ACT:
        return Finding(
            "overfed", level, "too much feed is waiting: about 1.4 kg, 9 days' work for these worms",
            "1.4 kg waits (0.9 to 2.1); the limit is 4 days of work at 155 g a day (extension practice)",
            (Action(Doing.STOP, "do not feed until about 14 March"),
             Action(Doing.BEDDING, "lift and fluff, and add 120 g dry shredded cardboard"),
             Action(Doing.TAKE_OUT, "freeze what the kitchen gives meanwhile"),
             Action(Doing.COVER, "leave the lid open for a day")),
            "worked out; the last reading of what is left is 3 days old, 0.9 kg to 2.1 kg", "County extension leaflet",
            urgency=9.0,
        )  # fmt: skip
    return Finding(
        "too-wet", level, "wetter than it should be: 87% moist",
        "87% (84% to 90%), the target ends at 85%", (Action(Doing.BEDDING, "mix in 90 g dry shredded cardboard"),),
        "worked out from a squeeze 2 days old", urgency=3.0,
    )  # fmt: skip


def harvest(at: int) -> HarvestView:
    likely = TODAY + timedelta(days=20 + at)
    return HarvestView(
        likely - timedelta(days=9), likely, likely + timedelta(days=14), None, "share", "sort",
        f"about {likely:%d %B} (9 days early to 14 days late)",
        (StepView(likely - timedelta(days=14), "last feeding on the side to be taken off"),
         StepView(likely, "heap under a light, take off layer by layer")),
    )  # fmt: skip


def row(key: str, name: str, at: int) -> RoundRow:
    level = LEVELS[at % len(LEVELS)]
    findings = () if level is Level.STEADY else (finding(level),)
    if level is Level.ACT:
        findings = (*findings, finding(Level.WATCH))
    return RoundRow(
        bin=key, name=name, level=level,
        headline=findings[0].what if findings else "all well: 80% moist, 2 days of feed waiting",
        do=findings[0].do if findings else (), findings=findings,
        feed_waiting_kg=band(1.4 if level is Level.ACT else 0.3),
        feed_waiting_days=band(9.0 if level is Level.ACT else 2.0),
        feed_waiting_words="1.4 kg, 9 days of work", moisture=band(0.81, 0.04), moisture_basis=Basis.WORKED_OUT,
        moisture_age_days=3, worms_kg=band(0.62), worms_words="620 g", harvest=harvest(at),
        feed_up_to_kg=0.0 if level is Level.ACT else 0.45,
        feed_up_to_words="nothing" if level is Level.ACT else "450 g",
        next_feeding=TODAY + timedelta(days=at % 5), next_check=TODAY + timedelta(days=1), checked_today=False,
        fed_today=False,
        trend_waiting_kg=tuple(0.2 + 0.04 * ((day * (at + 1)) % 17) for day in range(30)), compartments=1,
        minutes=8,
    )  # fmt: skip


def gauge(
    code: str, title: str, value: float, unit: str, target: tuple[float | None, float | None],
    scale: tuple[float, float], level: Level = Level.STEADY, reading: float | None = None,
) -> Gauge:  # fmt: skip
    return Gauge(
        title, value, *scale, target, band(value, 0.1), Basis.READ if reading is not None else Basis.WORKED_OUT, level,
        measure_of(unit, "metric"), code=code, words=f"{value:g}", target_words="as it should be", reading=reading,
        age_days=0 if reading is not None else None,
    )  # fmt: skip


def chart(code: str, title: str, unit: str, middle: float, target: tuple[float | None, float | None]) -> Series:
    def on(day: int) -> Band:
        return band(middle * (1 + 0.1 * ((day % 14) / 14)), 0.08)

    return Series(
        tuple(Point(TODAY + timedelta(days=day), on(day)) for day in range(-89, 1)),
        tuple(Point(TODAY + timedelta(days=day), on(day)) for day in range(1, 121)),
        tuple(Reading(TODAY + timedelta(days=day), middle, day == -10, "ada") for day in range(-80, 1, 10)),
        target=target, today=TODAY,
        events=tuple(Event(TODAY + timedelta(days=day), "feeding") for day in range(-88, 0, 4)),
        code=code, title=title, unit=unit, harvest=(None, TODAY + timedelta(days=20), None),
    )  # fmt: skip


def look(of: RoundRow) -> BinView:
    gauges = (
        gauge("moisture", "moisture", 0.82, "fraction", (0.75, 0.85), (0.5, 1.0), Level.WATCH, 0.82),
        gauge("feed_waiting", "uneaten food", 1.4, "kg", (None, 0.6), (0.0, 2.2), of.level),
        gauge("air", "air to depth", 0.9, "fraction", (1.0, None), (0.0, 1.0)),
        gauge("temp", "temperature", 21.0, "degC", (15.0, 25.0), (0.0, 40.0)),
        gauge("worms", "worms", 0.62, "kg", (0.4, 1.2), (0.0, 1.5)),
        gauge("castings", "castings", 0.55, "fraction", (0.8, None), (0.0, 1.0)),
        gauge("depth", "contents", 0.21, "m", (None, 0.3), (0.0, 0.3)),
        gauge("cn", "C:N uneaten", 28.0, "ratio", (17.0, None), (0.0, 60.0)),
    )
    charts = (
        chart("moisture", "moisture", "fraction", 0.8, (0.75, 0.85)),
        chart("feed_waiting", "uneaten food", "kg", 0.6, (None, 0.8)),
        chart("worms", "worms", "kg", 0.6, (0.4, 1.2)),
        chart("castings", "castings share", "fraction", 0.5, (0.8, None)),
        chart("temp", "temperature", "degC", 21.0, (15.0, 25.0)),
        chart("air", "air to depth", "fraction", 0.9, (1.0, None)),
    )  # fmt: skip
    return BinView(
        bin=bin_of(of.bin, of.name), on=TODAY, day=90, level=of.level, headline=of.headline, findings=of.findings,
        do_now=of.do, emergency=(), gauges=gauges,
        cut=Cut((Section(1, 0.03, 0.08, 0.10, 0.01, 2.6),), 0.3, ruler_m=0.2), charts=charts,
        harvest=of.harvest, feed_up_to_kg=of.feed_up_to_kg, feed_up_to_words=of.feed_up_to_words,
        next_feeding=of.next_feeding, next_check=of.next_check, checked_today=of.checked_today, fed_today=of.fed_today,
        learned=("works 0.92 times as fast as the book says, from 31 readings",),
        doubts=(), last_words=(("squeeze", "damp"), ("left", "30%"), ("temp", "21C")),
    )  # fmt: skip


class Log(Sequence[LogLine]):
    """A log of any length whose lines are made as they are asked for."""

    def __init__(self, bin: str, count: int) -> None:
        self.bin = bin
        self.lines = count

    def __len__(self) -> int:
        return self.lines

    def __getitem__(self, at):  # type: ignore[no-untyped-def]
        if isinstance(at, slice):
            return [self[i] for i in range(*at.indices(self.lines))]
        if not 0 <= at < self.lines:
            raise IndexError(at)
        kind = (Kind.CHECK, Kind.FEEDING, Kind.BEDDING)[at % 3]
        words = (
            "sponge squeeze, 30% left, earthy",
            "300 g melon rind, 2 cups coffee grounds",
            "60 g shredded cardboard",
        )
        when = datetime(2026, 3, 2, 8, 0, tzinfo=UTC) - timedelta(hours=5 * (self.lines - at))
        struck = at % 11 == 5
        return LogLine(
            f"e{at}", self.bin, when, kind, words[at % 3], "ada", "cut small" if at % 7 == 0 else "", struck=struck,
            why="mistyped" if struck else "", struck_by="ada" if struck else "",
        )  # fmt: skip


def log(bin: str, count: int) -> Log:
    return Log(bin, count)


def working(code: str) -> Working:
    return Working(
        code, 0.82, "fraction", "water / (water + dry)",
        (Quantity("water", 4.1, "kg", Basis.WORKED_OUT, source="an estimate"),
         Quantity("dry", 0.9, "kg", Basis.WORKED_OUT, "all pools", source="an estimate")),
        "definition", "0.78 to 0.86; the last reading is 3 days old", "water over all that is in the bin",
    )  # fmt: skip


def portion(words: str) -> PortionView:
    kg = 5.0 if words.startswith("5 kg") else 0.3
    return PortionView("melon-rind", words, kg, words, words)


def preview(bin: str, portions: Sequence[str]) -> FeedingPreview:
    each = tuple(portion(words) for words in portions)
    total = sum(one.kg for one in each)
    level = Level.ACT if total > 2 else Level.STEADY
    verdict = (
        "too much: hold back 3.5 kg and freeze it"
        if level is Level.ACT
        else "right: 64% of what they can take by Thursday"
    )
    words = "60 g shredded cardboard" if each else ""
    add = Proposal(
        (ToAdd("shredded-cardboard", "shredded cardboard", 0.06, True),), 0.0, words, "", 24.0, 25.0, 0.8, ANY
    )
    return FeedingPreview(
        total, total / 0.47, 0.47, max(total - 0.47, 0), 24.0, band(0.81, 0.03), band(0.83, 0.03), band(0.4, 0.1),
        band(3.0), band(1.0), 0.01, add, level, verdict if each else "up to 470 g today",
        ("C:N of what lies unfinished 24", "moisture 81% then 83%", "air to the floor", "layer 1 cm"), (), bin, each,
        (),
    )  # fmt: skip


def survey(samples: Sequence[str]) -> SurveyView:
    return SurveyView(tuple(samples), band(0.6, 0.5 / max(len(samples), 1)), f"600 g from {len(samples)} samples", 3)


def proposal(name: str) -> StartProposal:
    return StartProposal(
        name, (portion("1.2 kg shredded cardboard"),), 3.6, 0.6, (0.3, 0.6, 0.9, 1.2),
        ("bedding: 1.2 kg shredded cardboard (about 3 boxes)", "water: 3.6 L", "worms: 600 g for 0.24 m2",
         "first week 300 g of feed, then 600 g, 900 g, 1.2 kg"),
        ("3 boxes of corrugated cardboard", "600 g worms", "a handful of grit"), ("wash hands after",),
    )  # fmt: skip


def materials() -> tuple[MaterialRow, ...]:
    def one(name: str, keep_out: str) -> MaterialRow:
        return MaterialRow(
            name.replace(" ", "-"), name, "feed", "quick", 24.0, 0.02, 0.45, 0.06, 0.9, 500.0, None, ("cut it small",),
            ("rind", "[b]peel[/b]"), keep_out, False, (("nitrogen", "a table, from memory"),),
        )  # fmt: skip

    return one("melon rind", ""), one("meat", "it rots and draws rats"), one("[b]own[/b] stuff", "")


def blend(portions: Sequence[str]) -> MixView:
    return MixView(
        float(len(portions)), 0.3, 0.7, 0.7, 0.1, 0.004, 0.02, 25.0, 160.0, 0.6, (Added("straw", 0.2, "200 g straw"),),
        (finding(Level.WATCH),), ("add 200 g straw", "C:N 25.0", "moisture 70%"),
    )  # fmt: skip


def what_if(bin: str) -> WhatIfView:
    def future(title: str, by: float) -> Future:
        course = tuple(Point(TODAY + timedelta(days=day), band(0.8 * by)) for day in range(1, 60))
        return Future(title, course, course, course, course, harvest(0))

    return WhatIfView(bin, TODAY, future("as planned", 1.0), future("leave out a feeding", 0.9), ("worms 2% fewer",))


def absence(bin: str) -> Absence:
    first, last = TODAY + timedelta(days=5), TODAY + timedelta(days=17)
    return Absence(
        bin, first, last, Level.WATCH, ("feed 300 g the day before",), (StepView(last, "feed runs out"),),
        ("it may dry out",), ("Lift the lid once a week.", "Do not feed."),
    )  # fmt: skip
