"""A line held against what the bin is believed to hold: what to ask of it, and what a survey comes to so far."""

from __future__ import annotations

from dataclasses import replace

from wormbin.advice.finding import Doing
from wormbin.advice.judgement import findings
from wormbin.advice.rules.harvest import all_wet_kg
from wormbin.castings.lot import ROUNDING_KG
from wormbin.farm.bins.gauges import range_words, say_reading
from wormbin.farm.bins.scene import Scene
from wormbin.farm.views.proposals import Question, SurveyView
from wormbin.figures import Band
from wormbin.measures import counted, length, mass, percent, temperature, volume
from wormbin.measures.units import WORM_KG
from wormbin.problems import Problem, RefusedError
from wormbin.process.readings import ALONG
from wormbin.process.views import Day
from wormbin.records.bins import Bin
from wormbin.records.entries import (
    Bedding,
    Check,
    Entry,
    Feeding,
    Harvest,
    Squeeze,
    Survey,
    Watering,
    Weighing,
    What,
    worms_out_kg,
)
from wormbin.records.habits import ever_fed
from wormbin.science.survey import Surveyed, survey

HALF_WAY = 0.5
"""Under this part of the share at which a bin is harvested, what is taken off is mostly no castings (ours)."""


def into_wet(what: Watering, entry: Entry, scene: Scene) -> list[Question]:
    """What to ask of water into a bin that was too wet by then, by a reading or by the log."""
    case = scene.as_it_is
    if not entry.day_only:
        case = replace(case, entries=tuple(each for each in case.entries if each.when <= entry.when))
    found = next((each for each in findings(case) if Doing.WATER in each.bars), None)
    if found is None:
        return []
    read = volume(what.kg, scene.settings.units)
    words = f"{read} of water, but {found.what}. Wait until a handful feels like a wrung sponge. Keep it?"
    return [Question("water", read, words)]


def more_than_went_in(what: Harvest, scene: Scene) -> list[Question]:
    """What to ask of a harvest that is more than all that was ever put in, by the log, less what came off since."""
    kg, units = 0.0, scene.settings.units
    for entry in scene.entries:
        one = entry.what
        if isinstance(one, Feeding | Bedding):
            kg += sum(each.kg for each in one.portions)
        elif isinstance(one, Watering):
            kg += one.kg
        elif isinstance(one, Harvest):
            kg -= one.castings_kg
        elif isinstance(one, Weighing):
            return []  # the scale knows better
    if what.castings_kg <= kg + ROUNDING_KG:
        return []
    read, left = mass(what.castings_kg, units), mass(max(0.0, kg), units)
    words = f"{read} of castings is more than what your log put in, water included, and still has there: {left}"
    return [Question("castings", read, f"{words}. Keep it?")]


def against(what: What, one: Bin, today: Day, units: str, part: int = 0) -> list[Question]:
    """What to ask of a line that does not go with what the bin is believed to hold."""
    found = []
    out = worms_out_kg(what)
    if out > today.worms_kg.p90 + ROUNDING_KG:
        found.append(_more("worms", out, today.worms_kg, units))
    if isinstance(what, Harvest):
        if what.castings_kg > today.total_kg.p90 + ROUNDING_KG:
            found.append(_more("castings", what.castings_kg, today.total_kg, units))
        elif (early := _too_early(what, one, today, units, part)) is not None:
            found.append(early)
    if isinstance(what, Survey):
        counted, believed = surveyed(what, one).bin_kg, today.worms_kg
        if counted.p90 < believed.p10 or counted.p10 > believed.p90:
            read = mass(counted.p50, units)
            words = f"{read} of worms is a surprise: {_band(believed, units)} was expected. Keep it?"
            found.append(Question("survey", read, words))
    return found


def _too_early(what: Harvest, one: Bin, today: Day, units: str, part: int) -> Question | None:
    """What to ask when so much castings cannot have been made yet, in the bin or in the one tray of it.

    Out of a ripe bin they come off with some bedding and feed among them. Out of one that is not half-way there they
    lie thin among all the rest, and as much as all of them that are likely to be there is a wonder already.
    """
    of = today.parts[part - 1] if part and part <= len(today.parts) else today
    there = all_wet_kg(of.castings_dry_kg, of.moisture.p50)
    ripening = of.castings_share.p90 >= HALF_WAY * one.harvest_share
    if what.castings_kg <= (there.p90 * (1 + ALONG) if ripening else there.p50) + ROUNDING_KG:
        return None
    read = mass(what.castings_kg, units)
    words = (
        f"{read} of castings cannot be there yet. By your log it is about {_band(there, units)}, "
        f"{percent(of.castings_share.p50)} of the bin. Keep it?"
    )
    return Question("castings", read, words)


def _more(of: str, kg: float, band: Band, units: str) -> Question:
    read = mass(kg, units)
    holds = "the whole bin weighs" if of == "castings" else "the bin holds"
    return Question(of, read, f"{read} of {of} is more than there is: {holds} {_band(band, units)}. Keep it?")


def _band(band: Band, units: str) -> str:
    return range_words(band, lambda kg: mass(kg, units))


