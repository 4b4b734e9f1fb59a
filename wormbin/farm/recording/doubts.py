"""What is asked before a line is saved that can hardly be, or can only harm: more out than is there, water into wet.

Nothing is refused here: the keeper may know better, and saying it again saves it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wormbin.advice.finding import Doing
from wormbin.advice.judgement import findings
from wormbin.advice.rules.harvest import all_wet_kg
from wormbin.castings.lot import ROUNDING_KG
from wormbin.farm.bins.gauges import range_words
from wormbin.farm.bins.scene import Scene
from wormbin.farm.errors import DoubtedError
from wormbin.farm.recording.check_questions import questions
from wormbin.farm.recording.survey import surveyed
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import Question
from wormbin.farm.words.unlikely import hardly, kept_out_words
from wormbin.figures import Band
from wormbin.measures import mass, percent, volume
from wormbin.process.course import ALONG
from wormbin.process.views import Day
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Check, Entry, Harvest, Move, Stocking, Survey, Watering, What

HALF_WAY = 0.5
"""Under this part of the share at which a bin is harvested, what is taken off is mostly no castings (ours)."""


def worms_out_kg(what: What) -> float:
    """Live kg that leave a bin by a line; 0 when none do."""
    match what:
        case Stocking(worms_kg=kg):
            return max(0.0, -kg)
        case Move(worms_kg=kg, into=into):
            return 0.0 if into else kg
        case Harvest(worms_out_kg=kg):
            return kg or 0.0
    return 0.0


def doubt(farm: Session, one: Bin, entries: Sequence[Entry], replaces: str) -> None:
    """Raise DoubtedError with what to ask before these lines are saved; the line put right is held to be unwritten."""
    asked: list[Question] = []
    for entry in entries:
        what, units = entry.what, farm.units
        if isinstance(what, Bedding) and (out := kept_out_words(what.portions, farm.table)):
            asked += [Question(entry.kind.value, "", f"{each[:1].upper()}{each[1:]}. Keep it?") for each in out]
        elif said := hardly(what, one, units):
            asked.append(Question(entry.kind.value, "", f"{said}. Keep it?"))
        elif worms_out_kg(what) or isinstance(what, Harvest | Survey | Watering | Check):
            scene = farm.scene(one.key, entry.when.date())
            if replaces:
                scene = farm.cache.without(scene, farm.store.find(replaces).id)
            if isinstance(what, Check):
                asked += questions(what, scene)
            elif isinstance(what, Watering):
                asked += into_wet(what, entry, scene)
            else:
                asked += against(what, one, scene.today, units, entry.compartment)
    if asked:
        raise DoubtedError(tuple(asked))


def into_wet(what: Watering, entry: Entry, scene: Scene) -> list[Question]:
    """What to ask of water into a bin that was too wet by then, by a reading or by the log."""
    case = scene.as_it_is
    if not entry.day_only:
        case = replace(case, entries=tuple(each for each in case.entries if each.when <= entry.when))
    found = next((each for each in findings(case) if Doing.WATER in each.bars), None)
    if found is None:
        return []
    read = volume(what.kg, scene.settings.units)
    words = f"{read} of water, and {found.what}. Wait until a handful is like a wrung sponge. Keep it?"
    return [Question("water", read, words)]


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
            words = f"{read} of worms by these samples was not expected: {_band(believed, units)} was. Keep it?"
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
        f"{read} of castings cannot be there yet: worked out from the log, about {_band(there, units)} are, "
        f"{percent(of.castings_share.p50)} of the dry matter. Keep it?"
    )
    return Question("castings", read, words)


def _more(of: str, kg: float, band: Band, units: str) -> Question:
    read = mass(kg, units)
    holds = "the whole bin weighs" if of == "castings" else "the bin holds"
    return Question(of, read, f"{read} of {of} is more than is there: {holds} {_band(band, units)}. Keep it?")


def _band(band: Band, units: str) -> str:
    return range_words(band, lambda kg: mass(kg, units))
