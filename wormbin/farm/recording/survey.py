"""A worm survey so far: the interval of the worm mass, and how many more samples would halve it."""

from __future__ import annotations

from wormbin.farm.bins.gauges import range_words
from wormbin.farm.views.proposals import SurveyView
from wormbin.measures import counted, mass, percent
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Survey
from wormbin.records.worms import WORM_KG
from wormbin.science.survey import Surveyed, survey

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
        why = f" (they would dig up {percent(dug)} of the bin with those)" if dug > _MUCH else ""
        words += f"; {found.more_samples} more would halve the doubt{why}"
    return SurveyView(tuple(mass(kg, units) for kg in masses), found.bin_kg, words, found.more_samples)


def _masses(said: Survey) -> list[float]:
    """Live kg in each sample; a count by the usual weight of a worm."""
    return [
        sample.worms_kg if sample.worms_kg is not None else (sample.worms_count or 0) * WORM_KG
        for sample in said.samples
    ]
