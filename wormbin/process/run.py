"""A bin's log being replayed: the nine courses, what has been learned beside them, and the clock of the log."""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from math import exp, sqrt

from wormbin.process import companions, pools
from wormbin.process import course as courses
from wormbin.process.companions import Drift
from wormbin.process.course import AMOUNTS_SD, Course
from wormbin.process.look import Look
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import FRESH, RAW, RAW_FIBRE, WATER, WORMS, Compartment, Materials
from wormbin.process.readings import SORTED_SD, stayed
from wormbin.process.step import COARSE_DAYS
from wormbin.process.unknown import material_of
from wormbin.process.views import Judged, Mass
from wormbin.process.warmth import Warmth
from wormbin.records.bins import Bin
from wormbin.records.entries import (
    Bedding,
    Draining,
    Entry,
    Feeding,
    Harvest,
    Move,
    Portion,
    Stocking,
    Watering,
)
from wormbin.science.constants import SECONDS_A_DAY

BULK_SD = 0.20
AGE_EVERY_DAYS = 2.9
VISIT_DAYS = 0.02
"""Entries closer than this, in days, are taken at one moment; a midnight is always reached."""


@dataclass(frozen=True, slots=True)
class Doubts:
    """How little is known before any reading (standard deviations of natural logs), and how fast it fades back."""

    rate: float = 0.6
    drying: float = 0.45
    amounts: float = AMOUNTS_SD
    fibre: float = 0.30
    yields: float = 0.10
    worms_weighed: float = 0.25
    worms_counted: float = 0.35
    drift: Drift = field(default_factory=Drift)


@dataclass(slots=True)
class Ledger:
    """What went in, came out by hand, and was put right by readings: dry, C, N, ash, water of the likely course, kg."""

    put: list[float] = field(default_factory=lambda: [0.0] * 5)
    taken: list[float] = field(default_factory=lambda: [0.0] * 5)
    corrected: list[float] = field(default_factory=lambda: [0.0] * 5)


@dataclass(slots=True)
class Bias:
    """How an instrument of this keeper reads against an oven test, fraction of moisture; and how sure that is."""

    mean: float = 0.0
    var: float = 0.0
    paired: int = 0
    lately: float = 0.0
    """How many readings it has given of late, the older the less."""
    last: float = 0.0


