"""From the keeper's words to what an entry says: portions, readings, weights; each fault named by its field."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import partial
from typing import TypeVar

from wormbin.farm.views.proposals import CheckDraft
from wormbin.materials.table import MaterialTable, kg_of, read_portion
from wormbin.measures import Amount, Dimension, parse_amount, parse_number, parse_percent, shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import Check, Harvest, MoistureBy, Portion, Sample, Squeeze, Stocking, Survey
from wormbin.records.limits import MOST_BEHIND
from wormbin.records.worms import WORM_KG
from wormbin.science.blend import moisture_from_drying

T = TypeVar("T")
U = TypeVar("U")
E = TypeVar("E", bound=StrEnum)
CASTINGS = "vermicast"


class Faults:
    """Collects what is wrong with several readings, so that all of it is told at once and put right in one go."""

    def __init__(self) -> None:
        self._errors: list[RefusedError] = []

    def read(self, reading: Callable[[], T], otherwise: U) -> T | U:
        """What ``reading`` gives; ``otherwise`` when it is refused, and then ``settle`` will raise."""
        try:
            return reading()
        except RefusedError as error:
            self._errors.append(error)
            return otherwise

    def settle(self) -> None:
        """Raise all that was refused; a single error as it is, since its choices may be the way out."""
        if len(self._errors) == 1:
            raise self._errors[0]
        if self._errors:
            raise RefusedError([problem for error in self._errors for problem in error.problems])


def choice(kind: type[E], words: str, field: str) -> E | None:
    """One of a list, by its word or an unmistakable beginning of it; None for nothing."""
    text = tidy(words).casefold()
    if not text:
        return None
    fits = [each for each in kind if each.value == text] or [each for each in kind if each.value.startswith(text)]
    if len(fits) == 1:
        return fits[0]
    raise RefusedError(Problem(field, shown(words), "one of " + ", ".join(kind), next(iter(kind)).value))


def yes_no(words: str, field: str, usual: bool) -> bool:
    """Yes or no; ``usual`` for nothing."""
    text = tidy(words).casefold()
    if not text:
        return usual
    if text in ("yes", "y", "true", "on"):
        return True
    if text in ("no", "n", "false", "off", "none"):
        return False
    raise RefusedError(Problem(field, shown(words), "yes or no", "no"))


@dataclass(frozen=True, slots=True)
class Spoken:
    """Reads words against a material table; ``usual`` are the keeper's own measures ("handful": "40 g").

    What is kept out of worm bins is refused, but with ``kept_out``: what did go in must be able to be written down.
    """

    table: MaterialTable
    usual: Mapping[str, str] = field(default=NOTHING_MORE)
    kept_out: bool = False

    def portions(self, words: Sequence[str], field: str = "portion") -> tuple[Portion, ...]:
        """What is in a bucket; at least one thing. A text may name several, parted by commas or semicolons."""
        texts = [text for each in words for text in self._parted(each)]
        if not texts:
            raise RefusedError(Problem(field, "", "at least one amount and what it is of", "300 g melon rind"))
        faults = Faults()
        found = [faults.read(partial(self._some, text, field), None) for text in texts]
        faults.settle()
        return tuple(portion for portion in found if portion is not None)

    def _some(self, text: str, field: str) -> Portion:
        """One portion that weighs something: nothing of a thing is refused with the words that were typed."""
        portion = self._portion(text, field)
        if portion.kg == 0.0:
            raise RefusedError(Problem(field, shown(text), "more than nothing of it", "350 g melon rind"))
        return portion

    def _portion(self, text: str, field: str) -> Portion:
        """One portion; a handful of what has a handful of its own is that, of anything else the usual one."""
        general = {name: size for name, size in self.usual.items() if " " not in name}
        own = {name: size for name, size in self.usual.items() if " " in name}
        read = partial(read_portion, text, self.table, field, kept_out=self.kept_out)
        if not own:
            return read(usual=general)
        guess = {name.partition(" ")[0]: size for name, size in own.items()} | general
        material = read(usual=guess).material
        fits = {name.partition(" ")[0]: size for name, size in own.items() if name.partition(" ")[2] == material}
        return read(usual=general | fits)

    def _parted(self, words: str) -> list[str]:
        """Several things in one text: a comma between digits is a decimal comma and parts nothing."""
        parts = [""]
        for place, char in enumerate(words):
            between = char == "," and words[place + 1 : place + 2].isdigit() and words[place - 1 : place].isdigit()
            if char in ";+\n" or (char == "," and not between):
                parts.append("")
            else:
                parts[-1] += char
        return [part.strip() for part in parts if part.strip()]

    def water(self, words: str, field: str = "water") -> tuple[float, str]:
        """Water, kg, and what was said."""
        amount = parse_amount(words, field, expect=(Dimension.VOLUME, Dimension.MASS))
        return (amount.kg() if amount.dimension is Dimension.MASS else amount.litres()), amount.said

    def weight(self, words: str, field: str = "weight") -> tuple[float, str]:
        """A weight, kg, and what was said."""
        amount = parse_amount(words, field, expect=Dimension.MASS)
        return amount.kg(), amount.said

    def worms(self, words: str, field: str = "worms") -> Stocking:
        """Worms by mass or number."""
        amount = parse_amount(words, field, expect=(Dimension.MASS, Dimension.COUNT))
        kg, count = worm_mass(amount)
        return Stocking(kg, count, amount.said)

    def harvest(self, castings: str, moisture: str, worms_out: str, left_behind: str) -> Harvest:
        """Castings by mass or volume; if known their moisture, the worms lost with them, and the share that stayed."""
        amount = parse_amount(castings, "castings", expect=(Dimension.MASS, Dimension.VOLUME))
        wet = parse_percent(moisture, "moisture", low=0.1, high=0.95) if moisture.strip() else None
        lost = self.worms(worms_out, "worms out").worms_kg if worms_out.strip() else None
        stayed = parse_percent(left_behind, "left-behind", low=0, high=MOST_BEHIND) if left_behind.strip() else None
        kg = kg_of(amount, self.table.get(CASTINGS), "castings")
        return Harvest(kg, wet, lost, amount.said, left_behind=stayed)

    def survey(self, samples: Sequence[str], sample_area: str) -> Survey:
        """Equal-area samples: "12 g", "25 worms", "0"; the area as "225 cm2"."""
        area = parse_amount(sample_area, "sample", expect=Dimension.AREA).m2()
        texts = [text for each in samples for text in self._parted(each)]
        if not texts:
            raise RefusedError(Problem("samples", "", "the worms of at least one sample", "12 g"))
        faults = Faults()
        expect = (Dimension.MASS, Dimension.COUNT)
        amounts = [faults.read(partial(parse_amount, text, "sample", expect=expect), None) for text in texts]
        faults.settle()
        found = []
        for amount in amounts:
            if amount is not None:
                kg, count = worm_mass(amount)
                found.append(Sample(area, kg if count is None else None, count, amount.said))
        return Survey(tuple(found))

    def check(self, draft: CheckDraft) -> tuple[Check, dict[str, float]]:
        """A check, and the two weights of an oven test in grams if there was one."""
        faults = Faults()
        oven = faults.read(lambda: _oven(draft), None)
        by = faults.read(lambda: choice(MoistureBy, draft.moisture_by, "moisture-by"), None)
        wet = faults.read(lambda: _maybe(draft.moisture, lambda words: parse_percent(words, "moisture")), None)
        squeeze = faults.read(lambda: choice(Squeeze, draft.squeeze, "squeeze"), None)
        temp = faults.read(lambda: _maybe(draft.temp, _celsius), None)
        left = faults.read(lambda: _maybe(draft.left, lambda words: parse_percent(words, "left")), None)
        depth = faults.read(lambda: _maybe(draft.depth, _metres), None)
        ph = faults.read(lambda: _maybe(draft.ph, _ph), None)
        faults.settle()
        if oven:
            wet, by = moisture_from_drying(oven["wet_g"], oven["dry_g"]), MoistureBy.OVEN
        seen = tuple(part for part in (tidy(each) for each in draft.seen.replace(";", ",").split(",")) if part)
        read = Check(wet, by if wet is not None else None, squeeze, temp, left, depth, tidy(draft.smell), seen, ph)
        return read, oven or {}


def _maybe(words: str, read: Callable[[str], float]) -> float | None:
    return read(words) if words.strip() else None


def _celsius(words: str) -> float:
    return parse_amount(words, "temp", expect=Dimension.TEMPERATURE).celsius()


def _metres(words: str) -> float:
    return parse_amount(words, "depth", expect=Dimension.LENGTH).metres()


def _ph(words: str) -> float:
    return parse_number(words, "ph", low=0.0, high=14.0, example="6.8")


def _oven(draft: CheckDraft) -> dict[str, float]:
    """The wet and dry grams of an oven test; empty when there was none."""
    if not (draft.oven_wet.strip() or draft.oven_dry.strip()):
        return {}
    wet = parse_amount(draft.oven_wet, "oven-wet", expect=Dimension.MASS).kg() * 1000
    dry = parse_amount(draft.oven_dry, "oven-dry", expect=Dimension.MASS).kg() * 1000
    if not 0 < dry < wet:
        allowed = f"less than the wet weight of {wet:g} g, and not nothing"
        raise RefusedError(Problem("oven-dry", shown(draft.oven_dry), allowed, "2.3 g"))
    return {"wet_g": wet, "dry_g": dry}


def worm_mass(amount: Amount) -> tuple[float, int | None]:
    """Live kg, and the number when they were counted."""
    if amount.dimension is Dimension.COUNT:
        return amount.worms() * WORM_KG, amount.worms()
    return amount.kg(), None
