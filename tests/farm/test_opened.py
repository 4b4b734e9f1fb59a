"""Every figure opened, down to what was typed: whoever works a shown sum out gets the shown result."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, strategies as st

from tests.benchmarks.made_logs import Kept, kept_bins
from tests.farm.a_farm import kitchen, open_farm
from tests.farm.reckoning import worked_out
from wormbin.farm import bins, log_files
from wormbin.farm.bins import workings
from wormbin.farm.bins.gauges import gauges
from wormbin.farm.bins.opening import MODEL
from wormbin.farm.bins.past import Past
from wormbin.farm.bins.scene import Scene
from wormbin.farm.recording.lines import record_feeding
from wormbin.figures import VOICES, Band, Basis, Quantity, Working, put_in, told_figure
from wormbin.materials.table import default_table
from wormbin.pages.page import lines, text_of
from wormbin.pages.sums import formula_words, shown, sums
from wormbin.process import pools
from wormbin.process.day import Days
from wormbin.process.replay import Replay, replay
from wormbin.records.farms import Settings

CODES = workings.CODES
OPENED = (*CODES, "feed_up_to")
AHEAD_DAYS = 60
SAMPLES = Path(__file__).resolve().parents[2] / "sample_logs"
_PLAIN = {"min": min, "max": max, "sqrt": math.sqrt, "cut": lambda kg: math.floor(100 * kg + 0.001) / 100}
CODE_NAME = re.compile(r"[a-zA-Z]+_\w+|\b(?:min|max|sqrt|floor|exp|log|cut)\(")
METHOD = (Path(pools.__file__).with_name("method.md")).read_text(encoding="utf-8")
QUOTED = re.compile(r"“([^”]*)” in its method")
E_NOTATION = re.compile(r"\d[eE][-+]?\d")
NUMBER = re.compile(r"(?<![\d.-])\d+(?:\.\d+)?(?![\d.]*-\d)")


def by_hand(formula: str, inputs: dict[str, float]) -> float:
    """The formula worked out as Python does it, nothing else known: a second way beside the program's own."""
    return float(eval(formula, {"__builtins__": {}}, {**_PLAIN, **inputs}))


def words_of(working: Working, voice: str) -> list[str]:
    """The page as it is printed, line by line."""
    return [text_of(line).strip() for line in lines(sums(working, voice))]


def put_in_as_printed(working: Working) -> None:
    """Work the printed sum out as a person would, and get the printed result."""
    (told,) = [line for line in words_of(working, "sum") if line.startswith("with the numbers: ")]
    left, _, result = told.removeprefix("with the numbers: ").rpartition(" = ")
    factor = 0.01 if "%" in result else 1.0
    number = result.split()[0].rstrip("%")
    digits = shown(working).digits
    assert told_figure(worked_out(left) / factor, digits) == number, told


def plain_to_read(working: Working) -> None:
    """No name of code, no e-notation, no more than four digits in any voice."""
    for voice in VOICES:
        for line in words_of(working, voice):
            assert not CODE_NAME.search(line), line
            assert not E_NOTATION.search(line), line
            if voice != "source":
                figures = NUMBER.findall(re.sub(r"(19|20)\d\d|“[^”]*”|100000?\b|86400 s", "", line))
                assert all(len(each.replace(".", "").strip("0")) <= 4 for each in figures), line


def complete(working: Working) -> None:
    """Nothing of what the opening promises is empty; what opens no further says where it is from."""
    assert working.title
    assert working.source
    assert working.plain
    for each in working.inputs:
        if each.opens is None:
            assert each.source, (working.title, each)
            if each.basis is Basis.WORKED_OUT:
                assert each.source.startswith(MODEL), (working.title, each)
                assert all(f"**{part}.**" in METHOD or f"## {part}\n" in METHOD for part in QUOTED.findall(each.source))
                assert QUOTED.search(each.source), (working.title, each)
        else:
            assert each.opens.value == pytest.approx(each.value), (working.title, each)


def every(workings: Iterable[Working]) -> Iterator[Working]:
    """All that opens, down to what opens no further; each once."""
    seen, stack = set[int](), list(workings)
    while stack:
        working = stack.pop()
        if id(working) not in seen:
            seen.add(id(working))
            yield working
            stack += [each.opens for each in working.inputs if each.opens is not None]


