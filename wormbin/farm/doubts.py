"""What is asked before a line is saved that can hardly be: more out than is there, a count far off.

Nothing is refused here: the keeper may know better, and saying it again saves it.
"""

from __future__ import annotations

from collections.abc import Sequence

from wormbin.farm.errors import DoubtedError
from wormbin.farm.gauging import range_words
from wormbin.farm.opening import OpenFarm
from wormbin.farm.proposals import Question
from wormbin.farm.surveys import surveyed
from wormbin.farm.unlikely import hardly
from wormbin.figures import Band
from wormbin.measures import mass
from wormbin.process.views import Day
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Harvest, Move, Stocking, Survey, What

_SCALE_KG = 0.0005
"""A scale reads no finer than half a gram either way."""


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


def doubt(farm: OpenFarm, one: Bin, entries: Sequence[Entry], replaces: str) -> None:
    """Raise DoubtedError with what to ask before these lines are saved; what the wrong line took counts as there."""
    wrong = farm.store.find(replaces).what if replaces else None
    asked: list[Question] = []
    for entry in entries:
        what, units = entry.what, farm.units
        if said := hardly(what, one, units):
            asked.append(Question(entry.kind.value, "", f"{said}. Keep it?"))
        elif worms_out_kg(what) or isinstance(what, Harvest | Survey):
            today = farm.scene(one.key, entry.when.date()).past.today
            asked += against(what, wrong, one, today, units)
    if asked:
        raise DoubtedError(tuple(asked))


def against(what: What, wrong: What | None, one: Bin, today: Day, units: str) -> list[Question]:
    """What to ask of a line that does not go with what the bin is believed to hold."""
    found = []
    out, back = worms_out_kg(what), worms_out_kg(wrong) if wrong is not None else 0.0
    if out > today.worms_kg.p90 + back + _SCALE_KG:
        found.append(_more("worms", out, today.worms_kg, units))
    if isinstance(what, Harvest):
        gone = wrong.castings_kg if isinstance(wrong, Harvest) else 0.0
        if what.castings_kg > today.total_kg.p90 + gone + _SCALE_KG:
            found.append(_more("castings", what.castings_kg, today.total_kg, units))
    if isinstance(what, Survey):
        counted, believed = surveyed(what, one).bin_kg, today.worms_kg
        if counted.p90 < believed.p10 or counted.p10 > believed.p90:
            read = mass(counted.p50, units)
            words = f"{read} of worms by these samples was not expected: {_band(believed, units)} was. Keep it?"
            found.append(Question("survey", read, words))
    return found


def _more(of: str, kg: float, band: Band, units: str) -> Question:
    read = mass(kg, units)
    holds = "the whole bin weighs" if of == "castings" else "the bin holds"
    return Question(of, read, f"{read} of {of} is more than is there: {holds} {_band(band, units)}. Keep it?")


def _band(band: Band, units: str) -> str:
    return range_words(band, lambda kg: mass(kg, units))
