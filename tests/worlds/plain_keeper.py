"""A keeper of a plain made-up bin: looks every few days, reads honestly with a person's errors, keeps it well.

Well-kept bins stay within what is fine the whole time. A bin with a mishap is as well kept until the mishap; then its
keeper only goes on reading (daily after an odd reading) and mends nothing, so that what is told can be held against it.
Spreads are standard deviations; a reading given as "plus or minus" holds eight times in ten.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from tests.worlds.logbook import Row, line, minutes_on, moment, number, said
from tests.worlds.plain_bin import Batch, PlainBed
from tests.worlds.plain_story import IS_SO, LASTS, MISHAP_DAY, Mishap, PlainStory, is_odd

EIGHT_IN_TEN = 1.2816
METER_SD, LEFT_SD, TEMP_SD, HANDFUL_SD, PH_SD = 0.10 / EIGHT_IN_TEN, 0.15 / EIGHT_IN_TEN, 0.8, 0.035, 0.25
HOUR = "18:10"
BOARD, BOARD_MOISTURE = "shredded-cardboard", 0.08


@dataclass(frozen=True, slots=True)
class PlainDay:
    """The truth at the end of one day; ``slip`` is the farthest that a reading of the day was off, in its spreads."""

    on: date
    moisture: float
    temp_c: float
    ph: float
    waiting_days: float
    waiting_kg_m2: float
    worms_kg_m2: float
    castings_share: float
    full: float
    slip: float
    trouble: bool
    odd: bool


@dataclass(slots=True)
class PlainKeeper:
    """Lives a story through."""

    story: PlainStory
    rng: Random
    bed: PlainBed
    rows: list[Row] = field(default_factory=list)
    next_look: int = 2
    fed_on: int = -9
    last_fed: list[Batch] = field(default_factory=list)
    due_for: int = 0
    slip: float = 0.0
    odd: bool = False

    def set_up(self) -> None:
        """Bedding soaked to what is aimed at, and worms."""
        story, day = self.story, self.story.first
        self.board(day, 5.0 * story.area_m2)
        self.water(day, self.bed.dry_kg * story.aim / (1.0 - story.aim) - self.bed.water_kg)
        self.write(day, 20, "stocking", amount=said(self.bed.worms_kg, "g"), unit="g")

    def day(self, ahead: int, day: date) -> None:
        """One evening: look when it is time, mend, feed what is eaten, harvest."""
        story, bed, rng = self.story, self.bed, self.rng
        since = ahead - MISHAP_DAY if story.mishap is not None else -1
        going = since >= 0
        self.slip, self.odd = 0.0, False
        if ahead >= self.next_look:
            self.look(ahead, day)
            self.next_look = ahead + (
                rng.choice((1, 1, 1, 2) if self.odd else (1, 2, 3)) if going else rng.choice((2, 3, 4))
            )
        if not (going and story.mishap in (Mishap.WET, Mishap.DRY)):
            self.mend(day)
        mishap = story.mishap if going and since < LASTS[story.mishap or Mishap.WET] else None
        if mishap is Mishap.WET:
            wanted = bed.dry_kg * 0.9 / 0.1 - bed.water_kg
            self.water(day, max(0.0, wanted) / (3 - since), written=story.written)
        if day.weekday() in story.feed_days:
            self.feed(ahead, day, mishap)
        if mishap is None:
            self.harvest(day)

    def look(self, ahead: int, day: date) -> None:
        """Read some of it and write it down."""
        story, bed, rng = self.story, self.bed, self.rng
        cells: dict[str, str] = {}
        if rng.random() < 0.92:
            felt = bed.moisture + story.hand + self.err(HANDFUL_SD)
            cells["squeeze"] = (
                "dry" if felt < 0.61 else "damp" if felt < 0.735 else "sponge" if felt < 0.84 else "dripping"
            )
        if rng.random() < story.meter:
            cells["moisture_pct"] = number(100 * min(0.99, bed.moisture + self.err(METER_SD)), 0)
            cells["moisture_by"] = "meter"
        if self.last_fed and rng.random() < 0.8:
            seen = self.left + self.err(LEFT_SD)
            cells["left_pct"] = number(max(0, min(100, story.left_step * round(100 * seen / story.left_step))), 0)
        if rng.random() < story.thermometer:
            cells["temp_c"] = number(round(bed.temp_c + self.err(TEMP_SD)), 0)
        if rng.random() < story.strip:
            cells["ph"] = number(round(2 * (bed.ph + self.err(PH_SD))) / 2, 1)
        if rng.random() < 0.05:
            cells["contents_cm"] = number(100 * bed.contents_m + rng.gauss(0.0, 1.0), 0)
        if rng.random() < 0.4:
            cells["smell"] = "sour" if bed.ph < 5.7 else "rotten" if bed.moisture > 0.885 else "earthy"
        if cells:
            self.write(day, 0, "check", **cells)
        if story.mishap is not None and IS_SO[story.mishap](bed):
            self.odd = is_odd(story.mishap, cells, ahead - self.fed_on)

    @property
    def left(self) -> float:
        """Share of the last feeding that is still there."""
        return sum(each.fresh_kg * each.left for each in self.last_fed) / sum(each.fresh_kg for each in self.last_fed)

    def err(self, spread: float) -> float:
        """A person's error; the farthest of the day is remembered."""
        off = self.rng.gauss(0.0, 1.0)
        self.slip = max(self.slip, abs(off))
        return off * spread

    def mend(self, day: date) -> None:
        """Board into the wet, water onto the dry, judged by several handfuls."""
        felt = self.bed.moisture + self.rng.gauss(0.0, 0.008)
        if felt > self.story.aim + 0.03:
            self.board(day, 0.30 * self.story.area_m2)
        elif felt < self.story.aim - 0.035:
            wanted = self.bed.dry_kg * self.story.aim / (1.0 - self.story.aim) - self.bed.water_kg
            self.water(day, max(0.1, wanted))

    def feed(self, ahead: int, day: date, mishap: Mishap | None) -> None:
        """What will be eaten by the next feeding, when the last is eaten, as the kitchen has it."""
        story, bed, rng = self.story, self.bed, self.rng
        over = mishap is Mishap.OVERFED
        if self.last_fed and self.left > 1.0 / 3.0 and not over:
            return
        can = story.takes * bed.worms_kg
        kg = (
            story.fills
            * can
            * 7.0
            / len(story.feed_days)
            * min(1.0, 0.35 + 0.65 * ahead / 28.0)
            * rng.uniform(0.7, 1.2)
        )
        main, beside = story.menu[0], rng.choice(story.menu[1:])
        menu = {"orange-peel": 1.0} if mishap is Mishap.ACID else {main: 0.7, beside: 0.3}
        self.fed_on, self.last_fed = ahead, []
        for food, share in menu.items():
            part = kg * share * (3.0 if over else 1.0)
            self.last_fed.append(bed.put(food, part))
            told = food if story.written else "vegetable-scraps" if food == "orange-peel" else food
            self.write(day, 3, "feeding", material=told, amount=said(part * rng.gauss(1.0, 0.05), "g"), unit="g")

    def harvest(self, day: date) -> None:
        """Take the castings some days after they are ready, and make a new bed."""
        self.due_for = self.due_for + 1 if self.bed.castings_share >= 0.80 else 0
        if self.due_for < 8 or day.weekday() != 5:
            return
        self.write(day, 10, "harvest", amount=said(self.bed.harvest(0.85), "kg"), unit="kg")
        self.board(day, 3.8 * self.story.area_m2)
        self.water(day, self.bed.dry_kg * self.story.aim / (1.0 - self.story.aim) - self.bed.water_kg)

    def board(self, day: date, kg: float) -> None:
        """Dry shredded board."""
        self.bed.bedding_kg += kg * (1.0 - BOARD_MOISTURE)
        self.bed.water_kg += kg * BOARD_MOISTURE
        self.write(day, 11, "bedding", material=BOARD, amount=said(kg, "g"), unit="g")

    def water(self, day: date, kg: float, *, written: bool = True) -> None:
        """Water it."""
        self.bed.water_kg += kg
        if written and kg > 0:
            self.write(day, 12, "watering", amount=said(kg, "mL" if kg < 2 else "L"), unit="mL" if kg < 2 else "L")

    def write(self, day: date, minute: int, kind: str, **cells: str) -> None:
        """One line of the log."""
        self.rows.append(line(moment(day, minutes_on(HOUR, minute)), self.story.key, kind, by="Kim", **cells))


