"""Lots and their lines in words, and a line as the command that would write it again."""

from __future__ import annotations

from wormbin.castings.lot import Lot
from wormbin.farm.words.log import kept_words
from wormbin.measures import Dimension, exact, mass, percent, tidy, volume, written_exactly
from wormbin.problems import Problem, RefusedError
from wormbin.records.lots import Intake, LotLine, LotStep, LotWhat, Measured, Sale, Stepped, Use

STEP_WORDS = {
    LotStep.HARVESTED: "harvested",
    LotStep.CURING: "curing",
    LotStep.SCREENED: "screened",
    LotStep.STOCK: "in stock",
}


def line_words(what: LotWhat, units: str) -> str:
    """What a line of the castings book says, in one line."""
    match what:
        case Intake(source, kg, moisture, said):
            wet = f", moisture {percent(moisture)}" if moisture is not None else ""
            return f"{kept_words(said, units) or mass(kg, units)} came in from {source}{wet}"
        case Stepped(step, kg, litres, moisture, _said):
            return ", ".join([STEP_WORDS[step], *_readings(kg, litres, moisture, units)])
        case Measured(kg, litres, moisture, _said):
            return "measured: " + ", ".join(_readings(kg, litres, moisture, units))
        case Sale(kg, purpose, price, said):
            money = f", {price:g} paid" if price is not None else ""
            return f"sold {kept_words(said, units) or mass(kg, units)}{_for(purpose)}{money}"
        case Use(kg, purpose, said):
            return f"used {kept_words(said, units) or mass(kg, units)}{_for(purpose)}"


def _for(purpose: str) -> str:
    return f" for {purpose}" if purpose else ""


def _readings(kg: float | None, litres: float | None, moisture: float | None, units: str) -> list[str]:
    return [
        *([mass(kg, units, digits=3)] if kg is not None else []),
        *([volume(litres, units)] if litres is not None else []),
        *([f"moisture {percent(moisture)}"] if moisture is not None else []),
    ]


def short_words(lot: Lot, units: str) -> str:
    """What is wrong with a lot out of which more went than was in it; empty for a lot that adds up."""
    if not lot.short_kg:
        return ""
    return (
        f"more went out of lot {lot.name} than was in it, by {mass(lot.short_kg, units)}:"
        " strike or amend the line that is wrong (castings show)"
    )


def amendment(line: LotLine, units: str) -> tuple[tuple[str, ...], tuple[str, ...], dict[str, str]]:
    """The command with its lot, its words and its options, that would write the line again. Refuses half a harvest."""
    what = line.what
    if isinstance(what, Intake):
        harvest = line.id.removesuffix("~")
        raise RefusedError(
            Problem("entry", line.id, f"the harvest itself, line {harvest}: its lot follows it", harvest)
        )
    if isinstance(what, Sale | Use):
        verb = "sell" if isinstance(what, Sale) else "use"
        money = what.price if isinstance(what, Sale) else None
        options = {"purpose": what.purpose, "price": "" if money is None else written_exactly(money)}
        return ("castings", verb, line.lot), (what.said or exact(what.kg, Dimension.MASS, units),), options
    read = (("mass", what.kg, Dimension.MASS), ("volume", what.litres, Dimension.VOLUME))
    options = {name: "" if si is None else exact(si, of, units) for name, si, of in read}
    options["moisture"] = "" if what.moisture is None else exact(what.moisture, Dimension.FRACTION)
    if isinstance(what, Stepped):
        return ("castings", "step", line.lot), (what.step.value,), options
    return ("castings", "weigh", line.lot), (), options


def lot_name(words: str) -> str:
    """A lot's name as it is kept: one blank between words."""
    return " ".join(tidy(words).split())
