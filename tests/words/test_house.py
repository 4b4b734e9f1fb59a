"""What DEVELOPERS.md says of the house is so: every place that it names is there, and every room stands in it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
THERE = [f"/{path.relative_to(ROOT).as_posix()}" for path in (*ROOT.glob("wormbin/**/*"), *ROOT.glob("tests/**/*"))]
NAMED = sorted(set(re.findall(r"`([\w/]+(?:\.(?:py|csv|html|tcss)|/))`", PAGE)))
WAYS = re.findall(r"Seven files, in order: (.*?)\. And", PAGE, re.DOTALL)


@pytest.mark.parametrize("place", NAMED)
def test_a_place_that_is_named_is_there(place: str) -> None:
    assert any(f"{path}/".endswith(f"/{place.rstrip('/')}/") for path in THERE) or (ROOT / place).exists()


@pytest.mark.parametrize("room", ["wormbin", "wormbin/farm"])
def test_every_room_stands_in_the_table(room: str) -> None:
    for path in sorted((ROOT / room).iterdir()):
        if path.name not in ("__init__.py", "__pycache__", "LICENSE", "py.typed") and path.suffix in ("", ".py"):
            assert f"`{path.name}{'/' if path.is_dir() else ''}`" in PAGE, path


def test_the_way_of_an_entry_and_of_a_figure_take_seven_files_each() -> None:
    assert [len(re.findall("→", way)) for way in WAYS] == [6, 6]
