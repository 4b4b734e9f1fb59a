"""What opens is laid out once or twice and never flickers, since no key is heard meanwhile."""

from __future__ import annotations

import pytest
from textual.geometry import Size
from textual.screen import Screen

from tests.screens.driving import at, opened
from tests.screens.fake_farm import EIGHT, FakeFarm
from wormbin.tui.screens.check import CheckForm
from wormbin.tui.screens.feed import FeedForm
from wormbin.tui.widgets.fields import Choice, ChoiceRow


@pytest.mark.parametrize(("key", "kind"), [("c", CheckForm), ("f", FeedForm)])
async def test_a_form_is_laid_out_no_more_often_than_it_must(
    key: str, kind: type[Screen[object]], monkeypatch: pytest.MonkeyPatch
) -> None:
    laid: list[object] = []
    real = Screen._refresh_layout

    def counted(self: Screen[object], *words: object, **how: object) -> None:
        laid.append(self)
        real(self, *words, **how)  # type: ignore[arg-type]

    async with opened(FakeFarm(EIGHT)) as pilot:
        monkeypatch.setattr(Screen, "_refresh_layout", counted)
        await pilot.press(key)
        form = await at(pilot, kind)
        assert laid.count(form) <= 3, "once when it comes up, once for what the farm says, once for what is saved"


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
async def test_a_form_knows_from_the_first_how_wide_and_high_it_is(
    size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[frozenset[str]] = []
    real = CheckForm.compose

    def looking(self: CheckForm) -> object:
        seen.append(self.classes)
        return real(self)

    monkeypatch.setattr(CheckForm, "compose", looking)
    async with opened(FakeFarm(EIGHT), size=size) as pilot:
        await pilot.press("c")
        form = await at(pilot, CheckForm)
        assert {name for name in form.classes if name.startswith("-")} == {
            name for name in seen[0] if name.startswith("-")
        }
        assert len([name for name in seen[0] if name.startswith("-")]) == 2


def test_a_row_of_choices_knows_its_height_in_a_width_that_it_does_not_have_yet() -> None:
    row = ChoiceRow("smell", [Choice(letter, letter, "a longish word") for letter in "abcdef"])
    heights = [row.get_content_height(Size(), Size(), width) for width in (200, 60, 40)]
    assert heights == sorted(heights)
    assert heights[0] == 1
    assert heights[-1] > 2