@dataclass(slots=True)
class Run:
    """A replay under way. ``t`` is in days: the date's ordinal plus the share of the day gone, by the log's clock."""

    bin: Bin
    table: Materials
    p: Parameters = DEFAULT
    doubts: Doubts = field(default_factory=Doubts)
    nine: list[Course] = field(default_factory=list)
    warmth: Warmth = field(default_factory=Warmth)
    log_bulk: float = 0.0
    bulk_var: float = BULK_SD**2
    t: float = 0.0
    active: int = 0
    last_feed: tuple[int, list[float], float] | None = None
    usual: Compartment = field(default_factory=pools.empty)
    usual_bedding: Compartment = field(default_factory=pools.empty)
    biases: dict[str, Bias] = field(
        default_factory=lambda: {"squeeze": Bias(0.0, 0.045**2), "meter": Bias(0.0, 0.09**2)}
    )
    crossed: list[date | None] = field(default_factory=lambda: [None, None, None])
    because: str = "share"
    rested: date | None = None
    last_survey: float = -1e9
    used: int = 0
    ledger: Ledger = field(default_factory=Ledger)
    surprises: dict[str, tuple[float, float]] = field(default_factory=dict)
    """By quantity, how many standard deviations the last reading lay off, and when."""
    judged: list[Judged] = field(default_factory=list)
    unaged: float = 0.0
    """Days for which doubt has not been widened yet."""
    kept_housing: tuple[float, courses.Housing] | None = None
    held: bool = False
    """Whether the bin is held at its site's temperature, as in a trial."""

    @classmethod
    def begin(cls, bin_: Bin, table: Materials, first: date, p: Parameters, doubts: Doubts) -> Run:
        """An empty bin on the morning of its first day."""
        run = cls(bin_, table, p, doubts)
        run.nine = companions.courses(
            max(1, bin_.compartments), doubts.rate, doubts.drying, doubts.amounts, doubts.fibre, doubts.yields
        )
        run.t = float(first.toordinal())
        run.usual = _usual_feed()
        run.usual_bedding = _usual_bedding()
        return run

    # -- time ---------------------------------------------------------------------------------------------------

    @property
    def site_c(self) -> float:
        """The site's temperature now, as last corrected by a thermometer, degC."""
        return self.bin.site_temp_c + self.warmth.offset_c

    def housing(self) -> courses.Housing:
        """The box, with the room that the contents take as last learned."""
        kept = self.kept_housing
        if kept is None or kept[0] != self.log_bulk:
            kept = (self.log_bulk, courses.housing_of(self.bin, self.p, exp(self.log_bulk), held=self.held))
            self.kept_housing = kept
        return kept[1]

    def forward(self, t: float) -> None:
        """Carry everything on to ``t`` (at most about a day at a time); what lies within half an hour is one visit."""
        days = t - self.t
        if days <= VISIT_DAYS and (days <= 0.0 or t % 1.0 > 0.0):
            return
        housing, site_c = self.housing(), self.site_c
        courses.forward(self.nine[0], days, housing, site_c, self.p)
        for each in self.nine[1:]:
            courses.forward(each, days, housing, site_c, self.p, COARSE_DAYS)
        self.warmth.age(days)
        self.t = t

    def age(self, days: float) -> None:
        """Let old evidence fade by ``days``; it is done every few days, and before each reading (``settle``)."""
        self.unaged += days
        self.bulk_var = min(BULK_SD**2, self.bulk_var + 0.015**2 * days)
        if self.unaged >= AGE_EVERY_DAYS:
            self.settle()

    def settle(self) -> None:
        """Widen the doubts by the days that have not been counted yet."""
        if self.unaged > 0.0:
            companions.drift(self.nine, self.unaged, self.doubts.drift)
            self.unaged = 0.0

    # -- what is done -------------------------------------------------------------------------------------------

    def place(self, entry: Entry) -> int:
        """The compartment, from 0, that an entry is about: as said, else the one last fed."""
        if 1 <= entry.compartment <= len(self.nine[0].parts):
            return entry.compartment - 1
        what = entry.what
        if isinstance(what, Draining):
            return 0
        if isinstance(what, Harvest) and len(self.nine[0].parts) > 1:
            parts = self.nine[0].parts
            return max(range(len(parts)), key=lambda i: pools.castings(parts[i]))
        return self.active

    def act(self, entry: Entry) -> None:
        """Do what an entry did, to each of the nine courses."""
        what = entry.what
        part = self.place(entry)
        before = pools.mass(self.nine[0].parts, self.p)
        if isinstance(what, Feeding | Bedding):
            self._portions(part, what.portions, isinstance(what, Feeding), bool(entry.compartment))
        elif isinstance(what, Watering):
            for each in self.nine:
                each.parts[part][WATER] += what.kg
        elif isinstance(what, Stocking | Move):
            kg = what.worms_kg
            if isinstance(what, Move) and not what.into:
                kg = -kg
            counted = isinstance(what, Stocking) and what.worms_count is not None
            self._worms(part, kg, self.doubts.worms_counted if counted else self.doubts.worms_weighed)
        elif isinstance(what, Draining):
            for each in self.nine:
                courses.drain(each, part, what.kg)
        elif isinstance(what, Harvest):
            wet = pools.moisture(self.nine[0].parts[part]) if what.moisture is None else what.moisture
            for each in self.nine:
                courses.take_castings(each, part, what.castings_kg, what.moisture)
                if what.worms_out_kg:
                    courses.take_worms(each, part, what.worms_out_kg)
            self.crossed = [None, None, None]
            self.rested = entry.when.date()
            self.book(self.ledger.put, self.ledger.taken, before)
            self._leave(part, what.castings_kg * (1.0 - wet), what.left_behind)
            return
        else:
            return
        self.book(self.ledger.put, self.ledger.taken, before)

    def _leave(self, part: int, taken_kg: float, left_behind: float | None) -> None:
        """What stays behind is unsure: as well as it was sorted, or as the eye saw it. ``taken_kg`` is dry."""
        doubt = SORTED_SD
        if left_behind is not None:
            share, doubt = stayed(left_behind)
            kg, before = taken_kg * share / (1.0 - share), pools.mass(self.nine[0].parts, self.p)
            for each in self.nine:
                there = pools.castings(each.parts[part])
                pools.scale_pool(each.parts[part], pools.CASTINGS, kg / there if there > 0.0 else 1.0)
            self.correct(before)
        for each, sign in zip(self.nine[1:], companions.MADE, strict=True):
            pools.scale_pool(each.parts[part], pools.CASTINGS, exp(doubt * sign))

    def correct(self, before: Mass) -> None:
        """Write what a reading has changed since ``before`` on the likely course into the ledger."""
        after = pools.mass(self.nine[0].parts, self.p)
        for i, name in enumerate(("dry", "carbon", "nitrogen", "ash", "water")):
            self.ledger.corrected[i] += getattr(after, name) - getattr(before, name)

    def book(self, put: list[float], taken: list[float], before: Mass) -> None:
        """Write what has changed since ``before`` on the likely course into two sides of the ledger."""
        after = pools.mass(self.nine[0].parts, self.p)
        for i, name in enumerate(("dry", "carbon", "nitrogen", "ash", "water")):
            change = getattr(after, name) - getattr(before, name)
            if change >= 0.0:
                put[i] += change
            else:
                taken[i] -= change

    def _portions(self, part: int, portions: Sequence[Portion], feed: bool, said: bool) -> None:
        for each in self.nine:
            courses.put_in(each, part, portions, self.table, feed=feed)
        fresh = sum(portion.kg for portion in portions)
        if fresh <= 0.0:
            return
        one = pools.empty()
        for portion in portions:
            material = material_of(self.table, portion.material, feed=feed)
            pools.add(one, material, portion.kg / fresh, portion.moisture, feed=feed)
        old = self.usual if feed else self.usual_bedding
        share = 0.25
        mixed = [(1.0 - share) * a + share * b for a, b in zip(old, one, strict=True)]
        if feed:
            self.usual = mixed
            self.last_feed = (part, courses.fresh_spread(portions, self.table), self.t)
        else:
            self.usual_bedding = mixed
        if feed or said:
            self.active = part

    def _worms(self, part: int, kg: float, sd: float) -> None:
        if kg < 0.0:
            for each in self.nine:
                courses.take_worms(each, part, -kg)
            return
        self.nine[0].parts[part][WORMS] += kg
        for each, sign in zip(self.nine[1:], companions.HERD, strict=True):
            each.parts[part][WORMS] += kg * exp(sd * sign)

    def plan(
        self, part: int, feed_kg: float, bedding_kg: float, water_kg: float, material: str, bedding: str = ""
    ) -> None:
        """Do something that is only planned; ``material`` and ``bedding`` empty mean what this bin usually gets."""
        before = pools.mass(self.nine[0].parts, self.p)
        if material and feed_kg > 0.0:
            self._portions(part, (Portion(material, feed_kg),), True, False)
            feed_kg = 0.0
        if bedding and bedding_kg > 0.0:
            self._portions(part, (Portion(bedding, bedding_kg),), False, False)
            bedding_kg = 0.0
        for each in self.nine:
            c = each.parts[part]
            factor = exp(each.log_input)
            for what, kg in ((self.usual, feed_kg), (self.usual_bedding, bedding_kg)):
                pools.add_usual(c, what, kg * factor)
            c[WATER] += water_kg
        self.book(self.ledger.put, self.ledger.taken, before)

    # -- what it looks like -------------------------------------------------------------------------------------

    def look(self, on: date) -> Look:
        """All nine courses now."""
        return Look(
            on=on,
            day=on.toordinal() - self.bin.started.toordinal(),
            courses=tuple((each.own, tuple(array("d", part) for part in each.parts)) for each in self.nine),
            housing=self.housing(),
            p=self.p,
            usual=self._usual_figures(),
            site_c=self.site_c,
            site_sd_c=self.warmth.sd_c,
            bulk_sd=sqrt(self.bulk_var),
        )

    def _usual_figures(self) -> tuple[float, float, float]:
        u, p = self.usual, self.p
        volatile = sum(u[0:4])
        if volatile <= 0.0:
            return (0.1, 1.0, p.decay_quick)
        liking = (p.like_quick * u[0] + p.like_steady * u[1] + p.like_slow * u[2] + p.like_aged * u[3]) / volatile
        decay = (p.decay_quick * u[0] + p.decay_steady * u[1] + p.decay_slow * u[2] + p.decay_aged * u[3]) / volatile
        return (volatile, liking, decay)


