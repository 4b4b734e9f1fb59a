"""Family three: a herd in stages, cocoons to grown, and feed that lies in places the worms have to find.

Each quarter of the bin has its own feed, bedding, castings and worms; a share of the worms moves every day to where
feed is soft. Cocoons come of well-fed grown worms (up to one in four days), hatch after about four weeks and ripen in
about nine; young ones put on 3-4.5 % a day. A herd out of feed falls by half in three weeks. A top that dries over a
base that does not; castings breathe the less the older they are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tests.worlds.families.box import WORM_DRY, Box, Lot
from tests.worlds.families.larder import BEDDINGS, FOODS

PLACES = 4
SOFTENS, ROTS, ROTS_BESIDE = 0.50, 0.017, 0.05
ROTS_FIBRE, KEPT_EATEN, KEPT_ROTTED = 0.0030, 0.50, 0.28
EATS, YOUNG_EAT = 0.125, 1.4
FINDS = 0.22
COCOONS, HATCHLINGS, LIVE = 0.36, 2.4, 0.42
HATCH_DAYS, RIPEN_MG, BORN_MG, GROWN_MG = 26.0, 330.0, 11.0, 560.0
ROOM_KG_M2 = 3.2


def warmth(temp_c: float) -> float:
    """A bell about 25, a little wider on the cold side: half at 14 and at 32."""
    return math.exp(-(((temp_c - 25.0) / (13.2 if temp_c < 25 else 8.4)) ** 2))


def rots(temp_c: float) -> float:
    """Microbes: 1.9 times as fast every ten degrees from 1 at 20 C."""
    return float(1.9 ** ((min(temp_c, 45.0) - 20.0) / 10.0))


@dataclass(slots=True)
class Heap(Lot):
    """A lot in its place: organic kg still hard and already soft, ash, and what it began with."""

    hard: float = 0.0
    soft: float = 0.0
    ash: float = 0.0
    first: float = 1.0
    cells: float = 0.0
    pace: float = 1.0


@dataclass(slots=True)
class Herd:
    """Heads and kg of the young and the grown in one place."""

    young: float = 0.0
    young_kg: float = 0.0
    grown: float = 0.0
    grown_kg: float = 0.0

    @property
    def kg(self) -> float:
        return self.young_kg + self.grown_kg

    def part(self, share: float) -> Herd:
        """So much of it taken off."""
        off = Herd(self.young * share, self.young_kg * share, self.grown * share, self.grown_kg * share)
        self.add(off, -1.0)
        return off

    def add(self, other: Herd, sign: float = 1.0) -> None:
        self.young += sign * other.young
        self.young_kg += sign * other.young_kg
        self.grown += sign * other.grown
        self.grown_kg += sign * other.grown_kg


@dataclass(slots=True)
class Place:
    """A quarter of the bin; bedding as organic and ash kg with its pace."""

    heaps: list[Heap] = field(default_factory=list)
    bedding: float = 0.0
    bedding_ash: float = 0.0
    pace: float = 1.0
    castings: float = 0.0
    cast_ash: float = 0.0
    cast_age: float = 0.0
    herd: Herd = field(default_factory=Herd)

    @property
    def soft(self) -> float:
        return sum(each.soft for each in self.heaps)

    def cast(self, organic: float) -> None:
        """New castings bring down the age of what lies there."""
        whole = self.castings + organic
        self.cast_age *= self.castings / whole if whole > 0 else 0.0
        self.castings = whole


@dataclass
class Stages(Box):
    """Four places under one lid."""

    places: list[Place] = field(default_factory=lambda: [Place() for _ in range(PLACES)])
    cocoons: list[float] = field(default_factory=lambda: [0.0, 0.0, 0.0])
    top_kg: float = 0.0
    base_kg: float = 0.0
    turn: int = -1

    def feed(self, food: str, kg: float) -> Heap:
        of = FOODS[food]
        dry = kg * (1 - of.water)
        organic = dry * (1 - of.ash)
        heap = Heap(kg, 1.0, organic, 0.0, dry * of.ash, organic, kg * of.water, 3.5 / of.span)
        self.places[self.turn].heaps.append(heap)
        self.put(dry, heap.cells)
        return heap

    def next_place(self) -> None:
        """The keeper goes on to the next quarter, or stays."""
        self.turn = (self.turn + 1) % PLACES

    def bed(self, bedding: str, kg: float) -> None:
        of = BEDDINGS[bedding]
        dry = kg * (1 - of.water) / PLACES
        for place in self.places:
            whole = place.bedding + dry * (1 - of.ash)
            place.pace = (place.pace * place.bedding + of.pace * dry * (1 - of.ash)) / whole
            place.bedding, place.bedding_ash = whole, place.bedding_ash + dry * of.ash
        self.put(kg * (1 - of.water), kg * of.water)
        self.top_kg += kg * of.water

    def pour(self, kg: float) -> None:
        self.put(0.0, kg)
        self.top_kg += kg

    def stock(self, kg: float) -> None:
        self.put(WORM_DRY * kg, (1 - WORM_DRY) * kg)
        for place in self.places:
            each = kg / PLACES
            place.herd.add(Herd(0.3 * each / 0.00015, 0.3 * each, 0.7 * each / 0.00047, 0.7 * each))

    def harvest(self, share: float) -> tuple[float, float]:
        dry = share * self.castings_kg
        water = min(2.6 * dry, share * (self.base_kg + 0.3 * self.top_kg))
        for place in self.places:
            place.castings *= 1 - share
            place.cast_ash *= 1 - share
        base = min(self.base_kg, water)
        self.base_kg -= base
        self.top_kg -= water - base
        self.books.dry_taken += dry
        self.books.water_taken += water
        return dry + water, water / (dry + water)

    def live(self, room_c: float, thirst: float) -> None:
        burned, waited = 0.0, self.waiting_kg
        for place in self.places:
            burned += self._rot(place) + self._eat(place)
        self._breed()
        self._wander()
        self.top_kg += self.burn(burned)
        self._water(thirst)
        self.worked_kg_day = waited - self.waiting_kg
        heap = max(sum(each.fresh_kg * each.left for each in place.heaps) for place in self.places)
        heap = 0.5 * heap * PLACES / self.area_m2 + 0.5 * self.waiting_kg / self.area_m2
        stands = self.standing_kg / self.area_m2
        want = 1 / (1 + (heap / 16.0) ** 2 * (1 - 0.4 * self.loose) + (max(0.0, self.felt - 0.78) / 0.10) ** 2)
        self.air += 0.6 * (want * (1 - min(0.6, stands / 40.0)) - self.air)
        self.warm(room_c, burned, 8.0)

    def _damp(self) -> float:
        return max(0.05, min(1.0, (self.felt - 0.45) / 0.22))

    def _ease(self) -> float:
        return max(0.05, min(1.0, (self.felt - 0.55) / 0.15, (0.95 - self.felt) / 0.08))

    def _rot(self, place: Place) -> float:
        """Without worms: cells soften, what is soft rots, the faster with worms beside; castings breathe."""
        lively = rots(self.temp_c) * self._damp() * (0.2 + 0.8 * self.air) * self.own.pace
        dense = place.herd.kg / (self.area_m2 / PLACES)
        burned = 0.0
        for heap in place.heaps:
            softer = (1 - math.exp(-SOFTENS * heap.pace * lively)) * heap.hard
            part = 1 - math.exp(-lively * heap.pace * (ROTS + ROTS_BESIDE * dense / (dense + 1.5)))
            gone = part * heap.soft
            heap.hard -= softer
            heap.soft += softer - gone
            burned += self._gone(place, heap, gone, KEPT_ROTTED)
        near = 1.5 if place.heaps else 1.0
        pull = ROTS_FIBRE * place.pace * self.own.bedding * near * (0.7 + 0.6 * dense / (dense + 1.5))
        part = 1 - math.exp(-lively / self.own.pace * pull)
        burned += self._worn(place, part * place.bedding, 0.40)
        quiet = (0.0007 + 0.0045 * math.exp(-place.cast_age / 40.0)) * rots(self.temp_c)
        burned += quiet * place.castings
        place.castings *= 1 - quiet
        place.cast_age += rots(self.temp_c)
        return burned

    def _gone(self, place: Place, heap: Heap, organic: float, kept: float) -> float:
        """Book what left a heap (its ash with it); returns what is burned of it."""
        before = heap.hard + heap.soft + organic
        part = organic / before if before > 0 else 0.0
        kept *= self.own.keeps
        place.cast(kept * organic)
        place.cast_ash += part * heap.ash
        heap.ash *= 1 - part
        self.top_kg += part * heap.cells
        heap.cells *= 1 - part
        heap.left = (heap.hard + heap.soft) / heap.first
        return (1 - kept) * organic

    def _worn(self, place: Place, organic: float, kept: float) -> float:
        part = organic / place.bedding if place.bedding > 0 else 0.0
        place.bedding -= organic
        place.cast(kept * organic)
        place.cast_ash += part * place.bedding_ash
        place.bedding_ash *= 1 - part
        return (1 - kept) * organic

    def _eat(self, place: Place) -> float:
        """Worms of the place eat what is soft there, and bedding when it is not enough; then they grow or shrink."""
        herd = place.herd
        lively = warmth(self.temp_c) * self._ease() * (0.25 + 0.75 * self.air)
        wish = EATS * self.own.appetite * (herd.grown_kg + YOUNG_EAT * herd.young_kg) * lively
        soft = place.soft
        eaten = soft * (1 - math.exp(-wish / soft)) if soft > 1e-9 else 0.0
        burned = 0.0
        for heap in place.heaps:
            bite = eaten * heap.soft / soft if soft > 0 else 0.0
            heap.soft -= bite
            burned += self._gone(place, heap, bite, KEPT_EATEN)
        board = min(0.10 * (wish - eaten) * place.pace * self.own.bedding, 0.02 * place.bedding)
        burned += self._worn(place, board, 0.65)
        full = min(1.0, 1.5 * (eaten + 0.25 * board) / wish) if wish > 0 else 0.0
        burned -= self._grow(place, full, lively, 0.7 * burned)
        done = [each for each in place.heaps if each.left < 0.004]
        for heap in done:
            rest = heap.hard + heap.soft
            heap.hard = heap.soft = 0.0
            burned += self._gone(place, heap, rest, 1.0)
            place.heaps.remove(heap)
        return burned

    def _grow(self, place: Place, full: float, lively: float, at_most: float) -> float:
        """Young 3-4.5 % a day when fed, grown towards 560 mg; hunger, crowding, heat take. Returns the dry tissue."""
        herd, before = place.herd, place.herd.kg
        crowd = sum(each.herd.kg for each in self.places) / (ROOM_KG_M2 * self.own.room * self.area_m2)
        slow = max(0.0, 1 - 0.8 * crowd) if crowd > 0 else 1.0
        size = 1e6 * herd.grown_kg / herd.grown if herd.grown > 1 else GROWN_MG
        gains = 0.044 * self.own.growth * full * (0.3 + 0.7 * slow) - 0.018 * (1 - full)
        herd.young_kg *= 1 + gains * lively
        grows: float = 0.020 * full * lively * (1 - size / GROWN_MG) - 0.020 * (1 - min(1.0, 1.8 * full)) * lively
        herd.grown_kg *= 1 + grows
        harm = 0.02 * max(0.0, self.temp_c - 31.0) + 0.008 * (1 - self._ease()) + 0.008 * (1 - self.air)
        dies = min(0.4, 0.0018 + 0.006 * crowd**2 + harm)
        herd.part(dies)
        ripe = herd.young * 0.03 * max(0.0, min(1.0, (1e6 * herd.young_kg / max(herd.young, 1e-9) - 90.0) / RIPEN_MG))
        if herd.young > 0:
            off = herd.young_kg * ripe / herd.young * 1.3
            off = min(off, 0.5 * herd.young_kg)
            herd.add(Herd(-ripe, -off, ripe, off))
        lays = COCOONS * math.pow(full, 1.5) * math.exp(-(((self.temp_c - 21.0) / 7.0) ** 2)) * slow * self._ease()
        self.cocoons[0] += lays * herd.grown * self.own.growth
        gain = herd.kg - before
        room = max(0.0, min(at_most / WORM_DRY, 0.5 * self.top_kg))
        if gain > room:
            scale = (before + room) / herd.kg
            herd.young_kg *= scale
            herd.grown_kg *= scale
            gain = room
        if gain < 0:
            place.cast(-WORM_DRY * gain)
        self.top_kg -= (1 - WORM_DRY) * gain
        return WORM_DRY * max(0.0, gain)

    def _breed(self) -> None:
        """Cocoons ripen in three steps; hatchlings come where the worms are, of the water and castings about them."""
        pace = 3 / HATCH_DAYS * max(0.0, min(1.3, (self.temp_c - 8.0) / 14.0))
        moved = [pace * each for each in self.cocoons]
        for i in range(3):
            self.cocoons[i] += (moved[i - 1] if i else 0.0) - moved[i]
        heads = moved[2] * HATCHLINGS * LIVE
        kg = min(BORN_MG * 1e-6 * heads, 0.01 * self.top_kg, 0.05 * sum(each.castings for each in self.places))
        of = WORM_DRY * kg / max(sum(each.castings for each in self.places), 1e-12)
        for place in self.places:
            place.herd.add(Herd(heads / PLACES, kg / PLACES))
            place.castings *= 1 - of
        self.top_kg -= (1 - WORM_DRY) * kg

    def _wander(self) -> None:
        """Part of the worms moves to the places by their soft feed."""
        draw = [each.soft + 0.02 * each.bedding + 0.01 for each in self.places]
        finds = FINDS * warmth(self.temp_c)
        leaving = Herd()
        for place in self.places:
            leaving.add(place.herd.part(finds))
        for place, pull in zip(self.places, draw, strict=True):
            share = pull / sum(draw)
            place.herd.add(Herd(*(share * each for each in (
                leaving.young, leaving.young_kg, leaving.grown, leaving.grown_kg))))  # fmt: skip

    def _water(self, thirst: float) -> None:
        bedding = sum(each.bedding + each.bedding_ash for each in self.places)
        castings = self.castings_kg
        holds, wet = 4.8 * bedding + 0.9 * castings + 0.2, self.top_kg / (4.8 * bedding + 0.9 * castings + 0.2)
        lost = self.evaporates * self.own.drying * thirst * 1.06 ** (self.temp_c - 20.0) * self.area_m2
        lost = min(0.25 * self.top_kg, lost * min(1.0, wet) ** 1.2)
        self.top_kg -= lost
        self.books.dried += lost
        sinks = 0.6 * max(0.0, self.top_kg - holds)
        rises = 0.05 * self.base_kg * max(0.0, 0.8 - wet)
        self.top_kg += rises - sinks
        self.base_kg += sinks - rises
        wicks = 0.04 * max(0.0, min(1.0, wet) * 2.7 * castings - self.base_kg)
        self.top_kg -= wicks
        self.base_kg += wicks
        over = max(0.0, self.base_kg - 2.7 * castings)
        if self.drains:
            self.base_kg -= 0.8 * over
            self.books.ran_out += 0.8 * over
            over *= 0.2
        self.standing_kg = over

    @property
    def worms_kg(self) -> float:
        return sum(each.herd.kg for each in self.places)

    @property
    def castings_kg(self) -> float:
        return sum(each.castings + each.cast_ash for each in self.places)

    @property
    def dry_kg(self) -> float:
        feed = sum(heap.hard + heap.soft + heap.ash for each in self.places for heap in each.heaps)
        return self.castings_kg + feed + sum(each.bedding + each.bedding_ash for each in self.places)

    @property
    def water_kg(self) -> float:
        cells = sum(heap.cells for each in self.places for heap in each.heaps)
        return self.top_kg + self.base_kg + cells

    @property
    def felt(self) -> float:
        bedding = sum(each.bedding + each.bedding_ash for each in self.places)
        dry = bedding + 0.25 * self.castings_kg
        return self.top_kg / (self.top_kg + dry + 1e-9)

    @property
    def waiting_kg(self) -> float:
        return sum(heap.fresh_kg * heap.left for each in self.places for heap in each.heaps)

    @property
    def can_kg_day(self) -> float:
        """Its dry appetite as kitchen scraps, and what rots beside it."""
        lively = warmth(self.temp_c) * self._ease() * (0.25 + 0.75 * self.air)
        eats = sum(each.herd.grown_kg + YOUNG_EAT * each.herd.young_kg for each in self.places)
        return 1.25 * EATS * self.own.appetite * eats * lively / 0.12

    @property
    def contents_m(self) -> float:
        bedding = sum(each.bedding + each.bedding_ash for each in self.places) / 70.0
        return (bedding + self.castings_kg / 210.0 + self.waiting_kg / 640.0) / self.area_m2
