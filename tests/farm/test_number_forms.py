"""Every way of writing a number is taken exactly or refused with a sentence: at the form, a command and a log file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import open_farm
from wormbin.farm import log_files, starts
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Kind, Watering

TAKEN: dict[str, float] = {
    "1.5": 1.5, "1,5": 1.5, ".5": 0.5, ",5": 0.5, "5.": 5.0, "00012": 12.0, "+2": 2.0, "1/3": 1 / 3,
    "1 1/2": 1.5, "1-1/2": 1.5, "½": 0.5, "¾": 0.75, "1½": 1.5, "1 ½": 1.5, "⅓": 1 / 3,
    "1.500,5": 1500.5, "1,500.5": 1500.5, "1.5000": 1.5,
}  # fmt: skip
REFUSED = (
    "٣", "१", "１２", "１．５", "Ⅻ", "一", "²", "1²", "∞",
    "nan", "inf", "-inf", "Infinity", "-1", "−1", "–1", "--1", "+-1", "1e400",
    "1 500", "1\u202f500", "1\u2009500", "1\xa0500", "1'500", "1_000", "0x10", "1/0", "1/2/3", "1..5", "1,5,0", "1 2",
    "1,500", "two and a half", "",
)  # fmt: skip
ONLY_IN_FILES: dict[str, float] = {"1.500": 1.5, "1e3": 1000.0, "1E-3": 0.001}
"""Programs write these: a file's point is a decimal point, and an exponent is one. Of a keeper they are asked about."""


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    made = open_farm(tmp_path / "store")
    starts.start(
        made, BinDraft(key="kitchen", name="K", length="60 cm", width="40 cm", depth="30 cm", started="2026-05-01")
    )
    return made


def watered(farm: Session) -> list[float]:
    """The waterings in the store, read anew, but for the first one."""
    lines = open_farm(farm.folder).entries("kitchen")
    return [line.what.kg for line in lines if isinstance(line.what, Watering)][1:]


def by_file(farm: Session, tmp_path: Path, amount: str, unit: str = "kg") -> None:
    folder = tmp_path / "files"
    folder.mkdir()
    cell = f'"{amount}"' if "," in amount else amount
    (folder / "log.csv").write_text(f"when,bin,kind,amount,unit\n2026-05-30,kitchen,water,{cell},{unit}\n", "utf-8")
    log_files.bring_in(farm, folder)


def told(problems: tuple[Problem, ...], text: str) -> None:
    """One sentence that names the field, what was read, what is allowed, and an example."""
    (problem,) = problems
    assert problem.field
    dashes = str.maketrans("−–", "--")
    read = "".join(problem.read.split()).translate(dashes)
    assert read.startswith("".join(text.split()).translate(dashes)[:4])
    assert problem.allowed
    assert problem.example


@pytest.mark.parametrize("gap", ["", " "], ids=["glued", "apart"])
@pytest.mark.parametrize("text", TAKEN)
def test_a_form_takes_it_exactly(farm: Session, text: str, gap: str) -> None:
    write(farm, "kitchen", Kind.WATERING, {"amount": f"{text}{gap}kg"})
    assert watered(farm) == [pytest.approx(TAKEN[text], rel=1e-14)]


@pytest.mark.parametrize("text", TAKEN)
def test_a_command_takes_it_exactly(farm: Session, text: str) -> None:
    ran = run(farm.folder, "water", "kitchen", f"{text} kg", "--json", "--yes")
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)
    assert watered(farm) == [pytest.approx(TAKEN[text], rel=1e-14)]


@pytest.mark.parametrize("text", TAKEN | ONLY_IN_FILES)
def test_a_file_takes_it_exactly(farm: Session, tmp_path: Path, text: str) -> None:
    by_file(farm, tmp_path, text)
    assert watered(farm) == [pytest.approx((TAKEN | ONLY_IN_FILES)[text], rel=1e-14)]


@pytest.mark.parametrize("gap", ["", " "], ids=["glued", "apart"])
@pytest.mark.parametrize("text", [*REFUSED, *ONLY_IN_FILES])
def test_a_form_refuses_it_in_a_sentence(farm: Session, text: str, gap: str) -> None:
    with pytest.raises(RefusedError) as refused:
        write(farm, "kitchen", Kind.WATERING, {"amount": f"{text}{gap}kg"})
    told(refused.value.problems, text or "kg")
    assert watered(farm) == []


@pytest.mark.parametrize("text", [*REFUSED, *ONLY_IN_FILES])
def test_a_command_refuses_it_in_a_sentence(farm: Session, text: str) -> None:
    ran = run(farm.folder, "water", "kitchen", "--", f"{text} kg")
    assert (ran.code, ran.out) == (2, "")
    assert "Write" in ran.err
    assert "Traceback" not in ran.err
    assert watered(farm) == []


@pytest.mark.parametrize("text", REFUSED)
def test_a_file_refuses_it_with_its_place(farm: Session, tmp_path: Path, text: str) -> None:
    with pytest.raises(RefusedError) as refused:
        by_file(farm, tmp_path, text)
    told(refused.value.problems, text)
    assert refused.value.problems[0].where.startswith("log.csv line 2")
    assert watered(farm) == []


@pytest.mark.parametrize("text", ["1.5 kg", "1.5kg", "300 g"])
def test_a_unit_in_the_column_of_amounts_is_refused_with_its_place(farm: Session, tmp_path: Path, text: str) -> None:
    with pytest.raises(RefusedError) as refused:
        by_file(farm, tmp_path, text)
    told(refused.value.problems, text)
    assert "unit" in refused.value.problems[0].allowed
