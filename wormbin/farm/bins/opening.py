"""What every figure that opens is made with: its parts, its band in words, and the masses that lie in the bin.

Where the log says what was put in, what the model says is the part of it that is left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from types import MappingProxyType

from wormbin.advice import limits
from wormbin.advice.rules.air import share_told
from wormbin.farm.bins import heap
from wormbin.farm.bins.gauges import latest
from wormbin.farm.bins.scene import Scene
from wormbin.figures import LEFT_BY_ROUNDING, Band, Basis, Quantity, Working, digits_known, in_size, put_in
from wormbin.materials.material import Pace
from wormbin.measures import counted, percent
from wormbin.process.inside import Balance, Bed, Inside, bed_of
from wormbin.science.constants import SECONDS_A_DAY
from wormbin.science.response import (
    AIR_SOURCE,
    COMPOST_PARTICLES,
    OXYGEN_DIFFUSIVITY_M2_S,
    OXYGEN_IN_AIR_KG_M3,
    OXYGEN_PER_BURNED,
)

MODEL = "an estimate of the model, replayed from the log"
OURS = "a rule of this program (ours)"
_VOLATILE, _ASH = (f"{each / 1000:g}" for each in (COMPOST_PARTICLES.volatile_kg_m3, COMPOST_PARTICLES.ash_kg_m3))
FILLED = f"volatile / {_VOLATILE} + ash / {_ASH} + held"
"""Room that solids, and water in and on them, fill without pores, L; water is 1 kg a L."""
READ: Mapping[str, str] = MappingProxyType({
    "moisture": "moisture", "total_kg": "weight", "left": "food left", "contents_m": "depth", "temp_c": "temperature",
    "worms_kg": "worms", "castings_kg": "castings",
})  # fmt: skip
"""What is read, in words."""
SUMS: Mapping[str, str] = MappingProxyType({
    "In plain words": "what you wrote down of it, and what lay there then",
    "Eating": "warmth and wet after Tripathi & Bhardwaj 2004, Dominguez & Edwards 1997; pace ours",
    "Microbes": "warmth after Haug 1993, from memory; pace ours",
    "What becomes of it": "shares ours, held to published cases",
    "Worms": "crowding after Dominguez & Edwards 1997; growth ours, held to published cases",
    "Water": "drying by textbook vapour pressure, its pace from memory",
    "Heat": "20 MJ a kg burned after Haug 1993, from memory",
    "Room and air": "room a kg of each kind takes, ours; Richard et al. 2004",
    "Days of work": "ours", "What it keeps up with": "ours", "How it learns": "all courses held to what you read",
})  # fmt: skip
"""The parts of the method (``process/method.md``) that estimates are made by, and what those rest on."""
WAYS: Mapping[str, tuple[str, str]] = MappingProxyType({
    "dried": ("dried off", "Water"), "ran": ("ran out below", "Water"), "taken": ("taken out", "In plain words"),
    "rotting": ("made as food rots", "Water"), "ammonia": ("left as ammonia", "What becomes of it"),
    "burned": ("eaten or rotted away into the air", "What becomes of it"),
    "put_right": ("put right by readings", "How it learns"), "worms": ("in the worms", "Worms"),
    "amounts": ("brought by worms, or put in otherwise than written", "How it learns"),
    "unfinished": ("not castings yet", "Eating, Microbes"),
    "finished": ("in castings and worms by now", "What becomes of it"),
    "worked": ("eaten, rotted, taken out, or put in otherwise than written", "Eating, Microbes, How it learns"),
    "changed": ("born, grown, died, moved, or put right by readings", "Worms, How it learns"),
})  # fmt: skip
"""How what was put in goes, and what comes besides: in words, and by which parts of the method."""
NO_WAYS: Mapping[str, float] = MappingProxyType({})


def model(name: str, value: float, unit: str, said: str = "", note: str = "", *, by: str) -> Quantity:
    """An estimate of the model by parts of its method, parted by commas."""
    sums = "; ".join(f"“{each}” in its method ({SUMS[each]})" for each in by.split(", "))
    return Quantity(name, value, unit, Basis.WORKED_OUT, note, said, f"{MODEL}: {sums}")


def book(name: str, value: float, unit: str, said: str = "", note: str = "", source: str = OURS) -> Quantity:
    """A value from elsewhere."""
    return Quantity(name, value, unit, Basis.BOOK, note, said, source)


def setting(name: str, value: float, unit: str, said: str = "", note: str = "") -> Quantity:
    """A value that the keeper has set."""
    return Quantity(name, value, unit, Basis.SAID, note, said, "a setting of this bin")


def opens(name: str, working: Working, said: str = "", note: str = "") -> Quantity:
    """A number that opens."""
    return Quantity(name, working.value, working.unit, Basis.WORKED_OUT, note, said, opens=working)


def made(
    title: str, unit: str, formula: str, inputs: Iterable[Quantity], source: str = MODEL, plain: str = ""
) -> Working:
    """A number on the way to a figure, worked out of what goes in."""
    inputs = tuple(inputs)
    return Working(title, put_in(formula, inputs), unit, formula, inputs, source, plain=plain)


def added(parts: Iterable[Quantity], unit: str = "kg", source: str = "added up") -> Working:
    """Parts added up."""
    parts = tuple(parts)
    return made("", unit, " + ".join(each.name for each in parts) or "0", parts, source)


NOTHING = 1e-5
"""Of kg, L or a share: no more than that is told as none."""


class Opening:
    """The figures of one bin, each made when it is asked for and opened by all that rest on it; kg, m, L, days."""

    def __init__(self, scene: Scene) -> None:
        self.scene, self.today = scene, scene.today
        self._heap = heap.of_log(scene.entries, heap.named(scene.table))

    @cached_property
    def bed(self) -> Bed:
        """What lies in the bin."""
        return bed_of(self.scene.past.replay.looks[-1])

    def figure(
        self, title: str, band: Band, of: Working, plain: str, reads: tuple[str, ...] | None = None, sure: str = ""
    ) -> Working:
        """A working as it is told of the whole bin: its band, how sure, and the readings that it rests on."""
        low, high = (in_size(each if abs(each) > NOTHING else 0.0, of.unit, 2) for each in (band.p10, band.p90))
        rests = self._rests_on(reads or ())
        sure = sure or (f"8 times in 10 between {low} and {high}" if low != high else f"all but surely {low}")
        if reads is not None:
            sure += f". Last read: {rests[0]}" if rests else ". No reading of it yet"
        known = digits_known(band)
        return Working(title, band.p50, of.unit, of.formula, of.inputs, of.source, sure, plain, rests, known)

    def _rests_on(self, quantities: Iterable[str]) -> tuple[str, ...]:
        found, on = [], self.scene.on
        for quantity in quantities:
            judged = latest(self.scene.past.judged, quantity, on)
            if judged is not None:
                age = (on - judged.when.date()).days
                old = "of today" if age == 0 else f"{counted(age, 'day')} old"
                by = f" by {judged.by}" if judged.by else ""
                when = judged.when.date().isoformat()
                found.append(f"{READ[quantity]}{by} on {when} ({old}, counts {percent(judged.weight)})")
        return tuple(found)

    def all(self, of: Callable[[Inside], float]) -> float:
        """The sum over all trays or halves."""
        return sum(of(part) for part in self.bed.parts)

    def by_part(self, of: Callable[[Inside], float], unit: str, by: str) -> tuple[Quantity, ...]:
        """The same of each tray or half."""
        name = "half" if self.scene.bin.sideways else "tray"
        return tuple(
            model(f"{name}_{number}", of(part), unit, by=by) for number, part in enumerate(self.bed.parts, start=1)
        )

    def left(
        self,
        part: Quantity,
        put: Working | None,
        words: str,
        plain: str,
        ways: Mapping[str, float] = NO_WAYS,
        rest: str = "amounts",
    ) -> Quantity:
        """A mass that is there, opened to what of it was put in; as it is where the log tells of nothing put in.

        ``ways`` are the books of the model: kg that came (or, below zero, went) by each named way; ``rest`` is the way
        that all else came or went by.
        """
        if put is None or put.value <= LEFT_BY_ROUNDING:
            return part
        share = part.value / put.value
        went = {way: kg / put.value for way, kg in ways.items() if abs(kg) > LEFT_BY_ROUNDING * put.value}
        went[rest] = share - 1.0 - sum(went.values())
        formula = "1" + "".join(f" {'-' if each < 0 else '+'} {way}" for way, each in went.items())
        told = (model(way, abs(each), "fraction", WAYS[way][0], by=WAYS[way][1]) for way, each in went.items())
        why = "Of a hundred parts put in: those that left by each way, and those that came by another."
        of_all = opens("left", made(f"Part {words}", "fraction", formula, told, plain=why), words, "of all put in")
        title = part.words[:1].upper() + part.words[1:]
        working = made(title, "kg", "put_in * left", (opens("put_in", put, "all put in"), of_all), plain=plain)
        return opens(part.name, working, part.said, part.note)

    def of_log(
        self,
        what: str,
        part: Quantity,
        words: str,
        pace: Pace | None = None,
        more: Iterable[Quantity] = (),
        ways: Mapping[str, float] = NO_WAYS,
        rest: str = "amounts",
    ) -> Quantity:
        """The same of food and bedding, ``what`` as in ``heap.put_in``; with ``pace`` of such food alone."""
        lines = self._heap if pace is None else heap.given(self._heap, pace)
        put = heap.put_in(what, lines, title=f"All put in: {part.words}", more=tuple(more))
        plain = "Of what you put in so much is left. The rest was eaten, rotted, dried off, or taken out."
        return self.left(part, put, words, plain, ways, rest)

    @cached_property
    def books(self) -> Balance:
        """What came and went by each way, kg."""
        return self.scene.past.replay.balance

    @cached_property
    def water(self) -> Quantity:
        """All water."""
        kg, held = model("water", self.all(lambda part: part.water_kg), "kg", by="Water"), self.books
        went = {"dried": -held.evaporated, "ran": -held.drained, "taken": -held.taken_out.water, "rotting": held.made,
                "put_right": held.corrected.water, "worms": kg.value - held.there.water}  # fmt: skip
        return self.of_log("water", kg, "still there", more=heap.watered(self.scene.entries), ways=went)

    @cached_property
    def _dry_ways(self) -> dict[str, float]:
        held, worms = self.books, self.all(lambda part: part.dry_kg) - self.books.there.dry
        return {"burned": -held.burned, "taken": -held.taken_out.dry, "put_right": held.corrected.dry, "worms": worms}

    @cached_property
    def dry(self) -> Quantity:
        """All dry matter, worms left out."""
        kg = model("dry", self.all(lambda part: part.dry_kg), "kg", "dry matter", by="What becomes of it")
        return self.of_log("dry", kg, "still there", ways=self._dry_ways)

    @cached_property
    def dry_castings(self) -> Quantity:
        """The part of it that is castings."""
        kg = model("castings", self.all(lambda part: part.castings_kg), "kg", "dry castings", by="What becomes of it")
        ways = {**self._dry_ways, "unfinished": self.all(lambda part: part.castings_kg - part.dry_kg)}
        return self.of_log("dry", kg, "castings here by now", ways=ways)

    @cached_property
    def herd(self) -> Quantity:
        """Live worms."""
        put = heap.stocked(self.scene.entries, "Worms put in")
        plain = "The worms that you put in, times how the herd has grown or shrunk since."
        kg = model("worms", self.all(lambda part: part.worms_kg), "kg", by="Worms")
        return self.left(kg, put, "the herd by now", plain, rest="changed")

    @cached_property
    def moisture(self) -> Working:
        """Water over all."""
        of = made("", "fraction", "water / (water + dry)", (self.water, self.dry), "wet basis, by definition")
        plain = "Of every hundred grams in the bin, so many are water."
        return self.figure("Moisture of the contents", self.today.moisture, of, plain, ("moisture", "total_kg"))

    @cached_property
    def total(self) -> Working:
        """What a scale would show."""
        of, plain = added((self.dry, self.water, self.herd)), "What a scale would show, less the box."
        return self.figure("Mass of the contents", self.today.total_kg, of, plain, ("total_kg",))

    @property
    def surface(self) -> Quantity:
        """The surface that all of it lies on."""
        return setting("surface", self.bed.area_m2, "m2", "surface of the bin", "length times width")

    def solids(self, part: Inside) -> tuple[Quantity, ...]:
        """What fills room without pores."""
        solid = f"{_VOLATILE} kg a litre without pores"
        return (
            model("volatile", part.volatile_kg, "kg", "dry matter that can burn", solid, by="What becomes of it"),
            model("ash", part.ash_kg, "kg", "", f"{_ASH} kg a litre without pores", by="What becomes of it"),
            model("held", part.held_kg, "kg", "water in and on the solids", "1 kg a litre", by="Water"),
        )  # fmt: skip

    @cached_property
    def depth(self) -> Working:
        """The room that is taken, over the surface."""
        part = self.bed.parts[0]
        if len(self.bed.parts) > 1:
            inputs = self.by_part(lambda part: part.depth_m, "m", "Room and air")
            formula = " + ".join(each.name for each in inputs)
            formula = f"({formula}) / {len(inputs)}" if self.scene.bin.sideways else formula
        else:
            loose = "as loosely as it lies here, put right by your ruler"
            rooms = ("feed", part.feed_m3), ("bedding", part.bedding_m3), ("castings", part.castings_m3)
            standing = part.water_kg - part.held_kg
            inputs = (
                *(model(name, 1000 * m3, "L", f"room of the {name}", loose, by="Room and air") for name, m3 in rooms),
                model("standing", standing, "kg", "water over what they hold", "half of it swells them", by="Water"),
                *self.solids(part), self.surface,
            )  # fmt: skip
            formula = f"max(feed + bedding + castings + standing / 2, 1.02 * ({FILLED})) / surface / 1000"
        plain = "The room that feed, bedding and castings take, over the surface. 1000 L are 1 m3."
        of = made("", "m", formula, inputs)
        return self.figure("Depth of the contents", self.today.contents_m, of, plain, ("contents_m",))


AIR_DAYS = 180
"""Days that tell whether the bin is under a warning still."""
NO_END_M = 50
"""Stands for a reach without end."""
HEIGHT = ("contents_m", "total_kg")


class AirOpening(Opening):
    """Figures of the compartment in which air is shortest."""

    @property
    def _worst(self) -> Inside:
        return self.bed.parts[self.bed.worst]

    @cached_property
    def _room(self) -> Quantity:
        deep = model("depth", self._worst.depth_m, "m", "how deep it lies", by="Room and air")
        source, plain = "by definition; 1000 L are 1 m3", "As a box: how deep it lies, times the surface."
        room = made("Room that the contents take", "L", "1000 * depth * surface", (deep, self.surface), source, plain)
        return opens("room", room)

    @cached_property
    def free_air(self) -> Working:
        """Pores."""
        inputs = (*self.solids(self._worst), self._room)
        of = made("", "fraction", f"1 - ({FILLED}) / room", inputs, COMPOST_PARTICLES.source)
        plain = "The part of the room that neither solids nor water fill."
        return self.figure("Free air space", self.today.free_air_space, of, plain, HEIGHT)

    @cached_property
    def air_reach(self) -> Working:
        """How deep oxygen gets against what burns."""
        burning = model("burning", self._worst.needs_kg_day, "kg a day", "dry matter that burns", "with air enough",
                        by="What becomes of it")  # fmt: skip
        needs = book("needs", OXYGEN_PER_BURNED, "kg", "oxygen needed", "for each kg that burns", AIR_SOURCE)
        used = made(
            "Oxygen used up in a day", "g a day", "1000 * needs * burning", (needs, burning), AIR_SOURCE,
            "What worms and microbes breathe. 1000 g are 1 kg.",
        )  # fmt: skip
        speed = book("speed", OXYGEN_DIFFUSIVITY_M2_S * 1e4, "cm2 a second", "spread", "in free air", AIR_SOURCE)
        seconds = book("seconds", SECONDS_A_DAY, "s", "seconds in a day", "", "by definition")
        spread = made(
            "How fast oxygen spreads", "m2 a day", "speed * seconds / 10000", (speed, seconds), AIR_SOURCE,
            "Oxygen drifts through still air. 10000 cm2 are 1 m2.",
        )  # fmt: skip
        inputs: tuple[Quantity, ...] = (
            opens("spread", spread, "spread of oxygen"), opens("pores", self.free_air, "free air space"),
            book("oxygen", 1000 * OXYGEN_IN_AIR_KG_M3, "g a m3", "oxygen in air", "", AIR_SOURCE), self._room,
            opens("used", used, "oxygen used up"),
        )  # fmt: skip
        formula = f"min({NO_END_M}, sqrt(2 * spread * pores * pores * oxygen * room / 1000 / used))"
        if burning.value <= LEFT_BY_ROUNDING:
            formula, inputs = str(NO_END_M), ()
        plain = f"How deep air gets from the top before it is used up. {NO_END_M} m stands for no end."
        of = made("", "m", formula, inputs, AIR_SOURCE)
        return self.figure("Air reach", self.today.air_reach_m, of, plain, HEIGHT)

    @cached_property
    def air(self) -> Working:
        """The share of the depth that the gauge shows, and so what the bin is judged by."""
        limit, _, share = share_told(self.scene.past.days[-AIR_DAYS:], self.scene.bin.footprint_m2)
        deep = max(self.today.contents_m.p50, 1e-6)
        inputs = [opens("reach", self.air_reach), opens("depth", self.depth)]
        formula, source = "min(1, reach / depth)" if self.depth.value > 1e-6 else "1", AIR_SOURCE
        if limit is limits.AIR_CAREFUL:
            formula, source = "min(1, reach / depth * clear)", limit.source
            inputs.append(opens("clear", self._clear(limit.source), "part of its way that is clear"))
        share = share or self.today.air_reach_m.times(1.0 / deep)
        band = Band(*(min(1.0, each) for each in (share.p10, share.p50, share.p90)))
        of = made("", "fraction", formula, inputs if formula != "1" else (), source)
        plain = "Air seeps in from the top and is used on the way. 100 % is air to the floor of the bin."
        return self.figure("Air to depth", band, of, plain, HEIGHT)

    def _clear(self, source: str) -> Working:
        """How much of its way water leaves to air (Papendick & Campbell 1981)."""
        pores = opens("pores", self.free_air, "free air space")
        filled = made(
            "The part of the room that water fills", "fraction", "total * moisture / (1000 * surface * depth)",
            (opens("total", self.total, "mass of the contents"), opens("moisture", self.moisture), self.surface,
             opens("depth", self.depth)),
            "by definition; 1000 kg of water are 1 m3", "Water in the pores keeps air out.",
        )  # fmt: skip
        formula, inputs = "min(1, pores ** (2 / 3) / min(1, pores + filled))", [pores, opens("filled", filled)]
        if pores.value + filled.value <= LEFT_BY_ROUNDING:
            formula, inputs = "1", []
        plain = "In a wet bed the pores are cut off from each other."
        return made("How much of its way water leaves to air", "fraction", formula, inputs, source, plain)
