"""The pictures that need no reading: of the size asked for, each unlike the others without any colour."""

from __future__ import annotations

from itertools import combinations

import pytest

from wormbin.drawing.tiles import TILES, large, tile
from wormbin.figures import Level
from wormbin.tui.screens.pupil import DOUBT, QUESTIONS

SIZES = ((19, 11), (29, 22), (9, 4), (1, 1), (0, 3))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", TILES)
def test_a_picture_is_as_large_as_its_room(name: str, size: tuple[int, int]) -> None:
    drawn = tile(name, *size)
    assert (drawn.width, drawn.height) == size
    assert set(tile(name, *size, ascii=True).text) <= {" ", "#", "\n"}


@pytest.mark.parametrize("ascii", [False, True])
def test_no_two_pictures_of_a_question_look_alike_in_one_colour(ascii: bool) -> None:
    for answers in (*(each for _, _, each in QUESTIONS), DOUBT):
        for one, other in combinations(answers, 2):
            drawn = [tile(each.picture, 19, 11, ascii=ascii).text for each in (one, other)]
            unlike = sum(a != b for a, b in zip(*drawn, strict=True))
            assert unlike > 8, (one, other)


def test_the_levels_and_the_figures_can_be_written_large() -> None:
    for words in (*(level.value for level in Level), "1", "2", "3", "4", "5"):
        drawn = large(words, "key", 78)
        assert drawn.height == 5
        assert all(line.strip() for line in drawn.lines)
