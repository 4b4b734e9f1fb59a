"""What a log line says about the bin: readings with their spread, and those of one day put together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

from wormbin.measures.units import WORM_KG
from wormbin.records.entries import Check, Entry, Harvest, MoistureBy, Squeeze, Survey, Weighing
from wormbin.science.constants import SPONGE_MOISTURE, TENTH_SD
from wormbin.science.survey import survey

SQUEEZES = {Squeeze.DRY: 0.55, Squeeze.DAMP: 0.68, Squeeze.SPONGE: SPONGE_MOISTURE, Squeeze.DRIPPING: 0.87}
"""Moisture that a squeeze stands for: dry under 60 %, damp about 68, sponge about 78, dripping over 85."""
SQUEEZE_SD = 0.06
METER_SD = 0.10
OVEN_SD = 0.015
LEFT_SD = 0.15
WEIGHING_SHARE = 0.02
RULER_M = 0.012
RULER_SHARE = 0.08
LEAST_DEPTH_M = 0.002
"""Less than this a ruler cannot show."""
HARVEST_SD = 0.35
"""Natural log of a harvest against the castings there were; of it ``SORTED_SD`` is how well it was sorted."""
SORTED_SD = 0.25
"""Natural log of what stays behind at a harvest when nobody says; our choice."""
STAYED_SD = 0.10
"""The eye's doubt about the share of the castings that stayed behind, where it is a half; less towards none. Ours."""
ALONG = 0.25
"""Castings come off with some bedding and feed among them: dry matter of these, a share of the castings (ours)."""
LEAST_STAYED = 0.03
"""No sorting gets the last of the castings; our choice."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing read: which quantity, where (0: not said), by what, its value and one standard deviation.

    ``own_sd`` is what differs from reading to reading; the rest is shared by readings of one instrument and day.
    Masses of worms and castings are natural logs of kg. ``at_least`` and ``at_most`` mark open-ended readings.
    """

    entry: Entry
    quantity: str
    compartment: int
    by: str
    value: float
    sd: float
    own_sd: float
    at_least: bool = False
    at_most: bool = False


def readings_of(entry: Entry, tare_kg: float | None, footprint_m2: float, part_m2: float) -> list[Reading]:
    """The readings in one entry; harvests are read as well as done. A weighing with an unknown box is left out."""
    what = entry.what
    where = entry.compartment
    found: list[Reading] = []
    if isinstance(what, Check):
        if what.moisture is not None:
            oven = what.moisture_by is MoistureBy.OVEN
            sd = OVEN_SD if oven else METER_SD
            by = "oven" if oven else "meter"
            found.append(Reading(entry, "moisture", where, by, what.moisture, sd, 0.01 if oven else 0.04))
        if what.squeeze is not None:
            found.append(
                Reading(
                    entry, "moisture", where, "squeeze", SQUEEZES[what.squeeze], SQUEEZE_SD, 0.04,
                    at_least=what.squeeze is Squeeze.DRIPPING, at_most=what.squeeze is Squeeze.DRY,
                )
            )  # fmt: skip
        if what.left is not None:
            found.append(Reading(entry, "left", where, "eye", what.left, LEFT_SD, 0.10))
        if what.contents_m is not None and what.contents_m > LEAST_DEPTH_M:
            sd = sqrt((RULER_M / what.contents_m) ** 2 + RULER_SHARE**2)
            found.append(Reading(entry, "contents_m", where, "ruler", log(what.contents_m), sd, 0.5 * sd))
        if what.temp_c is not None:
            found.append(Reading(entry, "temp_c", where, "thermometer", what.temp_c, 1.0, 0.7))
    elif isinstance(what, Weighing):
        kg = what.kg
        if what.with_box:
            kg = what.kg - tare_kg if tare_kg is not None else 0.0
        if kg > 0.0:
            found.append(Reading(entry, "total_kg", where, "scale", log(kg), WEIGHING_SHARE, 0.01))
    elif isinstance(what, Survey):
        herd = _survey(what, part_m2 if where else footprint_m2)
        if herd is not None:
            found.append(Reading(entry, "worms_kg", where, "survey", herd[0], herd[1], herd[1]))
    elif isinstance(what, Harvest) and what.castings_kg > 0.0:
        sd = HARVEST_SD
        if what.left_behind is not None:
            share, doubt = stayed(what.left_behind)
            sd = sqrt(HARVEST_SD**2 - SORTED_SD**2 + (share * doubt) ** 2)
        found.append(Reading(entry, "castings_kg", where, "scale", log(what.castings_kg), sd, sd))
    return found


