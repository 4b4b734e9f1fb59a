"""A bin's log being replayed: all courses of the bin, what has been learned beside them, and the clock of the log."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from math import exp, sqrt

import numpy as np

from wormbin.process import ensemble, flows, pools
from wormbin.process.amounts import material_of, times_as_unsure
from wormbin.process.ensemble import COURSES, DAMP, HABIT, HERD, MADE, Doubts
from wormbin.process.flows import AMOUNTS, Housing, housing_of
from wormbin.process.look import Look
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import (
    ASH,
    CARBON,
    CASTS,
    DRAINED,
    FIBRE,
    FRESH,
    HARD,
    LEFT,
    NITROGEN,
    POOLS,
    QUICK,
    RAW,
    RAW_LEFT,
    STEADY,
    VOLATILE,
    WATER,
    WORMS,
    Array,
    Materials,
)
from wormbin.process.readings import ALONG, SORTED_SD, stayed
from wormbin.process.step import LAST_DAYS, disturbed, moved, next_step
from wormbin.process.views import Judged, Mass
from wormbin.process.warmth import Warmth
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Draining, Entry, Feeding, Harvest, Move, Portion, Stocking, Watering
from wormbin.science import response
from wormbin.science.constants import SECONDS_A_DAY

BULK_SD = 0.20
AGE_EVERY_DAYS = 2.9
VISIT_DAYS = 0.02
"""Entries closer than this, in days, are taken at one moment; a midnight is always reached."""


PLANNED_SD = 0.4
"""How far what is really given may lie off what is planned, natural log (ours, held to made-up keepers)."""
KEPT_DAMP_OVER, SOAKED_TO = 0.65, 0.75
"""Moisture under which a bin that is looked after gets water, and that of soaked bedding (common practice)."""
SOAKED_SD = 0.3
"""How unsure the water is that bedding was soaked with where nobody wrote it, natural log of water to dry (ours)."""


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
    """A replay under way. ``t`` is in days: the date's ordinal plus the share of the day gone, by the log's clock.

    ``c`` is ``(SIZE, parts, COURSES)``, compartments from the lowest (or left) up; ``own`` ``(OWN, COURSES)``. Both are
    changed in place, for several bins may lie side by side in one array (see ``abreast``).
    """

    bin: Bin
    table: Materials
    p: Parameters = DEFAULT
    doubts: Doubts = field(default_factory=Doubts)
    c: Array = field(default_factory=lambda: pools.empty(1, COURSES))
    own: Array = field(default_factory=lambda: np.zeros((flows.OWN, COURSES)))
    k: Array = field(default_factory=lambda: np.zeros((flows.SETTLED, 1, COURSES)))
    dt: float = 0.0
    """How long the step is that is to be taken, days."""
    settled: tuple[flows.Box, ...] = ()
    """The boxes for which ``k`` says what they and ``own`` come to."""
    warmth: Warmth = field(default_factory=Warmth)
    log_bulk: float = 0.0
    bulk_var: float = BULK_SD**2
    t: float = 0.0
    active: int = 0
    last_feed: tuple[int, list[float], float] | None = None
    usual: Array = field(default_factory=lambda: _usual_feed())
    usual_bedding: Array = field(default_factory=lambda: _usual_bedding())
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
    scores: dict[str, list[float]] = field(default_factory=dict)
    """By quantity, how many standard deviations the last readings lay off what was expected of them."""
    judged: list[Judged] = field(default_factory=list)
    unaged: float = 0.0
    """Days for which doubt has not been widened yet."""
    kept_housing: tuple[tuple[float, bool], Housing] | None = None
    held: bool = False
    """Whether the bin is held at its site's temperature, as in a trial."""

    @classmethod
    def begin(cls, bin_: Bin, table: Materials, first: date, p: Parameters, doubts: Doubts) -> Run:
        """An empty bin on the morning of its first day."""
        parts = max(1, bin_.compartments)
        return cls(
            bin_, table, p, doubts, pools.empty(parts, COURSES), doubts.own(),
            np.zeros((flows.SETTLED, parts, COURSES)), t=float(first.toordinal()),
        )  # fmt: skip

    @property
    def likely(self) -> Array:
        """The compartments on the likely course, ``(SIZE, parts)``: a view."""
        return self.c[:, :, 0]

    # -- time ---------------------------------------------------------------------------------------------------

    @property
    def site_c(self) -> float:
        """The site's temperature now, as last corrected by a thermometer, degC."""
        return self.bin.site_temp_c + self.warmth.offset_c

    def housing(self) -> Housing:
        """The box, with the room that the contents take as last learned."""
        if self.kept_housing is None or self.kept_housing[0] != (self.log_bulk, self.held):
            housing = housing_of(self.bin, self.p, exp(self.log_bulk), held=self.held)
            self.kept_housing = (self.log_bulk, self.held), housing
        return self.kept_housing[1]

    def changed(self) -> None:
        """Say that a reading, or time, has moved what is believed of the bin."""
        self.settled = ()
        moved(self.c)

    def settle(self) -> Array:
        """What its own factors and its boxes come to now; see ``flows.settled``."""
        boxes = self.housing().boxes(self.likely)
        if self.settled != boxes:
            for part, box in enumerate(boxes):
                self.k[:, part] = flows.settled(self.own, box, self.p)
            self.settled = boxes
        return flows.at_site(self.k, boxes[0], self.site_c)

    def forward(self, t: float) -> Generator[Run, None, None]:
        """Carry everything on to ``t``, a step at a time: each is yielded, and gone by whoever asks for the next.

        What lies within half an hour is one visit.
        """
        days = t - self.t
        if days <= VISIT_DAYS and (days <= 0.0 or t % 1.0 > 0.0):
            return
        self.settle()
        left, last, parts = days, float(self.c[LAST_DAYS, 0, 0]), self.c.shape[1]
        while left > 1e-9:
            self.dt = last = next_step(left, last)
            ran = self.c[DRAINED].copy() if parts > 1 else None
            yield self
            if ran is not None:
                self._trays(ran)
            left -= last
        self.warmth.age(days)
        self.t = t

    def _trays(self, ran: Array) -> None:
        """Water runs down from tray to tray (``ran`` out before the step), and the herd follows the feed."""
        c, p = self.c, self.p
        if not self.bin.sideways:
            c[WATER, :-1] += c[DRAINED, 1:] - ran[1:]
            c[DRAINED, 1:] = ran[1:]
        herd = c[WORMS].sum(axis=0)
        like = np.append(pools.of_foods(p, "like"), [0.01, 0.01])[:, None, None]
        damp = np.interp(pools.moisture(c), *np.array(response.MOISTURE_EATING).T)
        pull = (like * c[VOLATILE : VOLATILE + POOLS]).sum(axis=0) * (0.05 + damp)
        whole = pull.sum(axis=0)
        goes = (1.0 - exp(-p.moving * self.dt)) * (whole > 0.0)
        c[WORMS] += goes * (herd * pull / (whole + 1e-300) - c[WORMS])

    def age(self, days: float) -> None:
        """Let old evidence fade by ``days``; it is done every few days, and before each reading (``widen``)."""
        self.unaged += days
        self.bulk_var = min(BULK_SD**2, self.bulk_var + 0.015**2 * days)
        if self.unaged >= AGE_EVERY_DAYS:
            self.widen()

    def widen(self) -> None:
        """Widen the doubts by the days that have not been counted yet."""
        if self.unaged > 0.0:
            ensemble.drift(self.c, self.own, self.unaged, self.doubts.drift)
            self.unaged = 0.0
            self.changed()

    # -- what is done -------------------------------------------------------------------------------------------

    def place(self, entry: Entry) -> int:
        """The compartment, from 0, that an entry is about: as said, else the one last fed."""
        parts = self.c.shape[1]
        if 1 <= entry.compartment <= parts:
            return entry.compartment - 1
        what = entry.what
        if isinstance(what, Draining):
            return 0
        if isinstance(what, Harvest) and parts > 1:
            return int(np.argmax(pools.castings(self.likely)))
        return self.active

    def act(self, entry: Entry) -> None:
        """Do what an entry did, on every course."""
        what, part = entry.what, self.place(entry)
        before = pools.mass(self.likely, self.p)
        if isinstance(what, Feeding | Bedding):
            self._portions(part, what.portions, isinstance(what, Feeding), bool(entry.compartment))
        elif isinstance(what, Watering):
            self.c[WATER, part] += what.kg
        elif isinstance(what, Stocking | Move):
            kg = -what.worms_kg if isinstance(what, Move) and not what.into else what.worms_kg
            counted = isinstance(what, Stocking) and what.worms_count is not None
            self.stock(part, kg, self.doubts.worms_counted if counted else self.doubts.worms_weighed)
        elif isinstance(what, Draining):
            self.c[WATER, part] -= np.minimum(what.kg, 0.95 * self.c[WATER, part])
        elif isinstance(what, Harvest):
            self._harvest(part, what, before)
            self.rested = entry.when.date()
            return
        else:
            return
        self.done(before)

    def done(self, before: Mass) -> None:
        """Write into the ledger what a hand has changed since ``before``, and say that something was done."""
        self.book(self.ledger.put, self.ledger.taken, before)
        disturbed(self.c)

    def _harvest(self, part: int, what: Harvest, before: Mass) -> None:
        wet = float(pools.moisture(self.likely[:, part])) if what.moisture is None else what.moisture
        self._take_castings(part, what.castings_kg, what.moisture)
        if what.worms_out_kg:
            self._take_worms(part, what.worms_out_kg)
        self.crossed = [None, None, None]
        self.done(before)
        # What stays behind is unsure: as well as it was sorted, or as the eye saw it.
        doubt, c = SORTED_SD, self.c[:, part]
        if what.left_behind is not None:
            share, doubt = stayed(what.left_behind)
            kg, before = what.castings_kg * (1.0 - wet) * share / (1.0 - share), pools.mass(self.likely, self.p)
            there = pools.castings(c)
            pools.scale_pools(c, np.where(there > 0.0, kg / np.maximum(there, 1e-12), 1.0), CASTS)
            self.correct(before)
        pools.scale_pools(c, np.exp(doubt * MADE), CASTS)

    def _take_castings(self, part: int, wet_kg: float, moisture: float | None) -> None:
        """Take castings off: dry castings first, then what lies with them, each with the water of the harvest.

        No more than ``ALONG`` of what is not castings comes along: what goes beyond that cannot have been castings, and
        the bin is not believed to be the emptier, and its next harvest the nearer, for it.
        """
        c = self.c[:, part]
        wet = pools.moisture(c) if moisture is None else np.full(COURSES, moisture)
        wanted, there = wet_kg * (1.0 - wet), pools.castings(c)
        finished = np.minimum(wanted, 0.97 * there)
        rest = pools.dry(c) - there
        along = np.maximum(np.minimum(np.minimum(wanted - finished, ALONG * there), 0.95 * rest), 0.0)
        pools.scale_pools(c, 1.0 - finished / (there + 1e-300), CASTS)
        pools.scale_pools(c, 1.0 - along / (rest + 1e-300), QUICK, CASTS)
        off = np.where(wanted > 0.0, (finished + along) / (wanted + 1e-300), 1.0)
        c[WATER] -= np.minimum(off * wet_kg * wet, 0.95 * c[WATER])

    def correct(self, before: Mass) -> None:
        """Write what a reading has changed since ``before`` on the likely course into the ledger."""
        self.book(self.ledger.corrected, None, before)

    def book(self, put: list[float], taken: list[float] | None, before: Mass) -> None:
        """Write what has changed since ``before`` on the likely course into two sides of the ledger, or into one."""
        after = pools.mass(self.likely, self.p)
        for i, name in enumerate(("dry", "carbon", "nitrogen", "ash", "water")):
            change = getattr(after, name) - getattr(before, name)
            if change >= 0.0 or taken is None:
                put[i] += change
            else:
                taken[i] -= change

    def put(self, part: int, portions: Sequence[Portion], *, feed: bool, sd: float = 0.0) -> None:
        """Put portions into a compartment; a feeding starts the count of what is left of it anew.

        ``sd`` is what is unsure of the amounts beside how they were said, natural log.
        """
        c = self.c[:, part]
        for portion in portions:
            off = self.own[AMOUNTS] * times_as_unsure(portion)
            kg = portion.kg * np.exp(off + sd * HABIT if sd else off)
            c += self._brings(portion, feed)[:, None] * kg
        if feed:
            c[LEFT:VOLATILE] = 1.0
            c[RAW_LEFT : RAW_LEFT + 4] = np.array([1.0, 1.0, 0.0, 0.0])[:, None]

    def _brings(self, portion: Portion, feed: bool) -> Array:
        return pools.brings(material_of(self.table, portion.material, feed=feed), portion.moisture, feed=feed)

    def _portions(
        self, part: int, portions: Sequence[Portion], feed: bool, said: bool = False, sd: float = 0.0
    ) -> None:
        self.put(part, portions, feed=feed, sd=sd)
        fresh = sum(portion.kg for portion in portions)
        if fresh <= 0.0:
            return
        one = sum((self._brings(each, feed) * (each.kg / fresh) for each in portions), pools.empty())
        if feed:
            self.usual = 0.75 * self.usual + 0.25 * one
            self.last_feed = (part, (fresh * one[FRESH : FRESH + FIBRE]).tolist(), self.t)
        else:
            self.usual_bedding = 0.75 * self.usual_bedding + 0.25 * one
        if feed or said:
            self.active = part

    def stock(self, part: int, kg: float, sd: float) -> None:
        """Put worms in, or take them out where ``kg`` is below zero; ``sd`` is the doubt, natural log."""
        if kg < 0.0:
            self._take_worms(part, -kg)
        else:
            self.c[WORMS, part] += kg * np.exp(sd * HERD)

    def _take_worms(self, part: int, kg: float) -> None:
        """Take live worms out, first from one compartment, then from all; some always stay behind."""
        left = np.full(COURSES, kg)
        for i in (part, *range(self.c.shape[1])):
            taken = np.minimum(left, 0.98 * self.c[WORMS, i])
            self.c[WORMS, i] -= taken
            left -= taken

    def plan(
        self, part: int, feed_kg: float, bedding_kg: float, water_kg: float, material: str, bedding: str = ""
    ) -> None:
        """Do something that is only planned; ``material`` and ``bedding`` empty mean what this bin usually gets."""
        before = pools.mass(self.likely, self.p)
        if material and feed_kg > 0.0:
            self._portions(part, (Portion(material, feed_kg),), True, sd=PLANNED_SD)
            feed_kg = 0.0
        if bedding and bedding_kg > 0.0:
            self._portions(part, (Portion(bedding, bedding_kg),), False, sd=PLANNED_SD)
            bedding_kg = 0.0
        usual = feed_kg * self.usual + bedding_kg * self.usual_bedding
        self.c[:, part] += usual[:, None] * np.exp(self.own[AMOUNTS] + PLANNED_SD * HABIT)
        self.c[WATER, part] += water_kg
        self.done(before)

    def keep_damp(self, under: float = KEPT_DAMP_OVER, sd: float = 0.0, who: Array | bool = True) -> None:
        """Make every course drier than ``under`` as damp as bedding is when it goes in; ``sd`` is the doubt.

        ``who`` says of which courses it is done.
        """
        dry, water = pools.dry(self.c), self.c[WATER]
        dried = (pools.moisture(self.c) < under) & who
        if (dried & (dry > 0.0)).any():
            before = pools.mass(self.likely, self.p)
            self.c[WATER] = np.where(dried, dry * SOAKED_TO / (1.0 - SOAKED_TO) * np.exp(sd * DAMP), water)
            self.correct(before)
            disturbed(self.c)

    # -- what it looks like -------------------------------------------------------------------------------------

    def look(self, on: date) -> Look:
        """All courses now."""
        return Look(
            on=on,
            day=on.toordinal() - self.bin.started.toordinal(),
            c=self.c[: pools.TOLD].astype(np.float32),
            own=self.own.astype(np.float32),
            housing=self.housing(),
            p=self.p,
            usual=self._usual_figures(),
            site_c=self.site_c,
            site_sd_c=self.warmth.sd_c,
            bulk_sd=sqrt(self.bulk_var),
            scores=dict(self.scores),
        )

    def _usual_figures(self) -> tuple[float, float, float]:
        volatile = self.usual[VOLATILE : VOLATILE + FIBRE]
        whole = float(volatile.sum())
        if whole <= 0.0:
            return (0.1, 1.0, self.p.decay_quick)
        like, decay = (float((pools.of_foods(self.p, each)[:FIBRE] * volatile).sum()) for each in ("like", "decay"))
        return (whole, like / whole, decay / whole)


