"""What is asked before a line is saved that can hardly be, or can only harm.

Nothing is refused here: the keeper may know better, and saying it again saves it."""

from __future__ import annotations

from collections.abc import Sequence

from wormbin.farm.errors import DoubtedError, Question
from wormbin.farm.session import Session
from wormbin.farm.words.unlikely import hardly, kept_out_words, not_meant
from wormbin.measures import counted
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Check, Comparison, Entry, Feeding, Harvest, Survey, Watering, worms_out_kg
from wormbin.science.paired import LEAST_WEEKS


def doubt(farm: Session, one: Bin, entries: Sequence[Entry], replaces: str) -> None:
    """Raise DoubtedError with what to ask before these lines are saved; the line put right is held to be unwritten."""
    asked: list[Question] = []
    for entry in entries:
        what, units = entry.what, farm.units
        if isinstance(what, Bedding | Feeding) and (other := "; ".join(not_meant(farm, one, what))):
            asked.append(Question(entry.kind.value, "", f"{other}. Keep it?"))
        elif isinstance(what, Bedding) and (out := kept_out_words(what.portions, farm.table)):
            asked += [Question(entry.kind.value, "", f"{each[:1].upper()}{each[1:]}. Keep it?") for each in out]
        elif said := hardly(what, one, units):
            asked.append(Question(entry.kind.value, "", f"{said}. Keep it?"))
        elif isinstance(what, Comparison):
            weeks = (what.until - entry.when.date()).days // 7
            if weeks < LEAST_WEEKS:
                last = what.until.isoformat()
                short = f"{last} is after {counted(weeks, 'week')}. {LEAST_WEEKS} weeks of readings are the least"
                asked.append(Question("until", last, f"{short} to tell a difference. Keep it?"))
        elif worms_out_kg(what) or isinstance(what, Harvest | Survey | Watering | Check):
            # Only for these is the model loaded: a note or a bedding is saved without it.
            from wormbin.farm.recording import held_against

            scene = farm.scene(one.key, entry.when.date())
            if replaces:
                scene = farm.cache.without(scene, farm.store.find(replaces).id)
            if isinstance(what, Check):
                from wormbin.farm.bins import many

                beside = many.asked(scene, entry)
                same = {each.field for each in beside}
                asked += [*beside, *(each for each in held_against.questions(what, scene) if each.field not in same)]
            elif isinstance(what, Watering):
                asked += held_against.into_wet(what, entry, scene)
            else:
                against = held_against.against(what, one, scene.today, units, entry.compartment)
                if isinstance(what, Harvest):
                    against = held_against.more_than_went_in(what, scene) or against
                asked += against
    if asked:
        raise DoubtedError(tuple(asked))