@pytest.fixture(scope="module", params=["apartment", "classroom", "seller"])
def sample(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, Any]:
    log = SAMPLES / request.param
    last = max(line.split(",")[0] for line in (log / "log.csv").read_text(encoding="utf-8").splitlines()[1:])
    now = datetime.combine(datetime.fromisoformat(last).date(), time(20), UTC)
    farm = open_farm(tmp_path_factory.mktemp(request.param), now)
    log_files.bring_in(farm, log)
    return farm, now


def test_every_number_of_the_sample_logs_opens_down_to_what_was_typed_and_the_table(sample: tuple[Any, Any]) -> None:
    farm, _now = sample
    for one in farm.bins():
        opened = dict(bins.every_number(farm, one.key))
        assert set(CODES) <= set(opened)
        for working in every(opened.values()):
            complete(working)
            plain_to_read(working)
            put_in_as_printed(working)
        leaves = [each for working in every([opened["cn"]]) for each in working.inputs if each.opens is None]
        assert {each.basis for each in leaves} == {Basis.SAID, Basis.BOOK, Basis.WORKED_OUT}
        assert any("material table, row" in each.source for each in leaves)


@pytest.mark.parametrize("code", CODES)
def test_every_figure_of_a_young_bin(tmp_path: Path, code: str) -> None:
    for working in every([bins.working(kitchen(tmp_path, days=4), "kitchen", code)]):
        put_in_as_printed(working)


def test_carbon_is_what_was_typed_times_the_table(tmp_path: Path) -> None:
    """450 g of kale of which 16 % is dry and 49 % of that carbon, by its row: nothing of the model between them."""
    farm = kitchen(tmp_path)
    record_feeding(farm, "kitchen", ["450 g kale"], anyway=True)
    every_one = every([bins.working(farm, "kitchen", "cn")])
    kale = next(each for each in every_one if each.title == "carbon of kale")
    row = default_table().get("kale")
    assert kale.value == pytest.approx(0.45 * (1 - row.moisture) * row.carbon)
    typed, dry, carbon = kale.inputs
    assert (typed.basis, typed.value) == (Basis.SAID, 0.45)
    assert "450 g" in typed.source
    assert dry.opens is not None
    assert row.sources["moisture"] in dry.opens.inputs[0].source
    assert row.sources["carbon"] in carbon.source


def scene_of(kept: Kept, run: Replay, until: datetime) -> Scene:
    entries = tuple(entry for entry in kept.entries if entry.when <= until)
    past = Past(run, Days(run.days), run.judged, entries, until)
    return Scene(kept.bin, past, until, Settings(), default_table(), AHEAD_DAYS)


def drawn() -> Iterator[Scene]:
    for number, kept in enumerate(kept_bins(4, 31, days=180)):
        run = None
        for day in (0, 3 + number, 37 + 11 * number, 120 + 17 * number):
            until = datetime.combine(kept.truth.days[day].on, time(21), UTC)
            run = replay(kept.bin, kept.entries, default_table(), until, resume=run.beliefs[-1] if run else None)
            yield scene_of(kept, run, until)


@pytest.fixture(scope="module")
def random_scenes() -> tuple[Scene, ...]:
    """Made-up bins on days that nobody chose: made, fed, flooded, dried, mistyped, harvested."""
    return tuple(drawn())


def test_every_figure_of_made_up_bins_on_any_day(random_scenes: tuple[Scene, ...]) -> None:
    opened = 0
    for scene in random_scenes:
        for code in CODES:
            working = workings.working(scene, code)
            complete(working)
            put_in_as_printed(working)
            plain_to_read(working)
            opened += 1
    assert opened == 16 * len(CODES)


def test_each_sum_gives_the_figure_that_stands_on_the_screen(random_scenes: tuple[Scene, ...]) -> None:
    for scene in random_scenes:
        for code in OPENED:
            working = workings.working(scene, code)
            assert put_in(working.formula, working.inputs) == pytest.approx(working.value, rel=1e-9, abs=1e-11), code
        by_code = {each.code: each for each in gauges(scene)}
        for code in by_code.keys() & set(CODES):
            shown = by_code[code].value
            assert workings.working(scene, code).value == pytest.approx(shown), code
        assert workings.working(scene, "feed_up_to").value == scene.ration.kg


@pytest.mark.parametrize("extra", ["", "6 kg melon rind"], ids=["may be fed", "held"])
def test_the_ration_comes_out_of_what_bounds_it(tmp_path: Path, extra: str) -> None:
    farm = kitchen(tmp_path)
    if extra:
        record_feeding(farm, "kitchen", [extra], anyway=True)
    opened = bins.working(farm, "kitchen", "feed_up_to")
    assert by_hand(opened.formula, {each.name: each.value for each in opened.inputs}) == opened.value
    assert opened.value == bins.look(farm, "kitchen").feed_up_to_kg
    assert (opened.value == 0) == bool(extra)