def stayed(left_behind: float) -> tuple[float, float]:
    """The share of the castings that stayed, as seen, and the doubt (natural log) about its ratio to what was taken.

    The share's own doubt is ``2 * STAYED_SD * sqrt(share * (1 - share))``, hence that of share / (1 - share).
    """
    share = max(LEAST_STAYED, left_behind)
    return share, 2.0 * STAYED_SD / sqrt(share * (1.0 - share))


LEAST_SAMPLE_M2 = 1e-6
"""No frame is smaller than a square millimetre: an area under it is a slip of whoever edited the file."""


def _survey(samples: Survey, area_m2: float) -> tuple[float, float] | None:
    """Natural log of the herd, kg, and its standard deviation, from equal-area samples (see ``science/survey``)."""
    per_m2 = []
    for sample in samples.samples:
        kg = sample.worms_kg
        if kg is None and sample.worms_count is not None:
            kg = sample.worms_count * WORM_KG
        if kg is not None and sample.area_m2 >= LEAST_SAMPLE_M2:
            per_m2.append(kg / sample.area_m2)
    if not per_m2 or area_m2 <= 0.0:
        return None
    each_m2 = min(max(samples.samples[0].area_m2, LEAST_SAMPLE_M2), area_m2 / len(per_m2))
    found = survey([kg * each_m2 for kg in per_m2], each_m2, area_m2).bin_kg
    if found.p50 <= 0.0:
        return None
    # The band is wide and leans; the log-normal with its middle and its upper edge stands in for it.
    return log(found.p50), max(0.02, log(found.p90 / found.p50) / TENTH_SD)


@dataclass(frozen=True, slots=True)
class Combined:
    """Readings of one quantity, place, instrument and day, put together: value, standard deviation, and weights."""

    value: float
    sd: float


def combine(readings: Sequence[Reading], weights: Sequence[float]) -> Combined:
    """Readings of one occasion as one: their weighted mean, and a spread that cannot shrink below the shared error."""
    whole = sum(weights)
    mean = sum(r.value * w for r, w in zip(readings, weights, strict=True)) / whole
    first = readings[0]
    own = first.own_sd**2
    if len(readings) > 1:
        seen = sum(w * (r.value - mean) ** 2 for r, w in zip(readings, weights, strict=True)) / whole
        own = max(own, seen)
    shared = max(0.0, first.sd**2 - first.own_sd**2)
    return Combined(mean, sqrt(shared + own / whole))


def occasions(entries: Iterable[Entry]) -> list[tuple[bool, list[Entry]]]:
    """A day's entries as runs: what was only seen, together; what was done, one by one. True for a run of seeing."""
    runs: list[tuple[bool, list[Entry]]] = []
    for entry in entries:
        seeing = isinstance(entry.what, Check | Weighing | Survey)
        if seeing and runs and runs[-1][0]:
            runs[-1][1].append(entry)
        else:
            runs.append((seeing, [entry]))
    return runs


def shown(quantity: str, value: float) -> float:
    """A reading's value as a keeper knows it (masses and depths come as logs)."""
    return exp(value) if quantity in ("worms_kg", "castings_kg", "total_kg", "contents_m") else value
