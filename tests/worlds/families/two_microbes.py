"""Family two: two microbial pools, one on what is quickly had and one on fibre, and casts that go on breathing.

What is quick lies shut in cells until it breaks up, which worms hasten; bacteria then take it after Monod, fungi take
the rest and the bedding. Worms eat all of these mixed and gain by little of it. Fresh casts breathe half a percent a
day and pass in some weeks into old ones at a tenth of that (after the breath of year-old vermicompost, and layers that
need half a year to quieten). Water in cells and water in the matrix; drying that levels off when wet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tests.worlds.families.box import WORM_DRY, Box, Lot
from tests.worlds.families.larder import BEDDINGS, FOODS

STEP = 0.25
BREAKS_ALONE, BREAKS_BY_WORMS = 1 / 48.0, 1 / 1.5
TAKES_UP, YIELD, DIES = 1.3, 0.36, 0.16
FIBRE_PACE, FIBRE_YIELD, FIBRE_DIES = 0.0075, 0.30, 0.02
EATS, HALF_KG_KG, GAINS = 0.16, 0.08, 0.13
LIKES_FIBRE = 0.012
UPKEEP, ROOM_KG_M2 = 0.0075, 4.2
FRESH_BREATHES, AGES, OLD_BREATHES = 0.0055, 1 / 45.0, 0.0006
HOLDS_FIBRE, HOLDS_CASTS = 4.2, 3.2


def warmth(temp_c: float) -> float:
    """Arrhenius with 55 kJ a mol from 1 at 22 C, falling away above 32."""
    rise = math.exp(55_000.0 / 8.314 * (1 / 295.15 - 1 / (273.15 + temp_c)))
    return rise / (1.0 + math.exp((temp_c - 36.0) / 1.5))


@dataclass(slots=True)
class Meal(Lot):
    """A lot: organic shut in its cells and set free, quick and slow, its ash, the water in its cells (kg)."""

    shut: float = 0.0
    quick: float = 0.0
    slow: float = 0.0
    ash: float = 0.0
    cells: float = 0.0
    lag: float = 1.0
    of_quick: float = 0.6
    first: float = 1.0
    age: float = 0.0

    @property
    def organic(self) -> float:
        """All that is left of it but ash."""
        return self.shut + self.quick + self.slow


@dataclass
class TwoMicrobes(Box):
    """All of it in one well-stirred bed."""

    lots: list[Meal] = field(default_factory=list)
    fibre: list[list[float]] = field(default_factory=list)
    """Bedding: organic kg, ash kg, pace, wetted days."""
    bacteria: float = 0.004
    fungi: float = 0.006
    fresh_casts: float = 0.0
    old_casts: float = 0.0
    cast_ash: float = 0.0
    herd_kg: float = 0.0
    matrix_kg: float = 0.0

    def __post_init__(self) -> None:
        self.put(self.bacteria + self.fungi, 0.0)

    def feed(self, food: str, kg: float) -> Meal:
        of = FOODS[food]
        dry = kg * (1 - of.water)
        organic = dry * (1 - of.ash)
        lot = Meal(kg, 1.0, organic, 0.0, 0.0, dry * of.ash, kg * of.water, 0.4 * of.span, of.quick, organic)
        self.lots.append(lot)
        self.put(dry, lot.cells)
        return lot

    def bed(self, bedding: str, kg: float) -> None:
        of = BEDDINGS[bedding]
        dry = kg * (1 - of.water)
        self.fibre.append([dry * (1 - of.ash), dry * of.ash, of.pace, 0.0])
        self.put(dry, kg * of.water)
        self.matrix_kg += kg * of.water

    def pour(self, kg: float) -> None:
        self.put(0.0, kg)
        self.matrix_kg += kg

    def stock(self, kg: float) -> None:
        self.put(WORM_DRY * kg, (1 - WORM_DRY) * kg)
        self.herd_kg += kg

    def harvest(self, share: float) -> tuple[float, float]:
        dry = share * self.castings_kg
        water = min(3.0 * dry, share * self.matrix_kg * self.castings_kg / self.dry_kg)
        for name in ("fresh_casts", "old_casts", "cast_ash"):
            setattr(self, name, getattr(self, name) * (1 - share))
        self.matrix_kg -= water
        self.books.dry_taken += dry
        self.books.water_taken += water
        return dry + water, water / (dry + water)

    def live(self, room_c: float, thirst: float) -> None:
        waited, before = self.waiting_kg, self.books.burned
        for _ in range(round(1 / STEP)):
            rate = STEP * warmth(self.temp_c) * self._wetness()
            self._break_up(rate)
            burned = self._microbes(rate * (0.15 + 0.85 * self.air)) + self._breathe(rate) + self._eat()
            self.matrix_kg += self.burn(burned)
            self._water(thirst)
        for lot in [each for each in self.lots if each.left <= 0.005]:
            self.old_casts += lot.organic
            self.cast_ash += lot.ash
            self.matrix_kg += lot.cells
            lot.left = 0.0
            self.lots.remove(lot)
        burned = self.books.burned - before
        self.worked_kg_day = waited - self.waiting_kg
        full = min(0.97, (self.matrix_kg + self.waiting_kg) / 1000 / (self.area_m2 * max(self.contents_m, 0.02)))
        supply = 0.9 * self.area_m2 * (1 - full) ** 1.5 * (1 + 0.6 * self.loose) + 1e-6
        drowned = min(1.0, self.standing_kg / self.area_m2 / 30.0)
        self.air += 0.5 * (max(0.0, 1 - 1.2 * burned / supply) * (1 - 0.6 * drowned) - self.air)
        self.warm(room_c, burned, 11.0)

    def _wetness(self) -> float:
        return 1 / (1 + math.exp(-(self.felt - 0.56) / 0.05))

    def _break_up(self, rate: float) -> None:
        """Cells open, the sooner the more worms there are to a m2; their water comes free."""
        dense = self.herd_kg / self.area_m2
        pace = self.own.pace * rate * (BREAKS_ALONE + BREAKS_BY_WORMS * dense / (dense + 1.4) * self.air)
        for lot in self.lots:
            lot.age += rate
            part = 1 - math.exp(-pace * (1 - math.exp(-lot.age / lot.lag)) * 2.0 / lot.lag)
            free = part * lot.shut
            lot.shut -= free
            lot.quick += lot.of_quick * free
            lot.slow += (1 - lot.of_quick) * free
            self.matrix_kg += part * lot.cells
            lot.cells *= 1 - part
        for layer in self.fibre:
            layer[3] += rate

    def _microbes(self, rate: float) -> float:
        """Bacteria on what is quick, fungi on what is slow; what dies is half burned, half humus. Returns burned."""
        quick = sum(each.quick for each in self.lots)
        thin = quick / max(self.dry_kg, 1e-9)
        taken = min(0.5 * quick, rate * TAKES_UP * self.bacteria * thin / (thin + 0.02))
        burned = (1 - YIELD) * taken
        self._draw("quick", taken, quick)
        self.bacteria += YIELD * taken
        slow = sum(each.slow for each in self.lots)
        ripe = [each[0] * each[2] * (1 - math.exp(-each[3] / 25.0)) for each in self.fibre]
        soft = 2.5 * slow + sum(ripe)
        dense = self.herd_kg / self.area_m2
        pull = rate * FIBRE_PACE * self.own.bedding * self.fungi / (self.fungi + 0.03 * soft + 1e-9)
        pull *= 1 + 0.8 * dense / (dense + 1.0)
        ate = self._draw("slow", 2.5 * pull * slow, slow)
        for layer, part in zip(self.fibre, ripe, strict=True):
            ate += self._wear(layer, pull * part)
        burned += (1 - FIBRE_YIELD) * ate
        self.fungi += FIBRE_YIELD * ate
        for name, pace in (("bacteria", DIES), ("fungi", FIBRE_DIES)):
            dead = (1 - math.exp(-rate * pace)) * (getattr(self, name) - 0.001)
            if dead > 0:
                setattr(self, name, getattr(self, name) - dead)
                self.old_casts += 0.5 * dead
                burned += 0.5 * dead
        return burned

    def _breathe(self, rate: float) -> float:
        fresh, old = (1 - math.exp(-rate * pace) for pace in (FRESH_BREATHES, OLD_BREATHES))
        burned = fresh * self.fresh_casts + old * self.old_casts
        aged = (1 - math.exp(-rate * AGES)) * self.fresh_casts * (1 - fresh)
        self.fresh_casts -= fresh * self.fresh_casts + aged
        self.old_casts += aged - old * self.old_casts
        return burned

    def _eat(self) -> float:
        """Worms eat what is soft and the microbes on it; a little becomes worm, some burns, the rest is casts."""
        quick, slow = sum(each.quick for each in self.lots), sum(each.slow for each in self.lots)
        soft = [each[0] * (1 - math.exp(-each[3] / 25.0)) for each in self.fibre]
        menu = quick + 0.8 * slow + LIKES_FIBRE * sum(soft) + self.bacteria + 0.5 * self.fungi
        lively = warmth(min(self.temp_c, 27.0)) * self._ease() * (0.3 + 0.7 * self.air)
        wish = STEP * EATS * self.own.appetite * self.herd_kg * lively
        eaten = wish * menu / (menu + HALF_KG_KG * self.herd_kg + 1e-9)
        part = min(0.5, eaten / max(menu, 1e-9))
        got = self._draw("quick", part * quick, quick) + self._draw("slow", 0.8 * part * slow, slow)
        for layer, there in zip(self.fibre, soft, strict=True):
            got += self._wear(layer, LIKES_FIBRE * part * there)
        got += part * (self.bacteria + 0.5 * self.fungi)
        self.bacteria *= 1 - part
        self.fungi *= 1 - 0.5 * part
        tissue = min(GAINS * 0.36 * self.own.growth * got, WORM_DRY * self.matrix_kg)
        burned = min(0.46 / self.own.keeps * got, got - tissue)
        self.fresh_casts += got - tissue - burned
        crowd = (self.herd_kg / (ROOM_KG_M2 * self.own.room * self.area_m2)) ** 2
        harm = 0.02 * max(0.0, self.temp_c - 31.5) + 0.008 * (1 - self._ease()) + 0.008 * (1 - self.air)
        lost = min(0.3, STEP * (UPKEEP * warmth(min(self.temp_c, 30.0)) + 0.012 * crowd + harm)) * self.herd_kg
        self.herd_kg += tissue / WORM_DRY - lost
        self.fresh_casts += WORM_DRY * lost
        self.matrix_kg += (1 - WORM_DRY) / WORM_DRY * (WORM_DRY * lost - tissue)
        return burned

    def _ease(self) -> float:
        return math.exp(-(((self.felt - 0.79) / 0.13) ** 4))

    def _draw(self, name: str, kg: float, whole: float) -> float:
        """Take so much of one part of every lot, its ash going into castings with what leaves; returns what came."""
        if whole <= 0.0:
            return 0.0
        part = min(1.0, kg / whole)
        for lot in self.lots:
            before, take = lot.organic, part * getattr(lot, name)
            setattr(lot, name, getattr(lot, name) - take)
            ash = lot.ash * take / max(before, 1e-12)
            lot.ash -= ash
            self.cast_ash += ash
            lot.left = lot.organic / lot.first
        return part * whole

    def _wear(self, layer: list[float], kg: float) -> float:
        part = min(1.0, kg / max(layer[0], 1e-12))
        taken = part * layer[0]
        layer[0] -= taken
        self.cast_ash += part * layer[1]
        layer[1] *= 1 - part
        return taken

    def _water(self, thirst: float) -> None:
        level = 1 - math.exp(-max(0.0, self.felt - 0.35) / 0.15)
        lost = STEP * self.evaporates * self.own.drying * thirst * 1.055 ** (self.temp_c - 20.0) * self.area_m2 * level
        lost = min(lost, 0.2 * self.matrix_kg)
        self.matrix_kg -= lost
        self.books.dried += lost
        held = HOLDS_CASTS * self.castings_kg + HOLDS_FIBRE * sum(each[0] + each[1] for each in self.fibre) + 0.3
        self.standing_kg = max(0.0, self.matrix_kg - held)
        if self.drains:
            out = 0.4 * STEP * self.standing_kg
            self.matrix_kg -= out
            self.standing_kg -= out
            self.books.ran_out += out

    @property
    def worms_kg(self) -> float:
        return self.herd_kg

    @property
    def castings_kg(self) -> float:
        return self.fresh_casts + self.old_casts + self.cast_ash

    @property
    def dry_kg(self) -> float:
        feed = sum(each.organic + each.ash for each in self.lots)
        return self.castings_kg + feed + sum(each[0] + each[1] for each in self.fibre) + self.bacteria + self.fungi

    @property
    def water_kg(self) -> float:
        return self.matrix_kg + sum(each.cells for each in self.lots)

    @property
    def felt(self) -> float:
        matrix = self.castings_kg + sum(each[0] + each[1] for each in self.fibre)
        return self.matrix_kg / (self.matrix_kg + matrix + 1e-9)

    @property
    def waiting_kg(self) -> float:
        return sum(each.fresh_kg * each.left for each in self.lots)

    @property
    def can_kg_day(self) -> float:
        """Its dry appetite as kitchen scraps, which are an eighth dry, and a quarter more for the microbes."""
        lively = warmth(min(self.temp_c, 27.0)) * self._ease() * (0.3 + 0.7 * self.air)
        return 1.25 * 0.75 * EATS * self.own.appetite * self.herd_kg * lively / 0.13

    @property
    def contents_m(self) -> float:
        bedding = sum((each[0] + each[1]) / (50 + 40 * (1 - math.exp(-each[3] / 30.0))) for each in self.fibre)
        return (bedding + self.castings_kg / 180.0 + self.waiting_kg / 580.0) / self.area_m2
