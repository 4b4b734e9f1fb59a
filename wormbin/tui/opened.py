"""The pages that a key opens to read, of all bins, of the bin in hand or of a lot: each with its title and its file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from wormbin.farm import bins, comparisons, guesses, herd, inspection, rounds
from wormbin.farm.session import Session
from wormbin.pages import comparison, findings, school, selling
from wormbin.pages.page import Line, Page, Sentence, lines
from wormbin.pages.round import harvests
from wormbin.records.ids import key_from

EDGES, FITTED, PAPER = 6, 0, 100
"""What a sheet takes of the width; a page with pictures is fitted into that, one to print is as wide as paper."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is in hand (a bin's key or a lot's name, "" for none), what people call it, and how it is shown."""

    about: str
    name: str
    units: str
    ascii: bool
    width: int


@dataclass(frozen=True, slots=True)
class Opened:
    """How one of them is made, in so many cells; ``title`` and ``file`` may name what it is about."""

    title: str
    page: Callable[[Session, Asked], Page]
    file: str = "wormbin-page.txt"
    width: int = 80

    def read(self, farm: Session, of: Asked) -> tuple[str, list[Line], str]:
        """Title, lines and file."""
        width = self.width or min(of.width - EDGES, PAPER)
        page = lines(self.page(farm, of), width)
        return self.title.replace("NAME", of.name), page, self.file.replace("NAME", key_from(of.about))


OF_ALL = {
    "emergency": Opened("Emergency", lambda farm, of: findings.emergency(bins.emergency(farm, of.about))),
    "harvests": Opened("Harvests, soonest first", lambda farm, _: harvests(rounds.harvests(farm))),
    "herd": Opened("Worms", lambda farm, of: selling.herd(herd.herd(farm), of.units), "worms.txt"),
    "compare": Opened(
        "Bins side by side",
        lambda farm, of: comparison.comparison(
            comparisons.compare(farm, (of.about,) if of.about else ()), ascii=of.ascii
        ),
        "comparison.txt", FITTED,
    ),
}  # fmt: skip
"""Those that need nothing in hand."""
OF_ONE = {
    "many": Opened(
        "NAME: readings of many",
        lambda farm, of: school.many(bins.many_readings(farm, of.about), ascii=of.ascii), "NAME-readings.txt", FITTED,
    ),
    "guesses": Opened(
        "NAME: guessed, and what came",
        lambda farm, of: school.guesses(guesses.view(farm, of.about), of.units, ascii=of.ascii),
        "NAME-guesses.txt", FITTED,
    ),
    "bed": Opened(
        "NAME: record", lambda farm, of: selling.bed(inspection.bed(farm, of.about), of.units), "NAME-record.txt", PAPER
    ),
    "sheet": Opened(
        "NAME: weekly sheet", lambda farm, of: map(Sentence, rounds.sheet(farm, of.about)), "NAME-sheet.txt"
    ),
    "lot": Opened(
        "Lot NAME: record", lambda farm, of: selling.lot(inspection.lot(farm, of.about), of.units), "record-NAME.txt"
    ),
}  # fmt: skip
