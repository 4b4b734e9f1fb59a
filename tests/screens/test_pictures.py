"""A dozen kept pictures, so that no look changes unnoticed; drawn anew by ``pytest --snapshot-update -m pictures``.

They hold for the pinned Textual alone. What each of them is there to show stands beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
import textual
from textual.widgets import Input

from tests.screens.driving import Driver, comes, still_filling, types, until
from tests.screens.fake_farm import EIGHT, FORTY, FakeFarm
from wormbin.tui.app import Wormbin
from wormbin.tui.themes import THEMES

PINNED = "8.2.8"
pytestmark = [
    pytest.mark.pictures,
    pytest.mark.skipif(textual.__version__ != PINNED, reason=f"the pictures are of Textual {PINNED}"),
]
ONE = ("Kitchen bin",)
SMALL, LARGE = (80, 24), (120, 40)
NIGHT, DAY, STARK = (theme.name for theme in THEMES)
Scene = tuple[tuple[str, ...], tuple[int, int], tuple[str, ...], str, str, str]

SCENES: dict[str, Scene] = {
    # name: bins, size, keys, typed, words that must stand there, theme
    "what to do stands first on a small screen": (ONE, SMALL, (), "", "castings", NIGHT),
    "a larger screen has charts": (ONE, LARGE, (), "", "uneaten food", DAY),
    "the round of eight": (EIGHT, SMALL, (), "", "what to do first", NIGHT),
    "the round of forty in high contrast": (FORTY, LARGE, (), "", "what to do first", STARK),
    "nothing yet": ((), SMALL, (), "", "start a bin", DAY),
    "the check half filled": (ONE, SMALL, ("c", "3", "2", "e", "m"), "", "wrung sponge", NIGHT),
    "the bucket and what it does": (ONE, SMALL, ("f",), "300 g melon rind", "melon rind", NIGHT),
    "too much is said in words": (ONE, SMALL, ("f",), "5 kg melon rind", "hold back", DAY),
    "a bin is begun": (ONE, SMALL, ("b",), "Box", "length inside", NIGHT),
    "the log": (ONE, SMALL, ("l",), "", "newest first", NIGHT),
    "causes of what is seen": (ONE, SMALL, ("t", "m"), "", "the log:", STARK),
    "help": (ONE, SMALL, ("question_mark",), "", "Keys here", DAY),
}  # fmt: skip


@pytest.mark.parametrize("name", SCENES, ids=lambda name: name.replace(" ", "-"))
def test_it_looks_as_it_did(name: str, snap_compare: Callable[..., bool]) -> None:
    bins, size, keys, typed, words, theme = SCENES[name]
    app: Any = Wormbin(FakeFarm(bins))

    async def prepare(pilot: Driver) -> None:
        await until(pilot, lambda: app.begun and not still_filling(pilot), "the first screen")
        app.theme = theme
        await pilot.press(*keys)
        await until(pilot, lambda: not keys or app.screen.focused is not None, "somebody listening")
        await types(pilot, typed)
        await comes(pilot, words)
        for field in app.screen.query(Input):
            field.cursor_blink = False
        await until(pilot, lambda: all(worker.is_finished for worker in app.workers), "the end of all work")
        await pilot.pause(0.2)

    assert snap_compare(app, terminal_size=size, run_before=prepare)
