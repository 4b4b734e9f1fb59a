"""The herd: worms bin by bin with what can be spared, and a sale of worms by a day."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.farm.herd import HerdPlan, HerdView
from wormbin.measures import area, mass
from wormbin.pages.days import day
from wormbin.pages.page import GAP, Block, Column, Sentence, Table
from wormbin.science.constants import SURVEY_HOLDS_DAYS

_WHENCE = (
    "Spare: above 1.6 kg/m2 (Ndegwa, Thompson & Das 2000), and at most a third at once (ours). "
    f"Without a survey in {SURVEY_HOLDS_DAYS} days the low end of the estimate counts."
)


def herd(view: HerdView, units: str) -> Iterator[Block]:
    """Every bin's worms, what it can spare, what is due."""
    columns = (
        Column("bin"), Column("worms", right=True), Column("8 times in 10", right=True, rank=2),
        Column(f"on {area(1.0, units)}", right=True, rank=1), Column("spare", right=True), Column("surveyed", rank=3),
        Column("due"),
    )  # fmt: skip
    yield Table(columns, tuple(
        (
            each.name, mass(each.worms_kg.p50, units),
            f"{mass(each.worms_kg.p10, units)} to {mass(each.worms_kg.p90, units)}", mass(each.kg_m2, units),
            mass(each.spare_kg, units) if each.spare_kg else "-",
            each.surveyed.isoformat() if each.surveyed else "never",
            ", ".join(word for word, due in (("survey", each.survey_due), ("split", each.crowded)) if due),
        )
        for each in view.rows
    ))  # fmt: skip
    yield GAP
    yield Sentence(f"{mass(sum(each.spare_kg for each in view.rows), units)} can be spared today", "strong")
    yield Sentence("split: more than 5 kg/m2 are crowded: sell, stock another bin, or move half into a new bed.", "dim")
    yield Sentence(_WHENCE, "dim")


def plan(view: HerdPlan, units: str) -> Iterator[Block]:
    """Worms by a day: out of which bin how many; what is missing."""
    fine = not view.missing_kg
    verdict = "the bins can spare them" if fine else f"{mass(view.missing_kg, units)} are missing"
    yield Sentence(f"{mass(view.kg, units)} of worms by {day(view.by)}: {verdict}", "strong")
    for each in view.takes:
        first = "; survey it first" if each.survey_first else ""
        yield Sentence(f"{mass(each.kg, units)}{first}", lead=f"{each.name}: ", lead_role="key", indent=2)
    if view.takes:
        yield Sentence(f'Sold, write: wormbin stock {view.takes[0].bin} "{mass(view.takes[0].kg, units)}" --out '
                       "--price 40 --who NAME", "dim")  # fmt: skip
    if not fine:
        yield Sentence("More only starves the beds: ask for a later day, sell less, or buy some in.", "watch")
    yield Sentence(_WHENCE, "dim")