SQUEEZE_RANGE = {
    Squeeze.DRY: (0.0, 0.72), Squeeze.DAMP: (0.5, 0.85), Squeeze.SPONGE: (0.6, 0.92), Squeeze.DRIPPING: (0.72, 1.0),
}  # fmt: skip
"""Moistures at which a handful can feel so (dry under 60 %, damp about 68, sponge about 78, dripping over 85, +-12)."""
FAR = 3.0
"""A reading further than this many half-widths outside what was believed is asked about."""


def questions(check: Check, scene: Scene) -> tuple[Question, ...]:
    """What to ask before this check is saved; the model's own belief is asked last, as it may be wrong."""
    asked = [*_moisture(check), *_warmth(check, scene), *_depth(check, scene), *_left(check, scene), *_acid(check)]
    fields = {question.field for question in asked}
    return (*asked, *(question for question in _against_belief(check, scene) if question.field not in fields))


def _moisture(check: Check) -> list[Question]:
    wet = check.moisture
    if wet is None:
        return []
    if wet < 0.45:
        return [Question("moisture", percent(wet), f"{percent(wet)} moisture would be dry as dust. Keep it?")]
    if wet > 0.96:
        return [Question("moisture", percent(wet), f"{percent(wet)} moisture would be soup. Keep it?")]
    if check.squeeze is not None:
        low, high = SQUEEZE_RANGE[check.squeeze]
        if not low <= wet <= high:
            words = f"{percent(wet)} moisture and a {check.squeeze.value} squeeze do not fit together. Keep both?"
            return [Question("moisture", percent(wet), words)]
    return []


def _warmth(check: Check, scene: Scene) -> list[Question]:
    if check.temp_c is None:
        return []
    words = temperature(check.temp_c, scene.settings.units)
    if check.temp_c >= 36:
        return [Question("temp", words, f"{words} in the bedding kills worms. Keep it?")]
    if check.temp_c <= 0:
        return [Question("temp", words, f"{words} would be frozen bedding. Keep it?")]
    return []


def _depth(check: Check, scene: Scene) -> list[Question]:
    box = scene.bin.depth_m * (1 if scene.bin.sideways else scene.bin.compartments)
    if check.contents_m is None or check.contents_m <= box:
        return []
    units = scene.settings.units
    words = f"{length(check.contents_m, units)} of contents in a box of {length(box, units)}. Keep it?"
    return [Question("depth", length(check.contents_m, units), words)]


def _left(check: Check, scene: Scene) -> list[Question]:
    if not check.left or ever_fed(scene.entries):
        return []
    words = "Nothing has been fed to this bin yet, so no feed can be left. Keep it?"
    return [Question("left", percent(check.left), words)]


def _acid(check: Check) -> list[Question]:
    if check.ph is None or 4 <= check.ph <= 9.5:
        return []
    return [Question("ph", f"{check.ph:g}", f"pH {check.ph:g} kills composting worms within a week. Keep it?")]


def _against_belief(check: Check, scene: Scene) -> list[Question]:
    today, units = scene.today, scene.settings.units
    found = []
    for field, quantity, value, band, error in (
        ("moisture", "moisture", check.moisture, today.moisture, 0.10),
        ("temp", "temp_c", check.temp_c, today.temp_c, 2.0),
        ("depth", "contents_m", check.contents_m, today.contents_m, 0.03),
    ):
        if value is not None and _far(value, band, error):
            low, high = say_reading(quantity, band.p10, units), say_reading(quantity, band.p90, units)
            read = say_reading(quantity, value, units)
            found.append(Question(field, read, f"{read} is a surprise: {low} to {high} was expected. Keep it?"))
    return found


def _far(value: float, band: Band, error: float) -> bool:
    half = max(band.p90 - band.p50, band.p50 - band.p10, error)
    return abs(value - band.p50) > FAR * half


_MUCH = 0.25
"""When more of the bin than this would be dug up for a narrower answer, that is said."""


def surveyed(said: Survey, one: Bin) -> Surveyed:
    """A survey worked out. Raises RefusedError when the samples cannot be of this bin."""
    area, masses = said.samples[0].area_m2, _masses(said)
    if area * len(masses) > one.footprint_m2:
        allowed = f"samples that are together smaller than the bin ({one.footprint_m2 * 1e4:.0f} cm2)"
        raise RefusedError(Problem("sample", f"{len(masses)} of {area * 1e4:.0f} cm2", allowed, "225 cm2"))
    return survey(masses, area, one.footprint_m2)


def survey_view(said: Survey, one: Bin, units: str) -> SurveyView:
    """What the samples say. Raises RefusedError when they cannot be of this bin."""
    area, masses, found = said.samples[0].area_m2, _masses(said), surveyed(said, one)
    words = f"{range_words(found.bin_kg, lambda kg: mass(kg, units))} of worms, from {counted(len(masses), 'sample')}"
    if found.more_samples:
        dug = (len(masses) + found.more_samples) * area / one.footprint_m2
        why = f", but dig up {percent(dug)} of the bin" if dug > _MUCH else ""
        words += f". {found.more_samples} more would make it twice as sure{why}"
    return SurveyView(tuple(mass(kg, units) for kg in masses), found.bin_kg, words, found.more_samples)


def _masses(said: Survey) -> list[float]:
    """Live kg in each sample; a count by the usual weight of a worm."""
    return [
        sample.worms_kg if sample.worms_kg is not None else (sample.worms_count or 0) * WORM_KG
        for sample in said.samples
    ]
