"""Makes README's pictures from the demo: ``python -m tests.screens.make_pictures`` writes them into ``.pictures``.

The same log, the same day and the same keys every time, so that a picture changes only when a screen does. Look at each
change before it is committed.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from textual.app import App
from textual.widgets import Input

from tests.screens.driving import Driver, comes, opened, types, until
from wormbin.farm import rounds
from wormbin.farm.samples import sample_farm

FOLDER = Path(__file__).resolve().parents[2] / ".pictures"
_FONT_FACE = re.compile(r"@font-face\s*{.*?}\s*|<!--.*?-->\s*", re.DOTALL)
_FONTS = {"Fira Code, monospace": "ui-monospace, monospace", "font-family: arial": "font-family: sans-serif"}


@dataclass(frozen=True, slots=True)
class Scene:
    """One picture: which demo, how large, which keys, and what must stand there before it is taken."""

    name: str
    sample: str
    size: tuple[int, int]
    keys: tuple[str, ...]
    words: str
    typed: str = ""


SCENES = (
    Scene("bin", "apartment", (110, 36), (), "castings:"),
    Scene("round", "seller", (110, 36), (), "uneaten food"),
    Scene("ahead", "apartment", (110, 36), ("a",), "what if"),
    Scene("feed", "apartment", (90, 24), ("f",), "they can eat", "300 g melon rind"),
)


def without_fonts(svg: str) -> str:
    """A picture that asks no network for a font: the reader's own monospaced one is used."""
    svg = _FONT_FACE.sub("", svg)
    for asked, any_like_it in _FONTS.items():
        svg = svg.replace(asked, any_like_it)
    return "\n".join(line.rstrip() for line in svg.splitlines()) + "\n"


async def taken(scene: Scene) -> str:
    """The picture of a scene as SVG."""
    with sample_farm(scene.sample) as sample:
        list(rounds.rows(sample.session()))  # worked out beforehand, so that the screen has only to be painted
        async with opened(sample.session(), scene.size, demo=scene.sample) as pilot:
            await pilot.press(*scene.keys)
            await types(pilot, scene.typed)
            await comes(pilot, scene.words)
            await settled(pilot)
            return without_fonts(pilot.app.export_screenshot(title="wormbin"))


async def settled(pilot: Driver) -> None:
    """Wait until nothing moves: no worker at work, no cursor that blinks."""
    app: App[str] = pilot.app
    for field in app.screen.query(Input):
        field.cursor_blink = False
    await until(pilot, lambda: all(worker.is_finished for worker in app.workers), "the end of all work")
    await pilot.pause()


def made() -> Iterator[tuple[Path, str]]:
    """Every picture with the file it belongs in."""
    for scene in SCENES:
        yield FOLDER / f"{scene.name}.svg", asyncio.run(taken(scene))


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for path, svg in made():
        path.write_text(svg, encoding="utf-8")
        print(f"{path.name}  {len(svg) // 1024} kB")
