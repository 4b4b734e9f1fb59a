"""What is shipped beside the sample logs is what they come to: of these logs, by this model, in these words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.worlds.write import SAMPLE_LOGS
from wormbin.farm import rounds
from wormbin.farm.bins.row import row
from wormbin.farm.cache.rows import finite
from wormbin.farm.samples import copy_sample, lay_out, pack_of
from wormbin.farm.views.round import RoundRow
from wormbin.records.shapes import shape_of

WORK_OUT = "run: python -m tests.farm.work_out"


def plain(one: RoundRow) -> Any:
    return finite(shape_of(RoundRow).write(one))


@pytest.mark.parametrize("name", ["apartment", "classroom", "seller"])
def test_the_rows_shipped_are_what_the_program_says_today(name: str, tmp_path: Path) -> None:
    farm = copy_sample(name, tmp_path / "store").session()
    for one in rounds.living(farm, None):
        shipped = farm.cache.rows.get(RoundRow, one.key, farm.cache.token(one, None))
        assert shipped is not None, WORK_OUT
        assert plain(shipped) == plain(row(farm.scene(one.key))), f"{one.key}: {WORK_OUT}"


def test_a_pack_of_other_logs_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "logs" / "worked_out").mkdir(parents=True)
    source = tmp_path / "logs" / "apartment"
    source.mkdir()
    for each in (SAMPLE_LOGS / "apartment").glob("*.csv"):
        (source / each.name).write_bytes(each.read_bytes() + (b"\n" if each.name == "log.csv" else b""))
    pack_of(source).write_bytes(pack_of(SAMPLE_LOGS / "apartment").read_bytes())
    farm = copy_sample("apartment", tmp_path / "store", worked_out=False).session()
    assert not lay_out(farm, source)
    assert not (farm.folder / "cache").exists()


@pytest.mark.parametrize("raw", [b"", b"x" * 100, b"\x1f\x8b\x08\x00"])
def test_a_damaged_pack_is_as_good_as_none(raw: bytes, tmp_path: Path) -> None:
    source = tmp_path / "apartment"
    source.mkdir()
    pack_of(source).parent.mkdir()
    pack_of(source).write_bytes(raw)
    assert not lay_out(copy_sample("apartment", tmp_path / "store", worked_out=False).session(), source)
