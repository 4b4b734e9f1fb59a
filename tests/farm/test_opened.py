"""Every figure opened: whoever puts the shown inputs into the shown formula gets the shown value, to its last digit."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, strategies as st

from tests.benchmarks.made_logs import Kept, kept_bins
from tests.farm.a_farm import kitchen, open_farm
from wormbin.farm import bins, log_files
from wormbin.farm.bins import workings
from wormbin.farm.bins.gauges import gauges
from wormbin.farm.bins.past import Past
from wormbin.farm.bins.scene import Scene
from wormbin.farm.recording.lines import record_feeding
from wormbin.figures import Band, Basis, Quantity, Working, as_shown, put_in
from wormbin.materials.table import default_table
from wormbin.pages.documents import document
from wormbin.pages.lines import text_of
from wormbin.pages.page import lines
from wormbin.pages.sums import filled_in, sums
from wormbin.process.lazy_days import Days
from wormbin.process.replay import Replay, replay
from wormbin.records.farms import Settings

CODES = workings.CODES
OPENED = (*CODES, "feed_up_to")
AHEAD_DAYS = 60
SAMPLES = Path(__file__).resolve().parents[2] / "sample_logs"
_PLAIN = {"min": min, "max": max, "floor": math.floor, "exp": math.exp, "log": math.log, "sqrt": math.sqrt}
_INPUT = re.compile(r"^\s*([a-z_]\w*) = (\S+) ", re.MULTILINE)


def by_hand(formula: str, inputs: dict[str, float]) -> float:
    """The formula worked out as Python does it, nothing else known: a second way beside the program's own."""
    return float(eval(formula, {"__builtins__": {}}, {**_PLAIN, **inputs}))


def put_in_as_printed(working: Working) -> None:
    """Read the printed lines as a person would, and work the value out of them."""
    page = lines(sums(working))
    text = "\n".join(map(text_of, page))
    said = text.splitlines()[0].removeprefix(working.title + ": ").split()[0]
    inputs = {name: float(value) for name, value in _INPUT.findall(text.replace(",", " "))}
    assert set(inputs) == {each.name for each in working.inputs}, text
    made = by_hand(working.formula, inputs)
    assert f"{made:.4g}" == said, text
    with_numbers = next(line[-1][0] for line in page if "with the numbers" in text_of(line))
    assert f"{by_hand(with_numbers, {}):.4g}" == said
    told = document(working)
    assert told["value"] == pytest.approx(made, abs=1e-6)


def complete(working: Working) -> None:
    """Nothing of what the opening promises is empty."""
    assert working.title
    assert working.source
    assert working.sure
    assert working.plain
    assert all(each.basis in Basis for each in working.inputs)


@pytest.fixture(scope="module", params=["apartment", "classroom", "seller"])
def sample(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, Any]:
    log = SAMPLES / request.param
    last = max(line.split(",")[0] for line in (log / "log.csv").read_text(encoding="utf-8").splitlines()[1:])
    now = datetime.combine(datetime.fromisoformat(last).date(), time(20), UTC)
    farm = open_farm(tmp_path_factory.mktemp(request.param), now)
    log_files.bring_in(farm, log)
    return farm, now


@pytest.mark.parametrize("code", CODES)
def test_every_figure_of_every_bin_of_the_sample_logs(sample: tuple[Any, Any], code: str) -> None:
    farm, _now = sample
    for one in farm.bins():
        working = bins.working(farm, one.key, code)
        complete(working)
        put_in_as_printed(working)
        assert put_in(working.formula, working.inputs) == pytest.approx(working.value, rel=1e-9, abs=1e-11)


@pytest.mark.parametrize("code", CODES)
def test_no_formula_of_a_bin_at_work_shows_how_nought_is_caught(tmp_path: Path, code: str) -> None:
    formula = bins.working(kitchen(tmp_path), "kitchen", code).formula
    assert "1e-12" not in formula
    assert "0.0000000" not in formula or code == "air"
    assert code != "cn" or formula == "carbon / nitrogen"


@pytest.mark.parametrize("code", CODES)
def test_every_figure_of_a_young_bin(tmp_path: Path, code: str) -> None:
    put_in_as_printed(bins.working(kitchen(tmp_path, days=4), "kitchen", code))


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
            opened += 1
    assert opened == 16 * len(CODES)


def test_rounding_the_inputs_moves_no_figure_that_anyone_sees(random_scenes: tuple[Scene, ...]) -> None:
    """Ten milligrams are shown nowhere: what is wanting at the very end is a small rest of large figures."""
    for scene in random_scenes:
        for code in CODES:
            working = workings.working(scene, code)
            assert as_shown(working).value == pytest.approx(working.value, rel=2e-4, abs=1e-5), (code, working)


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
    for formula in ("a / (a + b)", "-c + a * 2 - b", "max(0, c) ** 2", "min(a, b, c)", "sqrt(a) * log(b)", "exp(-a)"):
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


def test_the_numbers_put_in_are_numbers() -> None:
    working = Working("T", 3.0, "kg", "a + b", (Quantity("a", 1.0, "", Basis.SAID), Quantity("b", 2.0, "", Basis.SAID)),
                      "s", "sure")  # fmt: skip
    assert filled_in(working) == "1 + 2"
