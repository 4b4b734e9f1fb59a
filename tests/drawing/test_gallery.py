"""The kept pictures are still what is drawn (``python -m tests.drawing.gallery`` draws them anew)."""

from __future__ import annotations

import pytest

from tests.drawing.gallery import FOLDER, pictures

KEPT = dict(pictures())


@pytest.mark.parametrize("name", KEPT)
def test_a_kept_picture_is_still_drawn(name: str) -> None:
    assert KEPT[name].text + "\n" == (FOLDER / f"{name}.txt").read_text(encoding="utf-8")


def test_every_kept_file_is_drawn() -> None:
    assert {path.stem for path in FOLDER.glob("*.txt")} == {*KEPT, "key"}