def test_every_input_counts(random_scenes: tuple[Scene, ...]) -> None:
    """An input that could be anything is no part of the sum: each moves its figure in one of these bins at least."""
    idle, moving = set[tuple[str, str]](), set[tuple[str, str]]()
    for scene in random_scenes:
        for code in OPENED:
            working = workings.working(scene, code)
            for each in working.inputs:
                for value in (0.01 * each.value, 100.0 * each.value + 0.01):
                    other = [replace(each, value=value) if one is each else one for one in working.inputs]
                    moved = put_in(working.formula, other) != pytest.approx(working.value, rel=1e-7, abs=1e-9)
                    (moving if moved else idle).add((code, each.name))
    assert idle - moving == set()


def test_no_sum_gets_its_figure_from_itself(random_scenes: tuple[Scene, ...]) -> None:
    """With the figures of the day falsified, the sums that are made from the bed give the true ones still."""
    for scene in random_scenes:
        day = scene.past.days[-1]
        names = "moisture", "feed_waiting_kg", "castings_share", "cn", "temp_c", "worms_kg", "contents_m", "total_kg"
        wrong: dict[str, Any] = dict.fromkeys((*names, "appetite_kg_day"), Band.exactly(7.77))
        other = Scene(scene.bin, scene.past, scene.now, scene.settings, scene.table, scene.ahead_days)
        other.__dict__["today"] = replace(day, **wrong)
        for code in ("moisture", "feed_waiting", "castings", "cn", "temp", "worms", "depth", "total", "appetite"):
            true, told = workings.working(scene, code), workings.working(other, code)
            assert told.value == 7.77
            assert put_in(told.formula, told.inputs) == pytest.approx(true.value, rel=1e-9, abs=1e-11), code


OF_SIZE = st.floats(0.001, 1000.0)


@given(OF_SIZE, OF_SIZE, st.floats(-50.0, 50.0))
def test_formulas_are_worked_out_as_python_works_them_out(a: float, b: float, c: float) -> None:
    inputs = {"a": a, "b": b, "c": c}
    quantities = [Quantity(name, value, "", Basis.SAID) for name, value in inputs.items()]
    for formula in ("a / (a + b)", "-c + a * 2 - b", "max(0, c) ** 2", "min(a, b, c)", "sqrt(a) * b"):
        assert put_in(formula, quantities) == by_hand(formula, inputs)


@pytest.mark.parametrize("formula", [
    "a +", "other * 2", "__import__('os')", "a.real", "(lambda: a)()", "[a][0]", "a if a else 0", "open('x')",
    "max(a, key=a)", "a // 2", "'text'", "a < 1", "True",
])  # fmt: skip
def test_nothing_but_arithmetic_over_the_inputs_is_worked_out(formula: str) -> None:
    with pytest.raises(ValueError, match=r"formula|arithmetic"):
        put_in(formula, [Quantity("a", 1.0, "", Basis.SAID)])


def test_two_inputs_of_one_name_are_a_fault() -> None:
    one = Quantity("a", 1.0, "", Basis.SAID)
    with pytest.raises(ValueError, match="two inputs"):
        put_in("a", [one, one])


@pytest.mark.parametrize(("formula", "words"), [
    ("a / (a + b)", "3 ÷ (3 + 2)"), ("a - (b - a)", "3 − (2 − 3)"), ("a / b / 2", "3 ÷ 2 ÷ 2"),
    ("a / (b * 2)", "3 ÷ (2 × 2)"),
    ("min(1, a / b)", "the smaller of 1 and (3 ÷ 2)"), ("max(a, b) * 2", "(the larger of 3 and 2) × 2"),
    ("min(a, b, 4)", "the smallest of 3, 2 and 4"), ("sqrt(a * b)", "the square root of (3 × 2)"),
    ("a ** (2 / 3)", "3 to the power of (2 ÷ 3)"), ("cut(a * b)", "3 × 2, rounded down to 10 g"),
])  # fmt: skip
def test_a_formula_is_said_as_a_school_book_does_and_means_the_same(formula: str, words: str) -> None:
    assert formula_words(formula, {"a": "3", "b": "2"}) == words
    assert worked_out(words) == pytest.approx(by_hand(formula, {"a": 3.0, "b": 2.0}))
