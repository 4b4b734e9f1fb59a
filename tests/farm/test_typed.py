"""A line put right with its own words is the same line: every kind, on both faces, in both measures."""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st

from tests.cli.running import run
from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import logbook, starts
from wormbin.farm.heading import Heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.farm.words.spoken import Spoken
from wormbin.farm.words.typed import put_right, typed_line
from wormbin.materials.table import default_table
from wormbin.records.entries import (
    LOG_KINDS,
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Fluff,
    Harvest,
    Kind,
    MoistureBy,
    Move,
    Note,
    Portion,
    Sample,
    Squeeze,
    Stocking,
    Survey,
    Watering,
    Weighing,
    What,
)
from wormbin.records.lots import both_halves, with_intakes

TABLE = default_table()
SPOKEN = Spoken(TABLE, {"handful": "40 g"})


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """As a file may hold them: round ones, and all the digits that a double carries for certain."""
    every = st.floats(low, high).map(lambda value: float(f"{value:.15g}") if abs(value) > 1e-9 else 0.0)
    return st.one_of(every, st.builds(round, every, st.integers(1, 5)).map(lambda value: min(max(value, low), high)))


KG = numbers(0.001, 40.0)
SAID = st.sampled_from(["2 cups", "1 handful", "350 g", "1.5 lb", "a bit", "", "1/2 gal", "0.675 kg"])
SHARE, WET = numbers(0.0, 1.0), numbers(0.1, 0.95)
PORTIONS = st.lists(
    st.builds(Portion, st.sampled_from(["melon-rind", "coffee-grounds", "kale"]), KG, SAID, st.none() | SHARE),
    min_size=1, max_size=3,
).map(tuple)  # fmt: skip
BEDDINGS = st.lists(
    st.builds(Portion, st.sampled_from(["shredded-cardboard", "dry-leaves"]), KG, SAID, st.none() | SHARE),
    min_size=1, max_size=3,
).map(tuple)  # fmt: skip
COUNT = st.integers(1, 5000)
SAMPLES = st.lists(
    st.builds(Sample, numbers(0.001, 0.05), KG, st.none() | COUNT, SAID)
    | st.builds(Sample, numbers(0.001, 0.05), st.none(), COUNT, SAID),
    min_size=1, max_size=4,
).map(tuple)  # fmt: skip
CHECKS = st.builds(
    Check, st.none() | SHARE, st.none() | st.sampled_from(MoistureBy), st.sampled_from(Squeeze),
    st.none() | numbers(-20, 70), st.none() | SHARE, st.none() | numbers(0.0, 0.3),
    st.sampled_from(["", "earthy", "like old socks"]), st.sampled_from([(), ("mites",), ("grubs", "two slugs")]),
    st.none() | numbers(0, 14),
).map(lambda check: check if check.moisture is not None else dataclasses.replace(check, moisture_by=None))  # fmt: skip
WHATS: st.SearchStrategy[What] = st.one_of(
    st.builds(Feeding, PORTIONS), st.builds(Bedding, BEDDINGS), CHECKS, st.builds(Survey, SAMPLES),
    st.builds(Watering, KG, SAID), st.builds(Draining, KG, SAID), st.builds(Weighing, KG, st.booleans(), SAID),
    st.builds(Stocking, KG | KG.map(lambda kg: -kg), st.none() | COUNT, SAID),
    st.builds(Move, KG, st.just("other"), st.just(False), SAID), st.just(Fluff()), st.just(Note()),
    st.builds(Harvest, KG, st.none() | WET, st.none() | KG, SAID, st.sampled_from(["", "may"])),
)  # fmt: skip
DAYS = st.integers(1, 30).map(lambda days: NOW - timedelta(days=days))
ENTRIES = st.builds(
    lambda what, when, note, part, day: Entry(
        "0000000000", "kitchen", when.replace(hour=12) if day else when, what, "Ana",
        note or ("a note" if isinstance(what, Note) else ""), part, day_only=day,
    ),
    WHATS, DAYS, st.sampled_from(["", "first", "-5 C last night"]), st.integers(0, 2), st.booleans(),
)  # fmt: skip
UNITS = pytest.mark.parametrize("units", ["metric", "us"])
ON_A_STORE = settings(
    max_examples=settings().max_examples // 2,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@UNITS
@settings(max_examples=5 * settings().max_examples, deadline=None)
@given(ENTRIES)
def test_the_words_of_a_line_read_back_as_what_is_in_the_log(units: str, entry: Entry) -> None:
    read = SPOKEN.read(LOG_KINDS[type(entry.what)], typed_line(entry, SPOKEN, units).fields)
    assert plain(read) == plain(entry.what)


def plain(what: What) -> object:
    """What a line says that words can say: not what it was said in, nor a moisture of a portion that a file gave."""

    def bare(value: Any) -> Any:
        if isinstance(value, tuple):
            return tuple(bare(each) for each in value)
        if isinstance(value, Portion):
            return value.material, value.kg
        if isinstance(value, Sample):
            return value.worms_count if value.worms_kg is None else value.worms_kg
        return value

    told = {each.name: bare(getattr(what, each.name)) for each in dataclasses.fields(what)}
    for name in ("said", *(("worms_count",) if isinstance(what, Stocking) else ())):
        told.pop(name, None)
    return type(what), told


@contextmanager
def laid_down(farm: Session, entry: Entry) -> Iterator[Entry]:
    """The line in the store, taken back afterwards."""
    entry = dataclasses.replace(entry, id=ledger_of(farm).random(8).hex()[:10])
    farm.store.record(with_intakes(both_halves(entry) if isinstance(entry.what, Move) else [entry]))
    yield farm.store.find(entry.id)


def same(new: Entry, old: Entry) -> None:
    """Exactly as it was, to the last digit and to what no word can say."""
    assert new.what == old.what
    assert (new.when, new.day_only, new.compartment, new.note) == (
        old.when, old.day_only, old.compartment, old.note,
    )  # fmt: skip


@pytest.fixture(scope="module")
def two_bins(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("typed") / "store"
    farm = kitchen(folder)
    for key in ("other", "trays"):
        starts.start(
            farm,
            BinDraft(
                key=key, name=key, length="60 cm", width="40 cm", depth="30 cm", compartments="2", started="2026-04-01"
            ),
        )
    write(farm, "kitchen", Kind.HARVEST, {"castings": "1 kg", "lot": "may"}, Heading(when="2026-05-01"))
    return folder


@UNITS
@settings(
    max_examples=settings().max_examples // 2,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(entry=ENTRIES)
def test_a_line_put_right_at_the_command_line_keeps_what_is_not_said(units: str, two_bins: Path, entry: Entry) -> None:
    farm = open_farm(two_bins)
    with laid_down(farm, dataclasses.replace(entry, bin="trays")) as old:
        yes = () if old.kind in (Kind.WEIGHING, Kind.FLUFF, Kind.NOTE) else ("--yes",)
        ran = run(two_bins, "amend", old.id, "--by", "Ines", *yes, "--units", units)
        assert ran.code == 0, ran.err
        new = right_one(two_bins, old.id)
        same(new, old)
        assert new.by == "Ines"


@UNITS
@settings(
    max_examples=settings().max_examples // 2,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(entry=ENTRIES)
def test_a_line_put_right_in_its_form_keeps_what_nobody_touched(units: str, two_bins: Path, entry: Entry) -> None:
    farm = open_farm(two_bins, units=units)
    with laid_down(farm, dataclasses.replace(entry, bin="trays")) as old:
        said = dict(logbook.typed_line(farm, old.id).fields)
        head = Heading(said["when"], "Ines", said.get("note", ""), said.get("part", ""), old.id)
        if old.kind is Kind.FEEDING:
            made = record_feeding(farm, "trays", said["bucket"].split("; "), heading=head, anyway=True)
        else:
            asked = LOG_KINDS[type(old.what)].asked
            made = write(farm, "trays", old.kind, {each.name: said.get(each.name, "") for each in asked}, head)
        same(farm.store.find(made.ids[0]), old)


# one thing said anew


def test_an_amended_harvest_keeps_its_worms_its_moisture_and_its_part(two_bins: Path, tmp_path: Path) -> None:
    store = tmp_path / "store"
    shutil.copytree(two_bins, store)
    run(store, "harvest", "trays", "2 kg", "--moisture", "71.5", "--worms-out", "22.5 g", "--compartment", "1", "--yes")
    old = open_farm(store).entries("trays")[-1]
    for words in (("3 kg",), ("--moisture", "65"), ("--worms-out", "")):
        assert run(store, "amend", old.id, *words, "--yes").code == 0
        new = right_one(store, old.id)
        assert isinstance(new.what, Harvest)
        assert new.compartment == 1
        assert new.what.castings_kg == (3.0 if words[0] == "3 kg" else 2.0)
        assert new.what.moisture == (0.65 if words[0] == "--moisture" else 0.715)
        assert new.what.worms_out_kg == (None if words[0] == "--worms-out" else 0.0225)
        run(store, "undo")
    assert run(store, "harvest", "trays", "4 kg", "--replaces", old.id, "--yes").code == 0
    what = right_one(store, old.id).what
    assert isinstance(what, Harvest)
    assert what.worms_out_kg == 0.0225


def right_one(store: Path, wrong: str) -> Entry:
    return next(each for each in open_farm(store).entries("trays") if each.replaces == wrong and each.struck is None)


def test_a_portion_said_anew_keeps_how_wet_it_was_and_another_one_does_not(tmp_path: Path) -> None:
    old = Feeding((Portion("melon-rind", 0.3, "", 0.5), Portion("kale", 0.1, "", 0.9)))
    entry = Entry("0000000000", "kitchen", NOW, old)

    def anew(*words: str) -> tuple[Portion, ...]:
        right = dataclasses.replace(entry, what=Feeding(SPOKEN.portions(words)))
        what = put_right(right, entry, SPOKEN, "metric").what
        assert isinstance(what, Feeding)
        return what.portions

    assert anew("400 g melon-rind", "100 g kale") == (Portion("melon-rind", 0.4, "400 g", 0.5), old.portions[1])
    assert anew("100 g kale") == (old.portions[1],)
    assert anew("300 g coffee-grounds", "100 g kale") == (Portion("coffee-grounds", 0.3, "300 g"), old.portions[1])


def test_the_oven_stays_beside_a_moisture_that_nobody_touched_and_goes_with_one_that_is_new(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    (old,) = write(farm, "kitchen", Kind.CHECK, {"oven_wet": "10 g", "oven_dry": "2.35 g", "temp": "21C"}).ids
    said = {"moisture": "76.5%", "moisture_by": "oven", "temp": "22C"}
    (new,) = write(farm, "kitchen", Kind.CHECK, said, Heading(replaces=old)).ids
    assert dict(farm.store.find(new).extra) == {"oven_wet_g": 10.0, "oven_dry_g": 2.35}
    (new,) = write(farm, "kitchen", Kind.CHECK, {"moisture": "70%"}, Heading(replaces=new)).ids
    assert not farm.store.find(new).extra
