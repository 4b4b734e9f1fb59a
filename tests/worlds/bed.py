"""A made-up bin from the inside: feed in cohorts with delays, a feeding zone over a finished zone, water, air, heat.

Each thing put in is a cohort of its own, and goes by a gamma-shaped delay: for a while nearly nothing happens to it,
then it goes quickly. How fast its clock runs depends on warmth, air and on how many worms have come up to feed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tests.worlds.herd import Herd, ease, zest
from tests.worlds.larder import LARDER, TEMPERS, Sort, Stuff, Temper
from tests.worlds.weather import Air

STEP_DAYS = 0.5
EVAPORATES = {"open": 1.35, "loose": 0.47, "closed": 0.20}
CASTINGS_HOLD, FIBRE_HOLDS = 4.2, (2.8, 4.8)


@dataclass(slots=True)
class Cohort:
    """One thing put in at one time: its fresh and dry kg as it came, and the age its own clock shows (worked days)."""

    material: str
    stuff: Stuff
    fresh_kg: float
    dry_kg: float
    age: float = 0.0
    share: float = 1.0
    temper: Temper = field(init=False)
    waits: bool = field(init=False)
    heaps: bool = field(init=False)
    fibrous: bool = field(init=False)

    def __post_init__(self) -> None:
        self.temper = TEMPERS[self.stuff.sort]
        self.waits, self.heaps = self.stuff.waits, self.stuff.heaps
        self.fibrous = self.stuff.sort in (Sort.FIBRE, Sort.WOODY)

    def older(self, worked_days: float) -> float:
        """Let its clock run; returns the dry kg that went (Erlang survival, shape ``stages``)."""
        before = self.share
        self.age += worked_days
        turn = self.temper.stages * self.age / self.temper.days
        term, total = 1.0, 1.0
        for stage in range(1, self.temper.stages):
            term *= turn / stage
            total += term
        self.share = min(before, math.exp(-turn) * total)
        return self.dry_kg * (before - self.share)


@dataclass(slots=True)
class Bed:
    """Everything in one bin; kg, litres, m2, degC. ``rate`` and ``drying`` are this bin's own against the usual."""

    area_m2: float
    depth_m: float
    drains: bool
    cover: str
    rate: float = 1.0
    drying: float = 1.0
    herd: Herd = field(default_factory=Herd)
    cohorts: list[Cohort] = field(default_factory=list)
    castings_up_kg: float = 0.0
    castings_down_kg: float = 0.0
    water_up_kg: float = 0.0
    water_down_kg: float = 0.0
    standing_kg: float = 0.0
    temp_c: float = 18.0
    air: float = 1.0
    loose: float = 0.0
    settled: float = 0.0
    worked_kg_day: float = 0.0
    burned_kg_day: float = 0.0
    ran_out_kg: float = 0.0
    burned_kg: float = 0.0

    # -- what is done to it ------------------------------------------------------------------------------------------

    def put(self, material: str, kg: float) -> None:
        """Put fresh ``kg`` of a material on top; beddings give their water to the bed, feed keeps it in its cells."""
        stuff = LARDER[material]
        self.cohorts.append(Cohort(material, stuff, kg, kg * (1.0 - stuff.moisture)))
        if not stuff.waits:
            self.water_up_kg += kg * stuff.moisture

    def pour(self, kg: float) -> None:
        """Water it."""
        self.water_up_kg += kg

    def tip_out(self, kg: float) -> float:
        """Tip out up to ``kg`` of standing water; returns what came."""
        got = min(kg, self.standing_kg)
        self.standing_kg -= got
        return got

    def fluff(self) -> None:
        """Lift and loosen."""
        self.loose = 1.0

    def take_castings(self, share: float) -> tuple[float, float]:
        """Sort out ``share`` of the castings with their water and a little fibre; returns wet kg and moisture."""
        castings = share * self.castings_kg
        if castings <= 0.0:
            return 0.0, 0.0
        held = max(self.castings_kg, 1e-9)
        water = min(castings * 2.9, share * (self.water_down_kg + self.water_up_kg * self.castings_up_kg / held))
        fibre = 0.0
        for cohort in self.cohorts:
            if cohort.stuff.sort in (Sort.FIBRE, Sort.MINERAL) and cohort.share < 0.75:
                fibre += 0.10 * share * cohort.dry_kg * cohort.share
                cohort.dry_kg *= 1.0 - 0.10 * share
                cohort.fresh_kg *= 1.0 - 0.10 * share
        self.castings_up_kg *= 1.0 - share
        self.castings_down_kg *= 1.0 - share
        below = min(self.water_down_kg, water)
        self.water_down_kg -= below
        self.water_up_kg -= min(self.water_up_kg, water - below)
        self.herd.add(-0.04 * self.herd.kg)
        wet = castings + fibre + water
        return wet, water / wet

    # -- what it is --------------------------------------------------------------------------------------------------

    @property
    def castings_kg(self) -> float:
        """Castings, dry kg."""
        return self.castings_up_kg + self.castings_down_kg

    @property
    def dry_kg(self) -> float:
        """All dry matter but the worms, kg."""
        return self.castings_kg + sum(each.dry_kg * each.share for each in self.cohorts)

    @property
    def cell_water_kg(self) -> float:
        """Water still inside whole feed, kg."""
        return sum((each.fresh_kg - each.dry_kg) * each.share for each in self.cohorts if each.waits)

    @property
    def water_kg(self) -> float:
        """All water but the worms' own, kg."""
        return self.water_up_kg + self.water_down_kg + self.standing_kg + self.cell_water_kg

    @property
    def moisture(self) -> float:
        """Moisture of the whole contents, fraction wet basis."""
        total = self.water_kg + self.dry_kg
        return self.water_kg / total if total > 0 else 0.0

    @property
    def moisture_on_top(self) -> float:
        """Moisture of a handful of the feeding zone, as a keeper would squeeze it: bedding and castings, no peels."""
        dry = self.castings_up_kg + sum(e.dry_kg * e.share for e in self.cohorts if not e.waits)
        return self.water_up_kg / (self.water_up_kg + dry) if dry > 0 else 0.0

    @property
    def castings_share(self) -> float:
        """Castings as a share of all dry matter."""
        return self.castings_kg / self.dry_kg if self.dry_kg > 0 else 0.0

    @property
    def feed_waiting_kg(self) -> float:
        """Feed that has not been worked yet, as the fresh mass it came in as."""
        return sum(each.fresh_kg * each.share for each in self.cohorts if each.waits)

    @property
    def could_work_kg_day(self) -> float:
        """Fresh feed a day that would hold this much waiting for ever: the working power of the day."""
        power = 0.0
        graze, rot, choke = self._graze(), self._rot(), self._choke()
        for each in self.cohorts:
            if each.waits:
                power += each.fresh_kg * each.share * self._pace(each, graze, rot, choke) / each.temper.days
        return power

    @property
    def total_kg(self) -> float:
        """All that the scale would show without the box: contents and worms."""
        return self.dry_kg + self.water_kg + self.herd.kg

    @property
    def contents_m(self) -> float:
        """Height of the contents, m."""
        return (self._litres_up() + self._litres_down()) / 1000.0 / self.area_m2

    # -- one step ----------------------------------------------------------------------------------------------------

    def step(self, outside: Air, lid_open: float = 0.0) -> None:
        """Live half a day in this air; ``lid_open`` (0-1) is how far somebody left it open."""
        self._warm(outside)
        self._breathe()
        self.settled = min(1.0, self.settled + STEP_DAYS / 24.0)
        food = self._food_dry_kg()
        self.herd.wander(STEP_DAYS, food, min(zest(self.temp_c) + 0.2, 1.0) * (0.4 + 0.6 * self.air))
        went, kept, fed_kg = self._work()
        hungry = 0.038 * self.herd.appetite_kg
        fed = min(1.0, fed_kg / hungry) if hungry > 0 else 0.0
        room = min(6.2 * self.area_m2, 0.09 * (self.dry_kg + self.water_kg) + 0.1)
        gain = self.herd.live(
            STEP_DAYS, fed=fed, room_kg=room, temp_c=self.temp_c, moisture=self.moisture, air=0.3 + 0.7 * self.air
        )
        tissue = min(0.18 * max(0.0, gain), 0.8 * (went - kept))
        burned = went - kept - tissue
        self.castings_up_kg += kept + 0.10 * max(0.0, -gain)
        fade = 0.0008 * STEP_DAYS * 1.8 ** ((self.temp_c - 20.0) / 10.0)
        burned += fade * self.castings_kg
        self.castings_up_kg *= 1.0 - fade
        self.castings_down_kg *= 1.0 - fade
        self.burned_kg_day = burned / STEP_DAYS
        self.burned_kg += burned
        self._sink()
        self._run_water(outside, lid_open, 0.55 * burned)
        self.loose = max(0.0, self.loose - STEP_DAYS / 6.0)
        self.cohorts = [each for each in self.cohorts if each.share > 0.004]

    def _work(self) -> tuple[float, float, float]:
        """Let every cohort's clock run; returns dry kg gone, kept as castings, and eaten per day by worms."""
        graze, rot, choke = self._graze(), self._rot(), self._choke()
        went = kept = eaten = fresh = 0.0
        for each in self.cohorts:
            cells = (each.fresh_kg - each.dry_kg) * each.share
            pace = self._pace(each, graze, rot, choke)
            gone = each.older(pace * STEP_DAYS)
            went += gone
            kept += each.temper.kept * gone
            bite = self.rate * 2.0 * graze * each.temper.taste
            eaten += gone / STEP_DAYS * (bite / pace if pace > 0 else 0.0)
            if each.waits:
                self.water_up_kg += cells - (each.fresh_kg - each.dry_kg) * each.share
                fresh += each.fresh_kg * gone / max(each.dry_kg, 1e-9)
        rest = max(0.0, went / STEP_DAYS - eaten)
        self.worked_kg_day = fresh / STEP_DAYS
        return went, kept, eaten + 0.35 * rest

    def _pace(self, cohort: Cohort, graze: float, rot: float, choke: float) -> float:
        """Worked days that pass a day for this cohort's clock."""
        temper = cohort.temper
        rotting, grazing = temper.rot * rot, 2.0 * graze * temper.taste
        if cohort.stuff.rich:
            # Rich feed heats up by itself, and the more of it lies together the better it does.
            return self.rate * (1.8 * rotting + grazing * (choke if cohort.heaps else 1.0))
        return self.rate * (rotting + grazing) * (choke if cohort.heaps else 1.0)

    def _rot(self) -> float:
        """How lively the microbes are: 1.0 at 22 C with water and air enough."""
        warmth = 2.1 ** ((min(self.temp_c, 42.0) - 22.0) / 10.0)
        damp = min(1.0, max(0.05, (self.moisture - 0.35) / 0.3))
        return float(warmth * damp * (0.4 + 0.6 * self.air))

    def _choke(self) -> float:
        """How a thick layer of feed holds itself up, the more so when it is sour: 1.0 thin, 0.36 in a heap."""
        heap = [each for each in self.cohorts if each.heaps]
        waiting = sum(each.fresh_kg * each.share for each in heap)
        if waiting <= 0.0:
            return 1.0
        sour = sum(each.fresh_kg * each.share for each in heap if each.stuff.sour)
        thick_m = waiting / (600.0 * self.area_m2)
        floor = 0.36 + 0.3 * self.loose
        return floor + (1.0 - floor) / (1.0 + (thick_m / 0.03) ** 2 * (1.0 + 0.8 * sour / waiting))

    def _graze(self) -> float:
        """Turns of the food a day that the worms which came up could make; flattens when food is scarce."""
        herd = self.herd
        settled = 0.35 + 0.65 * self.settled
        can = 0.105 * herd.appetite_kg * herd.up * zest(self.temp_c) * ease(self.moisture_on_top) * settled
        can *= 0.25 + 0.75 * self.air
        return can / (self._food_dry_kg() + 1.3 * can + 1e-9)

    def _food_dry_kg(self) -> float:
        """Dry kg that draws worms up: feed by taste, and a trace of softened fibre."""
        food = 0.0
        for each in self.cohorts:
            weight = each.temper.taste if each.waits else 0.03 * each.temper.taste
            food += weight * each.dry_kg * each.share
        return food

    def _warm(self, outside: Air) -> None:
        """Follow the air slowly, lifted by what is burned (about 17 MJ a dry kg) against a leaky skin."""
        skin = self.area_m2 + 4.0 * math.sqrt(self.area_m2) * max(0.15, self.contents_m)
        lift = self.burned_kg_day * 17e6 / 86400.0 / (3.4 * skin)
        inertia = min(1.0, STEP_DAYS / (0.5 + 0.02 * (self.dry_kg + self.water_kg)))
        self.temp_c += (outside.temp_c - 0.4 + lift - self.temp_c) * inertia

    def _breathe(self) -> None:
        """Oxygen at the foot of the feeding zone against the open air, 0-1 (pores after Millington and Quirk)."""
        litres = max(self._litres_up(), 1e-6)
        solid = (self.castings_up_kg + sum(e.dry_kg * e.share for e in self.cohorts)) / 1.55
        full = min(0.98, (solid + self.water_up_kg + self.cell_water_kg) / litres)
        pores = 1.0 - solid / litres
        spread = 2.0e-5 * max(0.02, 1.0 - full) ** (10.0 / 3.0) / pores**2 + 1.2e-8 * (1.0 + 4.0 * self.loose)
        height = litres / 1000.0 / self.area_m2
        use = 1.2 * self.burned_kg_day / (self.area_m2 * height) / 86400.0
        foot = 0.28 - use * height**2 / (2.0 * spread)
        drowned = min(1.0, self.standing_kg / (self.area_m2 * 1000.0) / 0.03)
        aim = max(0.0, min(1.0, foot / 0.20)) * (1.0 - 0.55 * drowned)
        self.air += (aim - self.air) * 0.6

    def _sink(self) -> None:
        """What is finished sinks from the feeding zone into the finished one."""
        down = 0.045 * STEP_DAYS * self.castings_up_kg
        dry = self.castings_up_kg + sum(e.dry_kg * e.share for e in self.cohorts if not e.waits)
        water = self.water_up_kg * down / dry if dry > 0 else 0.0
        self.castings_up_kg -= down
        self.castings_down_kg += down
        self.water_up_kg -= water
        self.water_down_kg += water

    def _run_water(self, outside: Air, lid_open: float, made_kg: float) -> None:
        """Evaporate, seep, wick and drain."""
        self.water_up_kg += made_kg
        hold_up, hold_down = self._holds_up(), CASTINGS_HOLD * self.castings_down_kg + 1e-9
        wet = min(1.05, self.water_up_kg / max(hold_up, 1e-9))
        flow = EVAPORATES[self.cover] + lid_open * 1.2
        flow *= self.drying * outside.thirst * math.exp(0.045 * (self.temp_c - outside.temp_c))
        lost = min(0.5 * self.water_up_kg, self.area_m2 * flow * wet**1.3 * STEP_DAYS)
        self.water_up_kg -= lost
        seep = max(0.0, self.water_up_kg - hold_up) * 1.4 * STEP_DAYS
        even = 0.16 * STEP_DAYS * (self.water_up_kg / max(hold_up, 1e-9) - self.water_down_kg / hold_down)
        even *= min(hold_up, hold_down)
        self.water_up_kg -= seep + even
        self.water_down_kg += seep + even
        spill = max(0.0, self.water_down_kg - hold_down) * 1.4 * STEP_DAYS
        self.water_down_kg -= spill
        self.standing_kg += spill
        if self.drains:
            out = self.standing_kg * 0.85
            self.standing_kg -= out
            self.ran_out_kg += out
        else:
            back = min(self.standing_kg, 0.10 * STEP_DAYS * max(0.0, hold_down - self.water_down_kg))
            self.standing_kg -= back
            self.water_down_kg += back

    def _holds_up(self) -> float:
        """Water that the feeding zone can hold, kg; fibre holds more as it softens."""
        low, high = FIBRE_HOLDS
        held = CASTINGS_HOLD * self.castings_up_kg
        for each in self.cohorts:
            if each.fibrous:
                held += (low + (high - low) * min(1.0, each.age / 12.0)) * each.dry_kg * each.share
            elif each.waits:
                held += 1.0 * each.dry_kg * each.share
        return held

    def _litres_up(self) -> float:
        """Litres of the feeding zone: fibre slumps as it ages, peels sit half in its pores."""
        litres = 6.4 * self.castings_up_kg * (1.0 + 0.12 * self.loose)
        solid = self.castings_up_kg / 1.55
        for each in self.cohorts:
            left = each.dry_kg * each.share
            solid += left / 1.55
            if each.fibrous:
                litres += left * (8.5 + 8.5 * math.exp(-each.age / 14.0)) * (1.0 + 0.18 * self.loose)
            elif each.waits:
                litres += each.fresh_kg * each.share * 1.25
            else:
                litres += left
        return max(litres, 1.03 * (solid + self.water_up_kg + self.cell_water_kg), 0.5)

    def _litres_down(self) -> float:
        """Litres of the finished zone, with any water that stands at the base."""
        packed = self.castings_down_kg * 6.0
        return max(packed, self.castings_down_kg / 1.55 + self.water_down_kg + self.standing_kg)