def moment(when: datetime) -> float:
    """A moment by its own wall clock, in days."""
    return when.date().toordinal() + (when.hour * 3600 + when.minute * 60 + when.second) / SECONDS_A_DAY


def _usual_feed() -> Compartment:
    """One kg of mixed kitchen scraps with a little coffee, until the log says what this bin gets (common practice)."""
    c = pools.empty()
    for pool, dry, carbon, nitrogen, ash in ((0, 0.10, 0.46, 0.024, 0.08), (1, 0.05, 0.50, 0.022, 0.03)):
        c[pool] = dry * (1.0 - ash)
        c[pools.CARBON + pool] = dry * carbon
        c[pools.NITROGEN + pool] = dry * nitrogen
        c[pools.ASH + pool] = dry * ash
        c[RAW + pool] = c[pool]
    c[FRESH], c[FRESH + 1] = 0.87, 0.13
    c[WATER] = 0.85
    return c


def _usual_bedding() -> Compartment:
    """One kg of dry shredded board, until the log says what this bin gets."""
    c = pools.empty()
    dry = 0.92
    c[RAW_FIBRE] = 0.95 * dry
    c[4], c[10], c[16], c[22] = 0.95 * dry, 0.46 * dry, 0.001 * dry, 0.05 * dry
    c[WATER] = 0.08
    return c
