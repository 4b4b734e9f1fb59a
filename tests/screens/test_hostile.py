"""Text from a keeper is only text: markup, controls and very long names neither crash nor move a screen."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from rich.cells import cell_len

from tests.screens.driving import Driver, at, opened, text_of, until
from tests.screens.fake_farm import HOSTILE, FakeFarm
from wormbin.farm.views.bin import LogLine
from wormbin.tui.screens.round import RoundScreen

KEYS: tuple[tuple[str, ...], ...] = (
    (), ("enter",), ("c",), ("f",), ("e",), ("e", "b"), ("e", "v"), ("w", "1"), ("y",), ("t", "m"), ("K",), ("h",),
    ("x",), ("g",), ("p",), ("comma",), ("b",), ("d",), ("i",), ("exclamation_mark",), ("question_mark",),
    ("enter", "a"), ("enter", "l"), ("enter", "l", "enter"), ("enter", "l", "r"), ("enter", "l", "z"), ("enter", "o"),
    ("enter", "enter"), ("ctrl+p",),
)  # fmt: skip
"""The way to every screen from the round."""
WALKS = tuple(KEYS[at::4] for at in range(4))
"""The ways in four walks, each gone in one program: opening it anew for each of them takes longer than the way."""


class HostileFarm(FakeFarm):
    def log(self, bin: str, **_: object) -> Sequence[LogLine]:
        from dataclasses import replace

        lines = super().log(bin)
        return [
            replace(line, words=HOSTILE[at % len(HOSTILE)], by=HOSTILE[at % 3], note=HOSTILE[at % 5])
            for at, line in enumerate(lines)
        ]


def in_true(pilot: Driver, width: int, where: str) -> None:
    for line in text_of(pilot).splitlines():
        assert cell_len(line) == width, f"{where}: {line}"
        assert all(char.isprintable() or char in "\u200d\ufe0f" for char in line), f"{where}: {line!r}"


async def back_at_the_round(pilot: Driver) -> None:
    """Leave whatever is open; the palette and menus are left by one key, a form inside a bin by three."""
    for _ in range(4):
        if isinstance(pilot.app.screen, RoundScreen):
            return
        await pilot.press("escape")
    await at(pilot, RoundScreen)


@pytest.mark.parametrize("size", [(80, 24), (40, 10), (120, 40)], ids=str)
@pytest.mark.parametrize("walk", WALKS, ids=["walk 1", "walk 2", "walk 3", "walk 4"])
async def test_hostile_names_stay_names(walk: tuple[tuple[str, ...], ...], size: tuple[int, int], long: bool) -> None:
    async with opened(HostileFarm(HOSTILE), size) as pilot:
        names = 3 if long and size == (80, 24) else 1
        for name in range(names):
            for keys in walk:
                await pilot.press(*keys)
                await pilot.pause()
                in_true(pilot, size[0], f"{'-'.join(keys)} on name {name}")
                await back_at_the_round(pilot)
            await pilot.press("down")


async def test_markup_in_a_name_is_shown_as_it_was_typed() -> None:
    async with opened(FakeFarm(["[b]x[/b]"])) as pilot:
        await until(pilot, lambda: "[b]x[/b]" in text_of(pilot), "the name as typed")
