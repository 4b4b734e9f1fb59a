"""The bedding and water advised with a feeding, opened: the shown inputs in the shown formula give the amount."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen
from tests.farm.reckoning import worked_out
from wormbin.farm import feedings


@pytest.mark.parametrize("bucket", [["900 g melon rind"], ["1.5 kg melon rind"]])
def test_an_added_amount_comes_out_of_what_is_shown(tmp_path: Path, bucket: list[str]) -> None:
    farm = kitchen(tmp_path)
    ran = run(tmp_path, "feed", "kitchen", *bucket, "--try", "--json", "--explain")
    assert ran.code == 0, ran.err
    document = json.loads(ran.out)
    amounts = [each["kg"] for each in document["add"]] + ([document["add_water_kg"]] * bool(document["add_water_kg"]))
    assert amounts
    assert len(document["add_opened"]) == len(amounts)
    for amount, opened in zip(amounts, document["add_opened"], strict=True):
        values = {each["name"]: each["value"] for each in opened["inputs"]}
        made = float(eval(opened["formula"], {"__builtins__": {}}, values))
        assert made == pytest.approx(opened["value"], rel=1e-3, abs=1e-4)
        assert made == pytest.approx(amount, rel=1e-3, abs=1e-4)
        assert opened["source"]
        assert opened["plain"]
    assert "add_opened" not in json.loads(run(tmp_path, "feed", "kitchen", *bucket, "--try", "--json").out)
    assert feedings.preview(farm, "kitchen", bucket).opened


def test_the_words_open_it_too(tmp_path: Path) -> None:
    kitchen(tmp_path)
    said = " ".join(
        run(tmp_path, "feed", "kitchen", "900 g melon rind", "--try", "--explain", "--voice", "source").out.split()
    )
    assert "How much" in said
    assert "source: balance" in said


def test_a_mix_opens_down_to_the_bench_and_the_table(tmp_path: Path) -> None:
    mix = ("mix", "450 g kale", "1 kg coffee grounds", "--add", "dry leaves", "--explain")
    document = json.loads(run(tmp_path, *mix, "--json", "--down", "9").out)
    titles = [each["title"] for each in document["opened"]]
    assert titles == ["C:N of the mix", "Moisture of the mix", "How much Dry autumn leaves", "How much water"]
    assert document["opened"][0]["value"] == pytest.approx(document["cn"])
    assert document["opened"][1]["value"] == pytest.approx(document["moisture"])
    leaves, stack = [], list(document["opened"])
    while stack:
        for each in stack.pop()["inputs"]:
            stack.append(each["opens"]) if each["opens"] else leaves.append(each["source"])
    assert all(leaves)
    assert any("450 g kale" in each or "“450 g”" in each for each in leaves)
    assert any("material table, row Kale" in each for each in leaves)
    told = run(tmp_path, *mix, "--voice", "sum").out
    assert "C:N of the mix: 25 to 1" in told


def test_a_work_sheet_leaves_blanks_that_its_solution_fills(tmp_path: Path) -> None:
    kitchen(tmp_path)
    out = run(tmp_path, "outlook", "kitchen", "--explain", "cn", "--work-sheet", "-").out
    sheet, solution = out.split("\f")
    assert sheet.count("= ________") == len(re.findall(r"^[1-9]\. ", sheet, re.MULTILINE))
    assert "your answer of step" in sheet
    assert "________" not in solution
    sums = [line.strip() for line in solution.replace("\n     ", " ").splitlines() if " = " in line]
    assert len(sums) >= 5
    for each in sums:
        left, _, result = each.rpartition(" = ")
        factor = 0.01 if "%" in result else 1.0
        number = float(result.split()[0].rstrip("%"))
        assert worked_out(left) / factor == pytest.approx(number, rel=0.02), each
    html = tmp_path / "cn.html"
    assert run(tmp_path, "outlook", "kitchen", "--explain", "cn", "--work-sheet", str(html)).code == 0
    assert "<h2>Solution: C:N" in html.read_text(encoding="utf-8")
