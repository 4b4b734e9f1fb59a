"""README's pictures are there, are shown in README, ask no network for anything, and are small."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from tests.screens.make_pictures import FOLDER, SCENES, without_fonts

README = FOLDER.parent / "README.md"


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.name)
def test_a_picture_is_kept_and_shown(scene: object) -> None:
    name = scene.name  # type: ignore[attr-defined]
    assert f"(.pictures/{name}.svg)" in README.read_text(encoding="utf-8")
    text = (FOLDER / f"{name}.svg").read_text(encoding="utf-8")
    ElementTree.fromstring(text)
    assert "wormbin" in text
    assert not re.search(r"@font-face|url\(\s*[\"']?https?:|href=", text)
    assert len(text) < 250_000


def test_nothing_else_lies_there() -> None:
    assert {path.stem for path in FOLDER.glob("*")} == {scene.name for scene in SCENES}


def test_the_fonts_are_taken_out_and_nothing_else() -> None:
    svg = "<style>\n@font-face {\n  src: url('https://x/y.woff2');\n}\n.a { fill: red }\n</style>"
    assert without_fonts(svg) == "<style>\n.a { fill: red }\n</style>\n"
