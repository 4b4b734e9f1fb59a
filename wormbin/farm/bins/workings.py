"""The figures of a bin opened, all the way down: what went in, the formula, the source, how sure.

What goes in is read off the bed (``process.inside``), the log and the ration, never worked back from the figure that is
opened: a wrong sum shows.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from types import MappingProxyType

from wormbin.advice import limits
from wormbin.advice.clock import crossing
from wormbin.advice.rations import WAITING_COUNTS
from wormbin.advice.rules.silence import is_empty
from wormbin.farm.bins.gauges import PH_DAYS, SHARES, latest_ph
from wormbin.farm.bins.opening import MODEL, AirOpening, added, book, made, model, opens, setting
from wormbin.farm.bins.scene import Scene
from wormbin.figures import LEFT_BY_ROUNDING, Band, Basis, Quantity, Working
from wormbin.materials.material import Pace
from wormbin.measures import counted, shown
from wormbin.problems import Problem, RefusedError
from wormbin.process.look import SLOW_SHARE, WAIT_DAYS
from wormbin.process.views import LEFT_DAYS

HAS_NONE = (*SHARES, "free_air_space", "air_reach")
NOTHING_IN = "Nothing is in this bin by the log: there is no such figure of it."


def working(scene: Scene, code: str) -> Working:
    """One figure of today opened. Raises RefusedError for a figure that there is none of."""
    if code in HAS_NONE and is_empty(scene.today):
        raise RefusedError(Problem("figure", code, NOTHING_IN, whole=NOTHING_IN))
    if code not in OPENED:
        raise RefusedError(Problem("figure", shown(code), "one of " + ", ".join(OPENED), "moisture"))
    found: Working = getattr(Figures(scene), OPENED[code])
    return found


def every_working(scene: Scene) -> tuple[tuple[str, Working], ...]:
    """Every figure that there is, by its code."""
    figures, empty = Figures(scene), is_empty(scene.today)
    codes = (code for code in OPENED if not (empty and code in HAS_NONE))
    return tuple((code, getattr(figures, OPENED[code])) for code in codes if code != "ph" or latest_ph(scene))


class Figures(AirOpening):
    """Every figure."""

    @cached_property
    def feed_waiting(self) -> Working:
        """Feed by its pace."""
        kinds = (
            ("quick", Pace.QUICK, "soft food that goes quickly", [each.quick_fresh_kg for each in self.bed.parts]),
            ("steady", Pace.STEADY, "food that goes steadily", [each.steady_fresh_kg for each in self.bed.parts]),
            ("aged", Pace.AGED, "food that came half rotted", [each.aged_fresh_kg for each in self.bed.parts]),
        )
        of = added(
            self.of_log("fresh", model(name, sum(kg), "kg", said, by="Eating"), "still uneaten", pace, rest="worked")
            for name, pace, said, kg in kinds
            if sum(kg) > LEFT_BY_ROUNDING
        )
        plain = "Feed that still lies there, weighed as it was when you put it in. Stalks and stones are counted apart."
        return self.figure("Uneaten food", self.today.feed_waiting_kg, of, plain, ("left",))

    @cached_property
    def days(self) -> Working:
        """Read off the look-ahead without feedings, as it is charted; by the clock alone where that ends too early."""
        today, unfed = self.today, self.scene.unfed.days
        waits, daily = today.feed_waiting_kg.p50, today.appetite_kg_day.p50
        lie = book("may_lie", LEFT_DAYS, "days", "may still lie when it is fed again", "worth of feed")
        appetite = opens("appetite", self.appetite, "what the bin keeps up with")
        formula, inputs = "may_lie", tuple[Quantity, ...]((lie,))
        if waits <= LEFT_DAYS * daily:
            waiting = opens("waiting", self.feed_waiting, "uneaten food")
            formula, inputs = ("waiting / appetite", (waiting, appetite)) if daily > LEFT_BY_ROUNDING else ("0", ())
        note, by = "by the look-ahead without feeding", "Days of work"
        crossed = crossing(today, unfed)
        if crossed is not None:
            days, before, after = crossed
            part = made(
                "Part of the last day", "days", "(before - may_lie * appetite) / (before - after)",
                (model("before", before, "kg", "left on the last evening with too much", note, by=by), lie, appetite,
                 model("after", after, "kg", "left an evening later", note, by=by)),
                plain="When on that day so little is left that it may be fed again.",
            )  # fmt: skip
            evenings = model("evenings", float(days), "days", "whole days with too much left", note, by=by)
            formula, inputs = f"max(evenings + part, {formula})", (evenings, opens("part", part), *inputs)
        elif waits > LEFT_DAYS * daily:
            clock, far = self.scene.past.today.feed_waiting_days.p50, float(len(unfed))
            formula, inputs = "max(clock, ahead)", (
                model("clock", clock, "days", "days by the pace of today", "warmth, wet and herd held as now", by=by),
                model("ahead", far, "days", "days looked ahead", "and too much at the end of them", by=by),
            )  # fmt: skip
        plain = "How long it takes, fed no more, until so little is left that it may be fed again."
        of = made("", "days", formula, inputs)
        return self.figure("Days of uneaten food", today.feed_waiting_days, of, plain, ("left",))

    @cached_property
    def appetite(self) -> Working:
        """What of the usual feed leaves just so many days of it waiting."""
        volatile, liking, decay = self.bed.usual
        weight = self.all(lambda part: part.dry_kg + 1e-9)
        pace = self.all(lambda part: part.microbes * (part.dry_kg + 1e-9)) / weight
        usual, worms = "of your usual feed", self.herd
        wait = book("wait", WAIT_DAYS, "days", "days that soft food may lie")
        rots = opens("rots", made(
            "The part that rots by itself", "fraction", "min(0.6, wait * decay * pace)",
            (wait, model("decay", decay, "fraction", "part that rots in a day", f"{usual} at 20 °C", by="Microbes"),
             model("pace", pace, "times", "pace of the microbes now", "against the book", by="Microbes")),
            plain="Microbes take a part while the food waits, but no more than 60 %.",
        ), "part that rots by itself")  # fmt: skip
        capacity = self.all(lambda part: part.capacity_kg_day)
        most = made(
            "The most that can go in a day", "kg a day", "capacity / (1 - rots)",
            (model("capacity", capacity, "kg a day", "most the worms can eat", "dry, held as now", by="Eating"), rots),
            plain="What worms can eat, and what rots beside it.",
        )  # fmt: skip
        half = "must lie there, and they eat half of what they can"
        missed = made(
            "What they do not find", "kg a day", "half * worms / (wait * liking)",
            (model("half", self.bed.half_kg_kg, "times", "their own weight in food", half, by="Eating"), worms, wait,
             model("liking", liking, "times", "how well they like it", usual, by="Eating")),
            plain="The less food lies there, the longer worms look for it.",
        )  # fmt: skip
        found = made(
            "What worms and microbes get through", "kg a day", "max(most - missed, slow * most)",
            (opens("most", most, "most that can go"), opens("missed", missed, "what they do not find"),
             book("slow", SLOW_SHARE, "fraction", "at least", "of the most, in a slow bin")),
            plain="The most that can go, less what they do not find.",
        )  # fmt: skip
        alone = made(
            "What rots without worms", "kg a day", "0.1 * rots * worms / wait", (rots, worms, wait),
            plain="With few worms the microbes still take their share of a small heap.",
        )  # fmt: skip
        of = made("", "kg a day", "max(found, alone) / volatile", (
            opens("found", found, "what worms and microbes get through"),
            opens("alone", alone, "what rots without worms"),
            model("volatile", volatile, "fraction", "part of food that can go", usual, by="What it keeps up with"),
        ))  # fmt: skip
        plain = "Give this much of your usual feed a day and it will not pile up."
        return self.figure("What the bin keeps up with", self.today.appetite_kg_day, of, plain, ("left", "worms_kg"))

    @cached_property
    def cn(self) -> Working:
        """Carbon over nitrogen of all but castings."""
        carbon, nitrogen = self.all(lambda part: part.carbon_kg), self.all(lambda part: part.nitrogen_kg)
        held = self.books
        inputs = tuple(
            self.of_log(
                name, model(name, kg, "kg", "", "all but castings", by="What becomes of it"), "not castings yet",
                ways={way: -gone, "taken": -getattr(held.taken_out, name), "put_right": getattr(held.corrected, name),
                      "finished": kg - getattr(held.there, name)},
            )
            for name, kg, way, gone in (
                ("carbon", carbon, "burned", held.carbon_dioxide), ("nitrogen", nitrogen, "ammonia", held.ammonia),
            )
        )  # fmt: skip
        some = carbon < 999 * nitrogen
        of = made("", "to 1", "carbon / nitrogen" if some else "1000", inputs if some else (), f"by mass; {MODEL}")
        plain = "Carbon over nitrogen in all that is not castings yet. Only too low harms a bin. "
        plain += "Over about 60 it is mostly bedding: slow, but no harm." if some else "1000 stands for no nitrogen."
        return self.figure("C:N of what is uneaten", self.today.cn, of, plain, ())

    @cached_property
    def castings(self) -> Working:
        """Castings over all dry matter."""
        of = made("", "fraction", "castings / dry", (self.dry_castings, self.dry), "by definition, of dry matter")
        plain = "How much of the dry matter has been through a worm or has rotted down."
        return self.figure("Castings' share", self.today.castings_share, of, plain, ("castings_kg", "total_kg"))

    @cached_property
    def harvest(self) -> Working:
        """Castings still wanting."""
        share = setting("target", self.scene.bin.harvest_share, "fraction", "share to harvest at", "that you chose")
        inputs = (share, self.dry, self.dry_castings)
        of = made("", "kg", "max(0, target * dry - castings)", inputs, "by definition, of dry matter")
        plain, sure = "When none are wanting, the bin is ready to be harvested.", "as sure as the castings' share"
        reads = ("castings_kg", "total_kg")
        return self.figure("Dry castings still wanting", Band.exactly(of.value), of, plain, reads, sure)

    @cached_property
    def temp(self) -> Working:
        """The room, and the bin's own warmth."""
        usual = self.scene.bin.site_temp_c
        of = added((
            setting("usual", usual, "°C", "usual temperature of the room"),
            model("off", self.bed.site_c - usual, "°C", "room now against the usual", "by the thermometer", by="Heat"),
            model("own_heat", self.today.heat_rise_c.p50, "°C", "warmth of the bin's own work", by="Heat"),
        ), "°C", MODEL)  # fmt: skip
        plain = "The room, put right by your thermometer, and what the bin adds by itself."
        return self.figure("Temperature of the bedding", self.today.temp_c, of, plain, ("temp_c",))

    @cached_property
    def worms(self) -> Working:
        """The herd: of one box what was put in and how it grew, else tray by tray."""
        several = len(self.bed.parts) > 1
        of = None if several else self.herd.opens
        of = of or added(self.by_part(lambda part: part.worms_kg, "kg", "Worms") if several else (self.herd,))
        plain = "Nobody can see this number: the feed that vanished tells of those that ate it. A survey settles it."
        return self.figure("Live worms", self.today.worms_kg, of, plain, ("worms_kg", "left"))

    @cached_property
    def feed_up_to(self) -> Working:
        """The ration out of what bounds it."""
        ration = self.scene.ration
        bounds = [f"{name} - waiting" if name in WAITING_COUNTS else name for name, _, _ in ration.bounds]
        inputs = [model(name, kg, "kg", "", note, by="Days of work") for name, kg, note in ration.bounds]
        if bounds and ration.waits_kg == self.feed_waiting.value:
            inputs.append(opens("waiting", self.feed_waiting, "uneaten food"))
        elif bounds:
            seen = "by what was seen of it last"
            inputs.append(model("waiting", ration.waits_kg, "kg", "uneaten food", seen, by="How it learns"))
        slowed = "less in a new bed, heat, wet, want of air; 0 on hold"
        inputs.append(model("part", ration.part, "fraction", "part to give", slowed, by="Days of work"))
        least = f"min({', '.join(bounds)})" if len(bounds) > 1 else "".join(bounds) or "0"
        of = made("", "kg", f"cut(part * max(0, {least}))", inputs, f"{MODEL}; {'; '.join(ration.because)}")
        plain = "What may lie there to be worked off by the next feeding, less what lies there still."
        return self.figure("Feed up to, today", Band.exactly(ration.kg), of, plain, sure="a limit, and no estimate")

    @property
    def ph(self) -> Working:
        """As it was read."""
        last = latest_ph(self.scene)
        if last is None:
            words = f"No pH was read in the last {counted(PH_DAYS, 'day')}, and nothing works one out."
            raise RefusedError(Problem("figure", "ph", words, whole=words))
        read = Quantity("read", last.value, "pH", Basis.READ, "", f"read on {last.on.isoformat()}", "a line of the log")
        of, sure = (
            made("", "pH", "read", (read,), limits.PH_LOW.source),
            "a strip or meter is good to about half a unit",
        )
        plain = "As it was read: the model has no pH of its own."
        return self.figure("pH", Band.exactly(last.value), of, plain, sure=sure)


OPENED: Mapping[str, str] = MappingProxyType({
    **{code: code for code in ("moisture", "feed_waiting", "air", "temp", "worms", "depth", "castings", "cn", "total",
                               "appetite", "air_reach", "harvest", "feed_up_to", "ph")},
    "feed_waiting_days": "days", "free_air_space": "free_air",
})  # fmt: skip
"""Figures that open, by their codes."""
CODES = tuple(code for code in OPENED if code not in ("feed_up_to", "ph"))
"""Those of the bin itself, beside those of advice and readings alone."""
