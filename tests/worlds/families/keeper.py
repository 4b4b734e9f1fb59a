"""The keepers of the families: careful, one-sided or with gaps; each lives a bin through and writes its log.

A careful one reads with a person's errors. A one-sided one is off the same way every time: amounts by up to 25 %, a
meter by 12 points, the size of the box by 30 %, and rounds coarsely. A gappy one forgets feedings and falls silent for
forty days. Everything written is what a person would type; nothing of it is taken from the program.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum
from random import Random

from tests.worlds.families.batches import Batches
from tests.worlds.families.box import Box, Lot, Own
from tests.worlds.families.stages import Stages
from tests.worlds.families.two_microbes import TwoMicrobes
from tests.worlds.life import MadeBin
from tests.worlds.logbook import Row, line, minutes_on, moment, number
from tests.worlds.truth import DUE_SHARE, DayTruth, Pile, Truth

FAMILIES: Mapping[str, Callable[..., Box]] = {"batches": Batches, "two microbes": TwoMicrobes, "stages": Stages}
DAYS, SILENT_FROM, SILENT_DAYS = 300, 60, 40
HOUR = "18:20"
EVAPORATES = {"loose": 0.5, "closed": 0.22, "open": 1.1}
MENUS = (
    ("vegetable-scraps", "coffee-grounds", "banana-peel"),
    ("vegetable-scraps", "carrots", "apple-cores", "bread"),
    ("melon-rind", "leaf-lettuce", "vegetable-scraps", "coffee-grounds"),
    ("vegetable-scraps", "potato-peel", "tea-leaves", "orange-peel"),
)


class Kind(StrEnum):
    """How a keeper keeps the log."""

    CAREFUL = "careful"
    ONE_SIDED = "one-sided"
    GAPPY = "gappy"


class Silence(StrEnum):
    """What was really done in the forty days of which the log says nothing."""

    USUAL = "as usual"
    HALF = "about half"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Ways:
    """How this keeper sees, writes and does: factors, fractions, chances; ``hand`` and ``meter_off`` in moisture."""

    kind: Kind
    said: float
    forgets: float
    coarse: int
    hand: float
    has_meter: bool
    meter_off: float
    left_off: float
    left_step: int
    looks: float
    thermometer: float
    ruler: float
    fills: float
    holds_back: float
    bedding_often: float
    patience: int

    @staticmethod
    def drawn(rng: Random, kind: Kind) -> Ways:
        """One keeper of a kind."""
        one_sided, gappy = kind is Kind.ONE_SIDED, kind is Kind.GAPPY
        return Ways(
            kind=kind,
            said=rng.choice((0.75, 0.82, 1.18, 1.25)) if one_sided else math.exp(rng.gauss(0.0, 0.06)),
            forgets=rng.uniform(0.06, 0.16) if gappy else rng.uniform(0.0, 0.04),
            coarse=rng.choice((100, 250)) if one_sided else rng.choice((10, 50)),
            hand=rng.gauss(0.0, 0.03),
            has_meter=rng.random() < 0.45,
            meter_off=rng.choice((-0.12, 0.12)) if one_sided else rng.gauss(0.0, 0.03),
            left_off=rng.choice((-0.12, 0.12)) if one_sided else rng.gauss(0.0, 0.05),
            left_step=rng.choice((25, 50)) if one_sided else rng.choice((10, 25)),
            looks=rng.uniform(0.12, 0.25) if gappy else rng.uniform(0.2, 0.45),
            thermometer=rng.choice((0.0, 0.5, 0.8)),
            ruler=rng.choice((0.0, 0.05, 0.1)),
            fills=rng.uniform(0.5, 1.0),
            holds_back=rng.uniform(0.5, 0.95),
            bedding_often=rng.uniform(0.0, 0.2),
            patience=rng.randint(15, 40),
        )


@dataclass(slots=True)
class Keeper:
    """Lives one bin through, evening by evening."""

    box: Box
    ways: Ways
    rng: Random
    key: str
    first: date
    feed_days: tuple[int, ...]
    menu: tuple[str, ...]
    bedding: str
    mishaps: Mapping[int, str]
    silent: range = range(0)
    silence: Silence = Silence.USUAL
    rows: list[Row] = field(default_factory=list)
    last_fed: list[Lot] = field(default_factory=list)
    harvested: list[date] = field(default_factory=list)
    due_for: int = 0
    fed_kg: float = 0.0

    def set_up(self, bedding_kg: float, worms_kg: float) -> None:
        """Bedding soaked through, and worms as they were sold."""
        self.put_bedding(0, bedding_kg)
        self.pour(0, bedding_kg * self.rng.uniform(2.7, 3.6))
        told = worms_kg * self.ways.said if self.ways.kind is Kind.ONE_SIDED else worms_kg
        self.box.stock(worms_kg)
        self.write(0, 20, "stocking", amount=self.amount(told, 50), unit="g")

    def evening(self, day: int) -> None:
        """Look, mend, feed, harvest; in a silence as much of it as is done, and not a word."""
        self.fed_kg = 0.0
        idle = self.silence is Silence.NOTHING or (day - self.silent.start) // 7 % 2 == 0
        if day in self.silent and self.silence is not Silence.USUAL and idle:
            return
        on_feed_day = (self.first + timedelta(days=day)).weekday() in self.feed_days
        seen = None
        if self.rng.random() < self.ways.looks * (1.6 if on_feed_day else 0.5):
            seen = self.look(day)
        self.mend(day)
        mishap = self.mishaps.get(day)
        if mishap == "party":
            self.feed(day, 5.0)
        elif mishap == "spill":
            self.pour(day, 14.0 * self.box.area_m2)
        elif mishap == "survey":
            self.survey(day)
        elif mishap == "weigh":
            self.write(day, 6, "weighing", amount=number((self.total_kg) * self.rng.gauss(1.0, 0.01), 1), unit="kg")
        elif on_feed_day:
            left = seen if seen is not None else self.left + self.rng.gauss(0.0, 0.2)
            if not (self.last_fed and left > 0.45 and self.rng.random() < self.ways.holds_back):
                self.feed(day, 1.0)
        self.harvest(day)

    @property
    def left(self) -> float:
        """Share of the last feeding still there."""
        fed = sum(each.fresh_kg for each in self.last_fed)
        return sum(each.fresh_kg * each.left for each in self.last_fed) / fed if fed else 0.0

    @property
    def total_kg(self) -> float:
        """What a scale shows, less the box."""
        return self.box.dry_kg + self.box.water_kg + self.box.worms_kg

    def look(self, day: int) -> float | None:
        """Read some of it; returns the share left as it was seen."""
        ways, rng, box = self.ways, self.rng, self.box
        cells: dict[str, str] = {}
        if rng.random() < 0.8:
            felt = box.felt + ways.hand + rng.gauss(0.0, 0.035)
            words = ((0.61, "dry"), (0.735, "damp"), (0.84, "sponge"))
            cells["squeeze"] = next((word for under, word in words if felt < under), "dripping")
        if ways.has_meter and rng.random() < 0.6:
            read = 100 * (box.felt + ways.meter_off + rng.gauss(0.0, 0.03))
            cells |= {"moisture_pct": number(round(max(15.0, min(99.0, read))), 0), "moisture_by": "meter"}
        if rng.random() < ways.thermometer:
            cells["temp_c"] = number(round(box.temp_c + rng.gauss(0.0, 0.8)), 0)
        if rng.random() < ways.ruler:
            cells["contents_cm"] = number(max(1.0, round(100 * box.contents_m + rng.gauss(0.0, 0.8))), 0)
        seen = None
        if self.last_fed and rng.random() < 0.75:
            raw = 100 * (self.left + ways.left_off * (0.3 + self.left) + rng.gauss(0.0, 0.10))
            percent = max(0, min(100, ways.left_step * round(raw / ways.left_step)))
            cells["left_pct"], seen = str(percent), percent / 100.0
        if rng.random() < 0.4:
            bad = box.air < 0.3 and rng.random() < 0.8
            cells["smell"] = "rotten" if bad and box.moisture > 0.84 else "sour" if bad else "earthy"
        if cells:
            self.write(day, 0, "check", **cells)
        return seen

    def mend(self, day: int) -> None:
        """Board into the wet, water onto the dry, a loosening now and then, judged by hand."""
        felt = self.box.felt + self.ways.hand + self.rng.gauss(0.0, 0.02)
        if felt > 0.85 and self.rng.random() < 0.35:
            self.put_bedding(day, 0.5 * self.box.area_m2)
        elif felt < 0.70 and self.rng.random() < 0.7:
            self.pour(day, 4.0 * self.box.area_m2)
        if self.rng.random() < (0.1 if self.box.air < 0.4 else 0.015):
            self.box.loose = 1.0
            self.write(day, 2, "fluff")

    def feed(self, day: int, times: float) -> None:
        """What the kitchen has, about what they say a kilogram of worms eats; the worms' number is as first bought."""
        rng, ways = self.rng, self.ways
        week = 3.5 * ways.fills * self.portion_of * min(1.0, 0.3 + day / 40.0)
        kg = times * week / len(self.feed_days) * math.exp(rng.gauss(0.0, 0.25))
        parts = {self.menu[0]: 0.7, rng.choice(self.menu[1:]): 0.3}
        if isinstance(self.box, Stages):
            self.box.next_place()
        told = rng.random() >= ways.forgets or times > 1.0
        self.last_fed = []
        for food, share in parts.items():
            self.last_fed.append(self.box.feed(food, kg * share))
            self.fed_kg += kg * share
            if told:
                said = kg * share * ways.said * math.exp(rng.gauss(0.0, 0.07))
                self.write(day, 3, "feeding", material=food, amount=self.amount(said, ways.coarse), unit="g")
        if rng.random() < ways.bedding_often:
            self.put_bedding(day, 0.3 * self.box.area_m2)

    portion_of: float = 0.5
    """kg of worms that the keeper takes there to be."""

    def put_bedding(self, day: int, kg: float) -> None:
        """Dry bedding."""
        self.box.bed(self.bedding, kg)
        said = kg * self.ways.said * math.exp(self.rng.gauss(0.0, 0.08))
        self.write(day, 11, "bedding", material=self.bedding, amount=self.amount(said, 50), unit="g")

    def pour(self, day: int, kg: float) -> None:
        """Water, written mostly."""
        self.box.pour(kg)
        if self.rng.random() >= self.ways.forgets:
            told = max(0.25, round(4 * kg * math.exp(self.rng.gauss(0.0, 0.08))) / 4)
            self.write(day, 12, "watering", amount=number(told, 2), unit="L")

    def survey(self, day: int) -> None:
        """Four small samples of a clumped herd."""
        mean = self.box.worms_kg * 0.0225 / self.box.area_m2
        for _ in range(4):
            grams = max(1, round(1000 * mean * self.rng.gammavariate(2.2, 1 / 2.2)))
            self.write(day, 5, "survey", material="sample 225 cm2", amount=str(grams), unit="g")

    def harvest(self, day: int) -> None:
        """Sort the castings out some weeks after they are ready, and make a new bed."""
        self.due_for = self.due_for + 1 if self.box.castings_share >= DUE_SHARE else 0
        if self.due_for <= self.ways.patience or day in self.silent:
            return
        wet, moisture = self.box.harvest(0.85)
        self.harvested.append(self.first + timedelta(days=day))
        told = {"moisture_pct": number(round(100 * moisture), 0)} if self.rng.random() < 0.4 else {}
        self.write(day, 13, "harvest", amount=number(wet * self.rng.gauss(1.0, 0.02), 1), unit="kg", **told)
        self.put_bedding(day, 4.0 * self.box.area_m2)
        self.pour(day, 11.0 * self.box.area_m2)

    def amount(self, kg: float, step: int) -> str:
        """Grams, rounded as this kitchen does, never to nothing."""
        return str(max(step // 5, round(1000 * kg / step) * step))

    def write(self, day: int, minute: int, kind: str, **cells: str) -> None:
        """One line, unless the log is silent."""
        if day not in self.silent:
            when = moment(self.first + timedelta(days=day), minutes_on(HOUR, minute))
            self.rows.append(line(when, self.key, kind, by="Kim", **cells))


def spread(rng: Random, sd: float, low: float = 0.45, high: float = 2.2) -> float:
    """A factor about 1, within bounds."""
    return max(low, min(high, math.exp(rng.gauss(0.0, sd))))


def family_bin(family: str, seed: int, bin_: int, *, days: int = DAYS, silent: bool | None = None) -> MadeBin:
    """The ``bin_``-th bin of a family and seed; gappy keepers fall silent, and all do where ``silent``."""
    key = f"{family.replace(' ', '-')}-{bin_}"
    rng = Random(f"{family}/{seed}/{bin_}")
    kind = list(Kind)[bin_ % len(Kind)]
    ways = Ways.drawn(rng, kind)
    size = rng.choice(((50, 36, 30), (60, 40, 35), (55, 45, 35), (80, 60, 40)))
    area, cover = size[0] * size[1] / 1e4, rng.choice(("loose", "loose", "closed", "open"))
    own = Own(
        pace=spread(rng, 0.3), bedding=spread(rng, 0.4), drying=spread(rng, 0.4), appetite=spread(rng, 0.3),
        growth=spread(rng, 0.3), room=spread(rng, 0.25, 0.6, 1.6), keeps=spread(rng, 0.15, 0.75, 1.3),
    )  # fmt: skip
    usual_c, swing_c = rng.uniform(15.0, 23.0), rng.uniform(0.5, 5.0)
    box = FAMILIES[family](area, size[2] / 100, rng.random() < 0.5, EVAPORATES[cover], own, usual_c)
    first = date(2025, 1, 6) + timedelta(days=rng.randrange(365))
    gap = silent if silent is not None else kind is Kind.GAPPY
    keeper = Keeper(
        box, ways, rng, key, first, rng.choice(((0, 3), (2, 6), (1, 4, 6), (5,))), rng.choice(MENUS),
        rng.choice(("shredded-cardboard", "shredded-cardboard", "newspaper", "egg-cartons", "dry-leaves")),
        _mishaps(rng, days),
        range(SILENT_FROM, SILENT_FROM + SILENT_DAYS) if gap else range(0),
        list(Silence)[bin_ // len(Kind) % len(Silence)],
    )  # fmt: skip
    keeper.portion_of = area * rng.uniform(1.2, 2.4)
    keeper.set_up(area * rng.uniform(3.5, 6.0), keeper.portion_of)
    truths, pile, stray, mood = [], Pile(), 0.0, 1.0
    for day in range(days):
        on = first + timedelta(days=day)
        stray = 0.8 * stray + rng.gauss(0.0, 0.5)
        mood = math.exp(rng.gauss(0.0, 0.25)) if day % 7 == 0 else mood
        room = usual_c + swing_c * math.cos(2 * math.pi * (on.timetuple().tm_yday - 207) / 365.25) + stray
        box.live(room, mood)
        if day:
            keeper.evening(day)
        truths.append(_truth(on, box, pile, keeper.fed_kg))
    wrong = math.sqrt(rng.choice((0.7, 1.3))) if kind is Kind.ONE_SIDED else 1.0
    record = {
        "bin": key, "name": key, "length_cm": number(size[0] * wrong, 0), "width_cm": number(size[1] * wrong, 0),
        "depth_cm": str(size[2]), "compartments": "1", "drainage": "yes" if box.drains else "no", "cover": cover,
        "species": "eisenia", "site_temp_c": number(round(usual_c), 0), "method": "sort",
        "started": first.isoformat(), "keeper": "Kim",
    }  # fmt: skip
    rows = tuple(sorted(keeper.rows, key=lambda row: row["when"]))
    return MadeBin(record, rows, Truth(key, tuple(truths), own.pace, own.drying, tuple(keeper.harvested)))


def _mishaps(rng: Random, days: int) -> dict[int, str]:
    """One or two parties, a spill in one of three, a survey or a weighing in one of four each."""
    found = {}
    for what, chance in (("party", 1.0), ("party", 0.5), ("spill", 0.33), ("survey", 0.25), ("weigh", 0.25)):
        if rng.random() < chance:
            found[rng.randint(25, max(26, days - 25))] = what
    return found


def _truth(on: date, box: Box, pile: Pile, fed_kg: float) -> DayTruth:
    waiting = box.waiting_kg
    waits = waiting / max(box.can_kg_day, box.worked_kg_day, 1e-9) if waiting > 0.02 else 0.0
    return DayTruth(
        on=on, moisture=box.moisture, feed_waiting_kg=waiting, waiting_days=waits, castings_share=box.castings_share,
        castings_dry_kg=box.castings_kg, worms_kg=box.worms_kg, dry_kg=box.dry_kg,
        total_kg=box.dry_kg + box.water_kg + box.worms_kg, contents_m=box.contents_m, temp_c=box.temp_c, air=box.air,
        standing_m=box.standing_kg / 1000 / box.area_m2, worked_kg_day=box.worked_kg_day, fed_kg=fed_kg,
        rate=box.own.pace, piling_up=pile.day(waits, waiting / box.area_m2),
    )  # fmt: skip
