"""A made-up keeper at the open bin: what is read, how wrongly, how it is written down, and what is done about it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from random import Random

from tests.worlds.bed import Bed, Cohort
from tests.worlds.habits import Deed, Hand, Story
from tests.worlds.logbook import KILOS, Row, line, minutes_on, moment, number, said

SAMPLE_M2 = 0.0225
EARLY = ("check", "typo", "oven", "weigh", "ruler", "survey", "reading")
"""What is looked at before anything is done."""


def squeezed(moisture: float) -> str:
    """What a handful does, by the usual words."""
    if moisture < 0.60:
        return "dry"
    if moisture < 0.73:
        return "damp"
    return "sponge" if moisture < 0.825 else "dripping"


@dataclass(slots=True)
class Keeper:
    """Keeps one bin's log through a story; all its chances come from ``rng``."""

    story: Story
    bed: Bed
    rng: Random
    rows: list[Row] = field(default_factory=list)
    last_feed: list[Cohort] = field(default_factory=list)
    fed_today_kg: float = 0.0
    harvested: list[date] = field(default_factory=list)
    due_for: int = 0
    patience: int = 0

    # -- the first day and the ordinary one --------------------------------------------------------------------------

    def set_up(self, day: date) -> None:
        """Make the bed, soak it, put the worms in."""
        story, hand = self.story, self._hand()
        hour = story.habits.hour
        for dish in story.beds:
            kg = story.beds_kg * dish.share
            self.bed.put(dish.material, kg)
            self._write(day, hour, "bedding", hand, material=dish.material, **_amount(kg, dish.unit, dish.material))
        self.bed.pour(story.water_kg)
        unit = story.habits.water_unit
        self._write(day, minutes_on(hour, 2), "watering", hand, **_amount(story.water_kg, unit))
        self.bed.herd.add(story.worms_kg * self.rng.gauss(1.0, 0.08))
        worms = _amount(story.worms_kg, story.worms_unit)
        self._write(day, minutes_on(hour, 20), "stocking", hand, **worms)

    def visit(self, day: date) -> None:
        """One day: what the story wants, then what habit does, unless everybody is away."""
        habits = self.story.habits
        self.fed_today_kg = 0.0
        deeds = [deed for deed in self.story.deeds if deed.on == day]
        for deed in deeds:
            if deed.what in EARLY:
                self._do(deed)
        if any(first <= day <= last for first, last in habits.away):
            for deed in deeds:
                if deed.what not in EARLY:
                    self._do(deed)
            return
        busy = any(first <= day <= last for first, last in habits.busy)
        hand = self._hand()
        feeding = day.weekday() in habits.feed_days and not any(deed.what == "feed" for deed in deeds)
        chance = habits.looks_when_feeding if feeding else habits.look
        seen_left = None
        checked = any(deed.what in ("check", "typo") for deed in deeds)
        if not checked and self.rng.random() < chance * (0.2 if busy else 1.0):
            seen_left = self.check(day, habits.hour, hand)
        for deed in deeds:
            if deed.what not in EARLY:
                self._do(deed)
        self._mend(day, hand)
        if feeding and (not busy or self.rng.random() < 0.7):
            self._feed(day, hand, seen_left, busy)
        self._harvest_when_due(day, hand)

    # -- what is seen ------------------------------------------------------------------------------------------------

    def left(self) -> float | None:
        """What is left of the last feeding as the eye sees it (fresh bulk, shells aside), 0-1; None before any."""
        seen = [each for each in self.last_feed if each.waits]
        fed = sum(each.fresh_kg for each in seen)
        return sum(each.fresh_kg * each.share for each in seen) / fed if fed > 0.0 else None

    def check(self, day: date, hour: str, hand: Hand, *, note: str = "", typo: bool = False) -> float | None:
        """Look at the bin and write some of it down; returns what the keeper took to be left, 0-1."""
        habits, bed, rng = self.story.habits, self.bed, self.rng
        cells: dict[str, str] = {}
        feel = 0.75 * bed.moisture_on_top + 0.25 * bed.moisture
        if bed.standing_kg > 0.02 * 1000 * bed.area_m2:
            feel += 0.02
        if rng.random() < habits.meter or typo:
            salty = 0.01 + 0.045 * bed.castings_share
            read = 100.0 * (feel + salty + rng.gauss(0.0, 0.035 * hand.steady))
            whole = int(max(20, min(99, round(read))))
            if typo:
                whole = whole // 10
            cells["moisture_pct"] = self._typed(number(whole, 0))
            cells["moisture_by"] = "meter"
        if not typo and rng.random() < 0.85:
            cells["squeeze"] = squeezed(feel + hand.feels_wetter + rng.gauss(0.0, 0.032 * hand.steady))
            if rng.random() < habits.blunder:
                cells["squeeze"] = rng.choice(("dry", "damp", "sponge", "dripping"))
        if rng.random() < habits.thermometer:
            cells["temp_c"] = self._typed(number(round(bed.temp_c + rng.gauss(0.0, 0.7)), 0))
        left, seen_left = self.left(), None
        if left is not None and rng.random() < 0.75:
            glance = left + rng.gauss(0.0, 0.10 * hand.steady)
            step = habits.left_step
            percent = max(0, min(100, step * round(100 * glance / step)))
            seen_left = percent / 100.0
            cells["left_pct"] = self._typed(number(percent, 0))
        if rng.random() < habits.ruler:
            cells["contents_cm"] = self._ruler()
        self._smell(cells)
        if note:
            cells["note"] = note
        if cells:
            self._write(day, hour, "check", hand, **cells)
        return seen_left

    def _smell(self, cells: dict[str, str]) -> None:
        """Nose and eyes: mostly right, often not written down."""
        bed, rng = self.bed, self.rng
        waiting = bed.feed_waiting_kg / max(bed.could_work_kg_day, 1e-6)
        sour = sum(each.fresh_kg * each.share for each in bed.cohorts if each.stuff.sour)
        rich = sum(each.fresh_kg * each.share for each in bed.cohorts if each.stuff.rich)
        if rng.random() < 0.45:
            smell = "earthy"
            if bed.air < 0.2 and bed.feed_waiting_kg > 0.5 and rng.random() < 0.8:
                smell = "rotten" if bed.standing_kg > 1.0 or sour < 0.3 * bed.feed_waiting_kg else "sour"
            elif waiting > 5 and sour > 0.3 * bed.feed_waiting_kg and rng.random() < 0.7:
                smell = "sour"
            elif waiting > 6 and rich > 0.4 * bed.feed_waiting_kg and rng.random() < 0.6:
                smell = "ammonia"
            cells["smell"] = smell
        trouble = waiting > 5 or bed.moisture > 0.865
        if trouble and rng.random() < 0.35:
            cells["seen"] = rng.choice(("mites", "fruit flies", "mould", "mites"))
        elif rng.random() < 0.03:
            cells["seen"] = rng.choice(("springtails", "pot worms", "mites", "ants"))
        if bed.air < 0.1 and rng.random() < 0.3:
            cells["seen"] = "worms climbing"

    def _ruler(self) -> str:
        centimetres = 100 * self.bed.contents_m + self.rng.gauss(0.0, 0.7)
        return self._typed(number(max(1.0, round(centimetres * 2) / 2), 1))

    # -- what is done ------------------------------------------------------------------------------------------------

    def _feed(self, day: date, hand: Hand, seen_left: float | None, busy: bool) -> None:
        habits, rng = self.story.habits, self.rng
        if seen_left is not None and seen_left > 0.45 and rng.random() < habits.holds_back:
            return
        ramp = min(1.0, 0.2 + 0.8 * (day - self.story.first).days / habits.ramp_days) if habits.ramp_days else 1.0
        portion = habits.portion_kg * ramp * max(0.3, rng.gauss(1.0, habits.scraps_unit_wobble))
        if habits.spares_in_cold:
            portion *= min(1.0, (max(0.0, self.bed.temp_c - 4.0) / 14.0) ** 1.4 + 0.06)
        dishes = [dish for dish in habits.menu if rng.random() < dish.often] or [habits.menu[0]]
        whole = sum(dish.share for dish in dishes)
        self.last_feed = []
        logged = rng.random() >= habits.unlogged * (3.0 if busy else 1.0)
        for dish in dishes:
            self._put(day, habits.hour, hand, dish.material, portion * dish.share / whole, dish.unit, logged=logged)
        if rng.random() < habits.bedding_often:
            self._bed(day, hand, habits.bedding_kg)

    def _put(
        self,
        day: date,
        hour: str,
        hand: Hand,
        material: str,
        kg: float,
        unit: str,
        *,
        logged: bool = True,
        note: str = "",
    ) -> None:
        self.bed.put(material, kg)
        self.fed_today_kg += kg
        self.last_feed.append(self.bed.cohorts[-1])
        if logged:
            guess = kg * (1.0 + self.rng.gauss(0.0, 0.04 if unit in KILOS else 0.10))
            amount = _amount(guess, unit, material)
            amount["amount"] = self._typed(amount["amount"])
            self._write(day, minutes_on(hour, 3), "feeding", hand, material=material, note=note, **amount)

    def _bed(
        self, day: date, hand: Hand, kg: float, material: str = "", unit: str = "", note: str = "", hour: str = ""
    ) -> None:
        habits = self.story.habits
        material, unit = material or habits.bedding, unit or habits.bedding_unit
        self.bed.put(material, kg)
        guess = kg * (1.0 + self.rng.gauss(0.0, 0.06))
        hour = hour or minutes_on(habits.hour, 2)
        self._write(day, hour, "bedding", hand, material=material, note=note, **_amount(guess, unit, material))

    def _mend(self, day: date, hand: Hand) -> None:
        """What a keeper does on feeling the bedding: dry board into the wet, water onto the dry, a loosening."""
        habits, rng = self.story.habits, self.rng
        feel = self.bed.moisture_on_top + hand.feels_wetter + rng.gauss(0.0, 0.03)
        if feel > 0.85 and rng.random() < habits.bedding_when_wet * 0.5:
            self._bed(day, hand, 2.0 * habits.bedding_kg)
        elif feel < 0.66 and rng.random() < habits.waters_when_dry:
            self.bed.pour(habits.water_kg)
            self._write(
                day, minutes_on(habits.hour, 4), "watering", hand, **_amount(habits.water_kg, habits.water_unit)
            )
        if rng.random() < habits.fluffs * (4.0 if feel > 0.85 else 1.0):
            self.bed.fluff()
            self._write(day, minutes_on(habits.hour, 1), "fluff", hand)

    def _harvest_when_due(self, day: date, hand: Hand) -> None:
        """Harvest some days after the castings are ready, as keepers get round to it."""
        window = self.story.habits.harvest_after
        if window is None:
            return
        if self.bed.castings_share < 0.80:
            self.due_for = 0
            return
        if self.due_for == 0:
            self.patience = self.rng.randint(*window)
        self.due_for += 1
        if self.due_for > self.patience:
            self._harvest(day, self.story.habits.hour, hand, 0.85, "")
            self.due_for = 0

    def _harvest(self, day: date, hour: str, hand: Hand, share: float, note: str) -> None:
        story = self.story
        wet, moisture = self.bed.take_castings(share)
        self.harvested.append(day)
        amount = _amount(wet * self.rng.gauss(1.0, 0.02), story.habits.harvest_unit)
        told = {"moisture_pct": number(round(100 * moisture + self.rng.gauss(0.0, 1.5)), 0)}
        cells = told if self.rng.random() < 0.5 else {}
        self._write(day, minutes_on(hour, 10), "harvest", hand, note=note, **amount, **cells)
        for dish in story.beds:
            kg = 0.75 * story.beds_kg * dish.share
            self._bed(day, hand, kg, dish.material, dish.unit, hour=minutes_on(hour, 11))
        water = 0.6 * story.water_kg
        self.bed.pour(water)
        self._write(day, minutes_on(hour, 12), "watering", hand, **_amount(water, story.habits.water_unit))

    def _do(self, deed: Deed) -> None:
        """One deed of the story."""
        habits, bed, rng = self.story.habits, self.bed, self.rng
        hour = deed.hour or habits.hour
        hand = next((hand for hand in habits.hands if hand.name == deed.by), habits.hands[0])
        note = {"note": deed.note} if deed.note else {}
        if deed.what == "feed":
            if self.fed_today_kg == 0.0:
                self.last_feed = []
            self._put(deed.on, hour, hand, deed.material, deed.kg, deed.unit, logged=deed.logged, note=deed.note)
        elif deed.what == "bed":
            self._bed(deed.on, hand, deed.kg, deed.material, deed.unit, deed.note, deed.hour)
        elif deed.what == "water":
            bed.pour(deed.kg)
            if deed.logged:
                self._write(deed.on, hour, "watering", hand, **_amount(deed.kg, deed.unit), **note)
        elif deed.what == "tip-out":
            got = bed.tip_out(deed.kg)
            self._write(deed.on, hour, "draining", hand, **_amount(got, deed.unit), **note)
        elif deed.what == "fluff":
            bed.fluff()
            self._write(deed.on, hour, "fluff", hand, **note)
        elif deed.what == "harvest":
            self._harvest(deed.on, hour, hand, deed.share, deed.note)
        elif deed.what == "survey":
            self._survey(deed, hour, hand)
        elif deed.what == "weigh":
            self._weigh(deed, hour, hand)
        elif deed.what == "ruler":
            hour = deed.hour or minutes_on(hour, 6)
            self._write(deed.on, hour, "check", hand, contents_cm=self._ruler(), **note)
        elif deed.what == "oven":
            feel = 0.75 * bed.moisture_on_top + 0.25 * bed.moisture
            hour = deed.hour or minutes_on(hour, 7)
            percent = number(100 * feel + rng.gauss(0.0, 1.2), 1)
            self._write(deed.on, hour, "check", hand, moisture_pct=percent, moisture_by="oven", **note)
        elif deed.what == "reading":
            self._lesson(deed, hour, hand)
        elif deed.what == "stock":
            bed.herd.add(deed.kg)
            self._write(deed.on, hour, "stocking", hand, **_signed(deed.kg, deed.unit), **note)
        elif deed.what == "move-out":
            bed.herd.add(-deed.kg)
            self._write(deed.on, hour, "move", hand, material=deed.material, **_amount(deed.kg, deed.unit), **note)
        elif deed.what == "move-in":
            bed.herd.add(deed.kg)
        elif deed.what == "note":
            self._write(deed.on, hour, "note", hand, **note)
        elif deed.what == "check":
            self.check(deed.on, hour, hand, note=deed.note)
        elif deed.what == "typo":
            self._mistype(deed, hour, hand)
        else:
            raise ValueError(f"no such deed: {deed.what}")

    def _mistype(self, deed: Deed, hour: str, hand: Hand) -> None:
        """A moisture written a digit short, struck, and the right line under it two minutes later."""
        self.check(deed.on, hour, hand, typo=True)
        wrong = self.rows[-1]
        right = dict(wrong)
        right["moisture_pct"] = str(10 * int(wrong["moisture_pct"]))
        right["when"] = moment(deed.on, minutes_on(hour, 2))
        wrong["struck"] = f"typo for {right['moisture_pct']}"
        wrong["struck_by"] = hand.name
        self.rows.append(right)

    def _lesson(self, deed: Deed, hour: str, hand: Hand) -> None:
        """A pupil guesses how damp it is, then reads the meter (or an oven test) and sees what is left.

        By chances of their own, so that no other day moves.
        """
        rng, bed = Random(f"{self.story.key}/{deed.on}/{deed.by}"), self.bed
        feel = 0.75 * bed.moisture_on_top + 0.25 * bed.moisture
        salty, noise = (0.0, 0.012) if deed.material == "oven" else (0.01 + 0.045 * bed.castings_share, 0.02)
        guess = 5 * round(20 * (feel + hand.feels_wetter + rng.gauss(0.0, 0.06 * hand.steady)))
        self._write(deed.on, hour, "guess", hand, moisture_pct=number(max(30, min(95, guess)), 0))
        read = 100 * (feel + salty + rng.gauss(0.0, noise * hand.steady))
        cells = {"moisture_pct": number(max(20.0, min(99.0, round(read))), 0), "moisture_by": deed.material or "meter"}
        if (left := self.left()) is not None:
            cells["left_pct"] = number(
                max(0, min(100, 10 * round(10 * (left + rng.gauss(0.0, 0.05 * hand.steady))))), 0
            )
        self._write(deed.on, minutes_on(hour, 2), "check", hand, **cells)

    def _weigh(self, deed: Deed, hour: str, hand: Hand) -> None:
        tare = self.story.tare_kg if self.story.habits.scale_with_box else None
        kg = (self.bed.total_kg + (tare or 0.0)) * self.rng.gauss(1.0, 0.008)
        value = kg / KILOS[deed.unit]
        cells = {"amount": number(round(value * 10) / 10, 1), "unit": deed.unit}
        if tare is not None:
            cells["material"] = "tare"
        self._write(deed.on, hour, "weighing", hand, **cells, **({"note": deed.note} if deed.note else {}))

    def _survey(self, deed: Deed, hour: str, hand: Hand) -> None:
        """Small samples of a clumped herd: gamma-spread about the mean, with a shape near 2.2."""
        mean = self.bed.herd.kg * SAMPLE_M2 / self.bed.area_m2
        for number_of in range(deed.count):
            grams = 1000 * mean * self.rng.gammavariate(2.2, 1.0 / 2.2)
            note = {"note": deed.note} if deed.note and number_of == 0 else {}
            if deed.unit == "worms":
                each = 1000 * self.bed.herd.kg / max(self.bed.herd.count, 1.0)
                amount = number(max(0, round(grams / each)), 0)
            else:
                amount = number(max(1, round(grams)), 0)
            cells = {"material": "sample 225 cm2", "amount": amount, "unit": deed.unit}
            self._write(deed.on, hour, "survey", hand, **cells, **note)

    # -- writing -----------------------------------------------------------------------------------------------------

    def _write(self, day: date, hour: str, kind: str, hand: Hand, **cells: str) -> None:
        self.rows.append(line(moment(day, hour), self.story.key, kind, by=hand.name, **cells))

    def _hand(self) -> Hand:
        return self.rng.choice(self.story.habits.hands)

    def _typed(self, text: str) -> str:
        """What the fingers make of a number: now and then a digit is lost or doubled."""
        if self.story.habits.mistyped <= 0.0 or self.rng.random() >= self.story.habits.mistyped:
            return text
        return text[:-1] if len(text) > 1 and self.rng.random() < 0.6 else text + text[-1]


def _amount(kg: float, unit: str, material: str = "") -> dict[str, str]:
    return {"amount": said(kg, unit, material), "unit": unit}


def _signed(kg: float, unit: str) -> dict[str, str]:
    told = _amount(abs(kg), unit)
    return {**told, "amount": ("-" if kg < 0 else "") + told["amount"]}