def moment(when: datetime) -> float:
    """A moment by its own wall clock, in days."""
    return when.date().toordinal() + (when.hour * 3600 + when.minute * 60 + when.second) / SECONDS_A_DAY


def _usual_feed() -> Array:
    """One kg of mixed kitchen scraps with a little coffee, until the log says what this bin gets (common practice)."""
    c = pools.empty()
    for pool, dry, carbon, nitrogen, ash in ((QUICK, 0.10, 0.46, 0.024, 0.08), (STEADY, 0.05, 0.50, 0.022, 0.03)):
        c[VOLATILE + pool] = c[RAW + pool] = dry * (1.0 - ash)
        c[CARBON + pool], c[NITROGEN + pool], c[ASH + pool] = dry * carbon, dry * nitrogen, dry * ash
    c[FRESH], c[FRESH + STEADY] = 0.87, 0.13
    c[WATER] = 0.85
    return c


def _usual_bedding() -> Array:
    """One kg of dry shredded board, until the log says what this bin gets."""
    c, dry = pools.empty(), 0.92
    c[VOLATILE + HARD] = c[RAW + HARD] = 0.95 * dry
    c[CARBON + HARD], c[NITROGEN + HARD], c[ASH + HARD] = 0.46 * dry, 0.001 * dry, 0.05 * dry
    c[WATER] = 0.08
    return c
