"""Whatever a log holds: one ration at every door, no feed beside a stop, no dose without a reading, one clock."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import count, pairwise
from pathlib import Path

from hypothesis import HealthCheck, Phase, example, given, settings, strategies as st

from tests.farm.a_farm import NOW, open_farm
from tests.situations.judging import moisture_read
from tests.situations.kept import KEY, Base
from tests.situations.laws import AMOUNT, broken
from tests.situations.playing import Stage, UnwrittenError, ask, document, write
from tests.situations.situation import Line
from wormbin.farm import bins
from wormbin.measures import mass

FEW = settings(
    max_examples=settings().max_examples // 20,  # a store each: one more than the named ones in every run, 20 at length
    deadline=None,
    derandomize=True,
    database=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=list(HealthCheck),
)
_NUMBERS = count()
BASES = st.builds(
    Base,
    name=st.sampled_from(["kept", "unread", "winter", "bare"]),
    age=st.sampled_from([10, 60]),
    quiet=st.sampled_from([3, 8]),
)
"""Few, so that each is brought in once."""
READINGS = st.sampled_from(
    [
        "--squeeze dry", "--squeeze damp", "--squeeze sponge", "--squeeze dripping", "--moisture 92", "--moisture 55",
        "--temp 3C", "--temp 9C", "--temp 21C", "--temp 31C", "--temp 36C", "--left 0%", "--left 10%", "--left 40%",
        "--left 80%", "--left 100%", "--ph 4.2", "--ph 6.8", "--ph 9.4", "--smell rotten", "--smell sour",
        "--smell earthy", "--seen 'worms leaving'", "--seen ants", "--seen mites", "--depth 8cm", "--depth 29cm",
    ]
)  # fmt: skip
DEEDS = st.sampled_from(
    [
        "feed '300 g melon rind'", "feed '1.5 kg vegetable scraps'", "feed '2 kg orange peel'", "water '500 mL'",
        "water '3 L'", "bedding '300 g shredded cardboard'", "fluff", "drain '500 mL'", "stock '300 g' --out",
        "harvest '2 kg'", "settings away '2026-06-05 to 2026-06-12: summer'",
    ]
)  # fmt: skip
LINES = st.lists(
    st.tuples(
        st.integers(-7, 0),
        st.just("17:00"),
        st.one_of(READINGS.map("check {}".format), READINGS.map("check {}".format), DEEDS),
    ),
    max_size=5,
).map(lambda lines: tuple(sorted(lines)))
LEAVING: Line = (0, "17:00", "check --seen 'worms leaving'")
HALF_LEFT: Line = (0, "17:00", "check --left 60%")
HARVESTED: Line = (-1, "17:00", "harvest '2 kg'")
WET = tuple((day, "17:00", "check --squeeze dripping") for day in (-3, 0))


def written(stage: Stage, base: Base, lines: tuple[Line, ...]) -> Path:
    """A store with that bin and those lines; one that is not taken is left out."""
    store = stage.store(base, f"random-{next(_NUMBERS)}")
    for line in lines:
        try:
            write(store, line)
        except UnwrittenError:
            continue
    return store


def rations(store: Path) -> Iterator[tuple[str, float]]:
    """What may be fed today, in kg, by each door; a door that names no amount today is left out."""
    row = ask(store, "round").bin
    yield "the round", row["feed_up_to_kg"]
    farm = open_farm(store)
    yield "the bin's page", bins.look(farm, KEY).feed_up_to_kg
    yield "the feeding form", document(store, "feed", KEY, "100 g melon rind", "--try")["feed_up_to_kg"]
    for number, step in enumerate(step for step in row["do"] if re.match("feed up to ", step)):
        yield f"step {number} of the round", first_kg(step)
    named = re.search(r"^Mon  1 Jun.*?^Tue", ask(store, "sheet").text, re.MULTILINE | re.DOTALL)
    due = re.search(r"\bfeed \(?(?:about|up to) [^)]*", " ".join(named[0].split())) if named else None
    if due:
        yield "the weekly sheet", first_kg(due[0])
    for day, kg in calendar(store):
        if day == NOW.date():
            yield "the calendar", kg


def calendar(store: Path) -> Iterator[tuple[date, float]]:
    """The days on which the calendar says to feed, and how much, in kg."""
    for event in ask(store, "calendar --out -").text.replace("\n ", "").split("BEGIN:VEVENT"):
        day = re.search(r"DTSTART;VALUE=DATE:(\d{8})", event)
        due = re.search(r"DESCRIPTION:.*?Feed Kitchen: [^\\\r\n]*", event)
        if day and due and any(unit in ("kg", "g") for _number, unit in AMOUNT.findall(due[0])):
            yield date.fromisoformat(day[1]), first_kg(due[0])


def first_kg(words: str) -> float:
    """The first amount of mass in some words."""
    number, unit = next(found for found in AMOUNT.findall(words) if found[1] in ("kg", "g"))
    return float(number) * (1.0 if unit == "kg" else 0.001)


@FEW
@given(base=BASES, lines=LINES)
@example(base=Base(), lines=())
@example(base=Base(), lines=(LEAVING,))
@example(base=Base(), lines=(HALF_LEFT,))
def test_every_door_gives_the_same_ration(stage: Stage, base: Base, lines: tuple[Line, ...]) -> None:
    found = dict(rations(written(stage, base, lines)))
    assert len({mass(kg, "metric") for kg in found.values()}) == 1, found


@FEW
@given(base=BASES, lines=LINES)
@example(base=Base(), lines=())
@example(base=Base(), lines=(HARVESTED,))
@example(base=Base(), lines=WET)
@example(base=Base("winter", age=10, quiet=3), lines=())
def test_no_more_is_planned_than_the_ration_of_that_day(stage: Stage, base: Base, lines: tuple[Line, ...]) -> None:
    store = written(stage, base, lines)
    for day, kg in calendar(store):
        if NOW.date() < day <= NOW.date() + timedelta(days=4):
            row = document(store, "round", "--on", day.isoformat())["bins"][0]
            may, unseen = row["feed_up_to_kg"], any(each["code"] == "silence" for each in row["findings"])
            # Who comes back on that day and has not looked in for long looks first: that is not known today.
            # The ration is cut down to whole 10 g, the plan is rounded to 10 g.
            assert unseen or kg <= 1.05 * (may + 0.01) + 0.005, (day, kg, may)


@FEW
@given(base=BASES, lines=LINES)
@example(base=Base(), lines=(LEAVING,))
@example(base=Base("winter"), lines=((0, "17:00", "check --temp 1C"),))
def test_no_page_holds_a_stop_and_an_amount_nor_a_dose_without_a_reading(
    stage: Stage, base: Base, lines: tuple[Line, ...]
) -> None:
    store, read = written(stage, base, lines), moisture_read(base, lines)
    for question in ("round", "away --from 2026-06-02 --for '9 days'"):
        faults = list(broken(ask(store, question), moisture_read=read))
        assert not faults, (question, *faults)


@FEW
@given(base=BASES, lines=LINES)
@example(base=Base(), lines=())
def test_more_feed_never_takes_fewer_days(stage: Stage, base: Base, lines: tuple[Line, ...]) -> None:
    store = written(stage, base, lines)
    taken = [
        document(store, "feed", KEY, f"{grams} g vegetable scraps", "--try")["feed_waiting_days_after"]["p50"]
        for grams in (100, 200, 400, 800, 1600)
    ]
    assert all(more >= less - 1e-9 for less, more in pairwise(taken)), taken


@FEW
@given(base=BASES, lines=LINES)
@example(base=Base(), lines=())
@example(base=Base(), lines=(LEAVING,))
def test_who_leaves_feeds_no_more_than_the_ration_of_the_eve(stage: Stage, base: Base, lines: tuple[Line, ...]) -> None:
    store = written(stage, base, lines)
    for eve, leaves in ((1, 2), (3, 4)):
        may = document(store, "round", "--on", f"2026-06-0{eve}")["bins"][0]["feed_up_to_kg"]
        before = document(store, "away", KEY, "--from", f"2026-06-0{leaves}", "--for", "9 days")["before"]
        fed = [first_kg(step) for step in before if re.match(r"feed (?:up to |about )?\d", step)]
        assert all(each <= 1.05 * may + 0.001 for each in fed), (leaves, may, before)
