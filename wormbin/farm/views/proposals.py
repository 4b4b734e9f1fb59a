"""What would be: drafts of entries in the keeper's words, and what the farm says to them before anything is saved."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.advice.finding import Finding
from wormbin.drawing.series import Point
from wormbin.farm.errors import Question as Question
from wormbin.farm.heading import Heading as Heading
from wormbin.farm.views.round import HarvestView, StepView
from wormbin.figures import Band, Level, Working
from wormbin.science.blend import Blend


@dataclass(frozen=True, slots=True)
class PortionView:
    """One thing in the bucket, understood: its material, fresh kg, and what was said."""

    material: str
    name: str
    kg: float
    said: str
    words: str


@dataclass(frozen=True, slots=True)
class BinDraft:
    """A new bin as it is typed: lengths with units ("60 cm", "2 ft"), yes/no, words from the lists of ``Bin``."""

    key: str = ""
    name: str = ""
    length: str = ""
    width: str = ""
    depth: str = ""
    area: str = ""
    litres: str = ""
    compartments: str = ""
    drainage: str = ""
    cover: str = ""
    species: str = ""
    site_temp: str = ""
    method: str = ""
    tare: str = ""
    worms: str = ""
    started: str = ""
    keeper: str = ""
    beddings: str = ""
    feeds: str = ""
    feed_days: str = ""
    running: str = ""
    """It runs already: how deep what stands in it is; "" for a new one."""


@dataclass(frozen=True, slots=True)
class StartProposal:
    """How to begin a bin: its first bedding, water, worms, the feedings of the first weeks, a list to print."""

    bin: str
    beddings: tuple[PortionView, ...]
    water_kg: float
    worms_kg: float
    feed_kg_week: tuple[float, ...]
    lines: tuple[str, ...]
    shopping: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Future:
    """One way that things may go: what is done, and where it leads."""

    title: str
    moisture: tuple[Point, ...]
    feed_waiting_kg: tuple[Point, ...]
    worms_kg: tuple[Point, ...]
    castings_dry_kg: tuple[Point, ...]
    harvest: HarvestView


@dataclass(frozen=True, slots=True)
class BesideRow:
    """One figure of two futures so many days from today, in words: likely, and the ends that hold 8 times in 10."""

    figure: str
    days: int
    planned: str
    instead: str


@dataclass(frozen=True, slots=True)
class WhatIfView:
    """Two futures side by side, and the difference in words."""

    bin: str
    on: date
    as_planned: Future
    instead: Future
    words: tuple[str, ...]
    rows: tuple[BesideRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Absence:
    """What an absence means for one bin: before leaving, day by day, what may go wrong, and words for a neighbour."""

    bin: str
    first: date
    last: date
    level: Level
    before: tuple[str, ...]
    steps: tuple[StepView, ...]
    risks: tuple[str, ...]
    neighbour: tuple[str, ...]
    moisture: tuple[Point, ...] = ()
    feed_waiting_kg: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class SurveyView:
    """A survey so far: the interval of the worm mass, and how many more samples would halve it."""

    samples: tuple[str, ...]
    """Each sample as it was understood."""
    worms_kg: Band
    words: str
    more_samples: int | None


@dataclass(frozen=True, slots=True)
class Added:
    """An amount that the mix bench proposes to add."""

    material: str
    kg: float
    words: str


@dataclass(frozen=True, slots=True)
class MixView(Blend):
    """A blend on the mix bench. kg, fractions of wet (``moisture``) and of volume (``free_air_space``)."""

    added: tuple[Added, ...]
    findings: tuple[Finding, ...]
    lines: tuple[str, ...]
    opened: tuple[Working, ...] = ()
    """Where it was asked for: C:N, moisture and each amount to add opened."""
