"""Readings that can be but hardly are: asked about kindly before they are saved, never dropped."""

from __future__ import annotations

from wormbin.farm.bins.gauges import say_reading
from wormbin.farm.bins.scene import Scene
from wormbin.farm.views.proposals import Question
from wormbin.figures import Band
from wormbin.measures import length, percent, temperature
from wormbin.records.entries import Check, Feeding, Squeeze

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
            words = f"{percent(wet)} moisture and a {check.squeeze.value} squeeze do not go together. Keep both?"
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
    if check.left is None or any(isinstance(entry.what, Feeding) for entry in scene.entries):
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
            found.append(Question(field, read, f"{read} was not expected: {low} to {high} was. Keep it?"))
    return found


def _far(value: float, band: Band, error: float) -> bool:
    half = max(band.p90 - band.p50, band.p50 - band.p10, error)
    return abs(value - band.p50) > FAR * half