@dataclass(frozen=True, slots=True)
class PlainBin:
    """A made-up bin: its row of ``bins.csv``, its rows of ``log.csv``, and the truth day by day."""

    story: PlainStory
    record: Row
    rows: tuple[Row, ...]
    days: tuple[PlainDay, ...]


def plain_bin(story: PlainStory, seed: int) -> PlainBin:
    """Live a story through: the same seed gives the same bin, to the letter."""
    rng, area = Random(f"plain/{seed}/{story.key}/{story.mishap}"), story.area_m2
    bed = PlainBed(
        area, story.drains, story.takes, story.dries, story.holds_kg_m2 * area, story.worms_kg_m2 * area, story.room_c
    )
    keeper = PlainKeeper(story, rng, bed)
    keeper.set_up()
    stray, mood, days = 0.0, 1.0, []
    for ahead in range(story.days):
        day = story.first + timedelta(days=ahead)
        stray = 0.8 * stray + rng.gauss(0.0, 0.4)
        if ahead % 7 == 0:
            mood = math.exp(rng.gauss(0.0, 0.3))
        room = story.room_c + 1.5 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 207) / 365.25) + stray
        lid, since = 1.0, ahead - MISHAP_DAY
        if story.mishap is not None and 0 <= since < LASTS[story.mishap]:
            room = {Mishap.HOT: 34.5, Mishap.COLD: 2.0, Mishap.DRY: room + 4.0}.get(story.mishap, room)
            lid = 5.0 if story.mishap is Mishap.DRY else 1.0
        if ahead:
            bed.day(room, mood, lid)
            keeper.day(ahead, day)
        trouble = story.mishap is not None and since >= 0 and IS_SO[story.mishap](bed)
        days.append(
            PlainDay(
                day, bed.moisture, bed.temp_c, bed.ph, bed.waiting_days, bed.waiting_kg / area, bed.worms_kg / area,
                bed.castings_share, 100 * bed.contents_m / story.size_cm[2], keeper.slip, trouble, keeper.odd,
            )
        )  # fmt: skip
    record = {
        "bin": story.key, "name": f"Plain {story.key[6:]}", "length_cm": str(story.size_cm[0]),
        "width_cm": str(story.size_cm[1]), "depth_cm": str(story.size_cm[2]), "compartments": "1",
        "drainage": "yes" if story.drains else "no", "cover": "loose", "species": "eisenia",
        "site_temp_c": number(story.room_c, 1), "method": "sort", "started": story.first.isoformat(), "keeper": "Kim",
    }  # fmt: skip
    return PlainBin(story, record, tuple(sorted(keeper.rows, key=lambda row: row["when"])), tuple(days))
