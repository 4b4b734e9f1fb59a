"""Nothing leaks: a keeper of pounds and inches reads no metric amount anywhere, one of grams no US one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

import pytest

from wormbin.advice.judgement import findings
from wormbin.farm import bins, feedings, rounds, starts
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft

METRIC = re.compile(r"\d ?(mm|cm|m|g|kg|mL|L|kg/m2|m2|cm2|°C|C)\b(?!:)")
US = re.compile(r"\d ?(in(?! 10| all)|ft|oz|lb|cups?|qt|gal|tbsp|lb/ft2|ft2|°F)\b")
BOTH = re.compile(r"3-6 mm \(1/8-1/4 in\)|225 cm2")


@pytest.fixture(scope="module", params=["metric", "us"])
def farm(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Session:
    return copied(tmp_path_factory.mktemp("units"), request.param)


def copied(folder: Path, units: str) -> Session:
    return copy_sample("apartment", folder).session(units)


def said(farm: Session) -> Iterator[str]:
    """Whatever is said of the kitchen box on several days, by every command that has amounts."""
    for day in ("2026-06-03", "2026-06-20", "2026-08-10", "2026-09-14", "2026-10-30"):
        on = date.fromisoformat(day)
        for found in findings(farm.scene("kitchen", on).case):
            yield from (found.what, found.why, found.sure, found.source, *found.do)
        view = bins.look(farm, "kitchen", on)
        yield from (gauge.words + gauge.target_words for gauge in view.gauges)
        yield from (view.headline, *view.do_now, view.harvest.words, *(step.what for step in view.harvest.steps))
        yield from rounds.sheet(farm, "kitchen", on)
    for plan in (
        bins.absence(farm, "kitchen", "tomorrow", "2026-11-12"),
        bins.absence(farm, "kitchen", "2026-11-20", "2026-12-24"),
    ):
        yield from (*plan.before, *plan.risks, *plan.neighbour, *(step.what for step in plan.steps))
    start = starts.propose(farm, BinDraft(key="new", length="60 cm", width="40 cm", depth="30 cm", worms="500 g"))
    yield from (*start.lines, *start.shopping, *start.cautions)
    yield from bins.what_if(farm, "kitchen", harvest=True).words
    yield from bins.what_if(farm, "kitchen", skip=1).words
    yield bins.what_if(farm, "kitchen", split="25%").instead.title
    yield from feedings.preview(farm, "kitchen", ["3 kg melon rind"]).lines
    yield from bins.emergency(farm, "kitchen")


def leaks(texts: Iterable[str], other: re.Pattern[str]) -> list[str]:
    """A neighbour is told in cups and handfuls, whatever the keeper's measures are."""
    kept = (text for text in texts if " handfuls (" not in text)
    return sorted({text for text in kept if other.search(BOTH.sub("", text))})


def test_no_amount_of_the_other_measures_is_said(farm: Session) -> None:
    assert leaks(said(farm), METRIC if farm.units == "us" else US) == []
