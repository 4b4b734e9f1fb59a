"""The bedding and water advised with a feeding, opened: the shown inputs in the shown formula give the amount."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen
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
    said = " ".join(run(tmp_path, "feed", "kitchen", "900 g melon rind", "--try", "--explain").out.split())
    assert "How much" in said
    assert "source: balance" in said
