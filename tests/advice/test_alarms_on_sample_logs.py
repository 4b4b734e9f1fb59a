"""Alarms judged against what really happened in the sample bins, which a world other than the model made up.

True: told on the day or the day after (or while it was coming, three days before). Late: told while it lasted. Missed:
not told. *Plain* is a trouble well past its limit: a pile-up of ten days' work, heat of three days, cold of a week; the
rest touches its limit for a few days, which no log can tell for sure. A false alarm is one that begins in a calm
stretch, in which nothing is wrong by a good margin.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache

import pytest

from tests.advice.sample_cases import evening, evenings, read_log
from tests.worlds.stories import Happened, happened
from tests.worlds.truth import Stretch
from wormbin.advice import judgement
from wormbin.advice.finding import Finding
from wormbin.advice.judgement import ASKS, NEWS, SAID_BEFORE, findings
from wormbin.advice.rules import sightings
from wormbin.figures import Level
from wormbin.science.signs import SIGNS

LOGS = ("apartment", "classroom", "seller")
ANSWERS = {
    "overfed": {"overfed", "left-over", "thick-layer"},
    "wet": {"too-wet", "standing-water", "air-short", "water-base"},
    "air_short": {"air-short", "too-wet", "standing-water", "overfed"},
    "hot": {"too-hot", "heat-to-come"},
    "cold": {"too-cold"},
    "dry": {"too-dry"},
}
# What a keeper saw and wrote down is no alarm of the program's own, and a request or good news is no alarm at all.
OWN_EYES = {sign.code for sign in SIGNS} | {"smell-rotten", "reading-questioned"}
# Nor is what the form told them before they saved it all the same: these made-up keepers never saw a form.
NO_ALARM = ASKS | NEWS | SAID_BEFORE | OWN_EYES | {"harvest-late"}
BEFORE, IN_TIME = 3, 1
PLAIN_DAYS_OF_FEED = 9.5
BARE_KG = 0.05
"""A bin with less feed than this in it really has none: to be told so on a calm day is no false alarm."""


@dataclass
class Tally:
    true: int = 0
    late: int = 0
    missed: int = 0
    plain: int = 0
    plain_caught: int = 0
    plain_in_time: int = 0
    lines: list[str] = field(default_factory=list)

    @property
    def caught(self) -> float:
        told = self.true + self.late
        return told / max(1, told + self.missed)


@cache
def alarms(log: str, bin_key: str, last: date) -> dict[date, frozenset[str]]:
    """The codes of the alarms on each evening of one bin."""
    bin_ = next(each for each in read_log(log)[0] if each.key == bin_key)
    return {
        case.on: frozenset(
            found.code
            for found in findings(case)
            if found.level is not Level.STEADY and found.code not in NO_ALARM and not told_back(found)
        )
        for case in evenings(bin_, last)
    }


def told_back(found: Finding) -> bool:
    """Whether a watch says nothing but what the keeper read in hand and wrote down: their own eyes as well."""
    read = found.code in {row.code for row in sightings.TABLE} and "the estimate agrees" not in found.what
    return found.level is Level.WATCH and found.seen and read


def is_plain(kind: str, each: Happened, stretch: Stretch) -> bool:
    """Whether a trouble is well past its limit."""
    days = [each.truth.on(stretch.first + timedelta(days=n)) for n in range(stretch.days)]
    if kind == "overfed":
        return max(day.waiting_days for day in days) >= PLAIN_DAYS_OF_FEED
    return stretch.days >= {"hot": 3, "cold": 7}.get(kind, 1)


def judge(kind: str, each: Happened, tally: Tally) -> None:
    told = alarms(each.log, each.bin, each.last)
    for stretch in getattr(each, kind):
        days = [stretch.first + timedelta(days=n) for n in range(-BEFORE, stretch.days + IN_TIME)]
        hits = [(day - stretch.first).days for day in days if told.get(day, frozenset()) & ANSWERS[kind]]
        verdict = "missed" if not hits else "true" if hits[0] <= IN_TIME else "late"
        setattr(tally, verdict, getattr(tally, verdict) + 1)
        plain = is_plain(kind, each, stretch)
        tally.plain += plain
        tally.plain_caught += plain and verdict != "missed"
        tally.plain_in_time += plain and verdict == "true"
        when = f", {hits[0]} days after" if verdict == "late" else ""
        tally.lines.append(
            f"  {each.log:10} {each.bin:8} {kind:9} {stretch.first} {stretch.days:3} days"
            f"{', plain' * plain}: {verdict}{when}"
        )


def false_alarms(each: Happened) -> tuple[Counter[str], int]:
    """Alarms that begin on a calm day, by code, and how many calm days there were."""
    told, begun, calm_days = alarms(each.log, each.bin, each.last), Counter[str](), 0
    before: frozenset[str] = frozenset()
    for day, now in sorted(told.items()):
        if any(day in stretch for stretch in each.calm):
            calm_days += 1
            bare = each.truth.on(day).feed_waiting_kg < BARE_KG
            begun.update(code for code in now - before if not (code == "hungry" and bare))
        before = now
    return begun, calm_days


def table() -> tuple[str, dict[str, Tally], float]:
    """The table in words, the tally of each kind, and false alarms per calm bin-month."""
    tallies = {kind: Tally() for kind in ANSWERS}
    begun: Counter[str] = Counter()
    calm_days = 0
    for each in (one for log in LOGS for one in happened(log)):
        for kind, tally in tallies.items():
            judge(kind, each, tally)
        more, days = false_alarms(each)
        begun.update(more)
        calm_days += days
    rate = sum(begun.values()) / (calm_days / 30.44)
    rows = ["trouble     true  late  missed  caught  plain: in time, caught, of"]
    rows += [
        f"{kind:10} {t.true:5} {t.late:5} {t.missed:7}   {t.caught:5.0%}  "
        f"{t.plain_in_time:14} {t.plain_caught:7} {t.plain:3}"
        for kind, t in tallies.items()
    ]
    rows += [line for tally in tallies.values() for line in tally.lines]
    quiet = 1.0 - min(1.0, sum(begun.values()) / (calm_days / 7))
    rows.append(
        f"false alarms in {calm_days / 30.44:.0f} calm bin-months: {rate:.2f} a month, {quiet:.0%} of calm weeks "
        f"without one  {dict(begun.most_common())}"
    )
    return "\n".join(rows), tallies, rate


@pytest.fixture(scope="module")
def judged() -> tuple[str, dict[str, Tally], float]:
    found = table()
    print("\n" + found[0])
    return found


@pytest.mark.long
def test_overfeedings_and_wet_spells_are_caught_in_time(judged: tuple[str, dict[str, Tally], float]) -> None:
    text, tallies, _rate = judged
    assert tallies["overfed"].plain >= 5, text
    assert tallies["overfed"].plain_in_time == tallies["overfed"].plain, text
    # The others are over by a day or two; while they last no feed is advised all the same.
    assert tallies["overfed"].caught >= 0.6, text
    assert tallies["wet"].true == tallies["wet"].plain >= 3, text


@pytest.mark.more
def test_while_a_pile_up_lasts_no_feed_is_advised_on_most_days_whether_it_is_called_one_or_not() -> None:
    """The clock, the eye and what was found hold the feed, also where nothing calls it overfed."""
    held = []
    for each in (one for log in LOGS for one in happened(log)):
        bin_ = next(one for one in read_log(each.log)[0] if one.key == each.bin)
        stretches = [one for one in each.overfed if one.days >= 5]
        for case in evenings(bin_, max((one.last for one in stretches), default=each.first)):
            held += [(one, judgement.judge(case).ration.kg == 0.0) for one in stretches if case.on in one]
    by_stretch = {id(one): [no for other, no in held if other is one] for one, _no in held}
    assert len(by_stretch) >= 8
    short = [days for days in by_stretch.values() if sum(days) < 0.6 * len(days)]
    assert len(short) <= 1, held


@pytest.mark.long
def test_heat_and_cold_are_caught_when_they_last(judged: tuple[str, dict[str, Tally], float]) -> None:
    text, tallies, _rate = judged
    assert tallies["hot"].plain_in_time == tallies["hot"].plain >= 2, text
    assert tallies["cold"].plain_caught == tallies["cold"].plain >= 3, text
    assert tallies["air_short"].missed == 0, text


@pytest.mark.long
def test_calm_weeks_are_left_in_peace(judged: tuple[str, dict[str, Tally], float]) -> None:
    text, _tallies, rate = judged
    assert rate < 1 / 3, text


@pytest.mark.parametrize(("log", "bin_key"), [("apartment", "kitchen"), ("classroom", "paper"), ("seller", "crate-2")])
def test_an_overfeeding_is_told_with_its_amounts_and_the_day_until_which_to_hold(log: str, bin_key: str) -> None:
    story = next(each for each in happened(log) if each.bin == bin_key)
    bin_ = next(each for each in read_log(log)[0] if each.key == bin_key)
    worst = max(story.overfed, key=lambda stretch: story.truth.on(stretch.first).feed_waiting_kg)
    case = evening(bin_, worst.first + timedelta(days=IN_TIME))
    found = next(each for each in findings(case) if each.code == "overfed")
    steps = " | ".join(found.do)
    assert re.search(r"\d (kg|g)", found.what), found.what
    assert "do not feed until" in steps or "do not feed for the next" in steps
    waits, work = story.truth.on(case.on).feed_waiting_kg, story.truth.on(case.on).waiting_days
    out = re.search(r"take out about ([\d.]+) kg of food. Put it in a bucket with dry bedding", steps)
    # Ten days' work and more: a part of it is lifted out again, and no more than there is.
    assert (out is not None) is (work > PLAIN_DAYS_OF_FEED), steps
    assert out is None or 0.2 * waits <= float(out[1]) <= waits, (steps, waits)


@pytest.mark.more
@pytest.mark.parametrize(
    ("log", "bin_key"), [("apartment", "kitchen"), pytest.param("seller", "crate-1", marks=pytest.mark.long)]
)
def test_a_wet_spell_is_looked_for_first_and_let_out_by_amount_once_the_keeper_saw_it(log: str, bin_key: str) -> None:
    story = next(each for each in happened(log) if each.bin == bin_key)
    bin_ = next(each for each in read_log(log)[0] if each.key == bin_key)
    spell = story.wet[0]
    case = evening(bin_, spell.first + timedelta(days=IN_TIME))
    found = [each for each in findings(case) if each.code in ANSWERS["wet"] and each.level is not Level.STEADY]
    steps = " | ".join(step for each in found for step in each.do)
    assert "look at the base first" in steps
    assert not re.search(r"\d (kg|g|L|mL)\b", steps), "no dose on a guess"
    days = [spell.first + timedelta(days=n) for n in range(spell.days)]
    seen = [each for on in days for each in findings(evening(bin_, on)) if each.code == "water-base"]
    assert seen, "the keeper saw the water and wrote it down"
    drawn = re.search(r"tip or draw off about ([\d.]+) L", seen[0].do[0])
    assert drawn is not None, seen[0].do
    assert 0 < float(drawn[1]) <= 1.1 * 0.1 * story.truth.on(spell.first).total_kg


@pytest.mark.long
def test_a_harvest_is_near_or_due_when_it_is_and_not_long_before() -> None:
    told = []
    for each in (one for log in LOGS for one in happened(log)):
        bin_ = next(one for one in read_log(each.log)[0] if one.key == each.bin)
        for stretch in (one for one in each.due if one.days >= 14):
            codes = {found.code for found in findings(evening(bin_, stretch.first + timedelta(days=13)))}
            early = {found.code for found in findings(evening(bin_, stretch.first - timedelta(days=60)))}
            ready = bool(codes & {"harvest-near", "harvest-due", "harvest-late"})
            told.append((each.bin, stretch.first, ready, "harvest-due" in early))
    assert len(told) >= 5
    assert sum(not ready for *_rest, ready, _early in told) <= 1, told
    assert sum(early for *_rest, early in told) <= 1, told


if __name__ == "__main__":
    print(table()[0])
