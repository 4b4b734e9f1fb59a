"""What is said is easy: refusals are played here, and the findings of the situations are held to the same by a law."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from tests.situations.laws import HARDEST, LONGEST
from tests.words.grade import grade, longest
from tests.words.texts import Text, helps, in_code, once, refusals

CLUMSY = ("rests on", "told until", "is ours:", "was read; allowed", "by the sums", "is too much\n")
"""Ways of saying it that readers stumbled over."""


def hard(texts: list[Text]) -> list[str]:
    return [
        f"grade {grade(each.words):.1f}, {longest(each.words)} words [{each.where}] {each.words}"
        for each in texts
        if grade(each.words) > HARDEST or longest(each.words) > LONGEST
    ]


@pytest.fixture(scope="module")
def refused(tmp_path_factory: pytest.TempPathFactory) -> list[Text]:
    """Every refusal of the cases and of the slips, on one store: a refusal changes nothing."""
    store: Path = tmp_path_factory.mktemp("refused") / "store"
    kitchen(store)
    return [*refusals(store)]


def test_no_refusal_is_hard_to_read(refused: list[Text]) -> None:
    said = once(refused)
    assert len(said) > 100
    assert not hard(said), "\n".join(hard(said))


def test_every_refusal_says_what_to_do_next(refused: list[Text]) -> None:
    out = r"Write |Say |Try: |Example: |Did you mean|Give |Choose |add --yes|--yes|All commands|Add one|Leave |wormbin "

    assert [each for each in refused if each.words and not re.search(out, each.words)] == []


def test_nothing_on_a_screen_or_a_page_is_a_long_sentence() -> None:
    """But for style sheets, markup and names of fields, which nobody reads, and the letters that help goes through."""
    told = [each for each in in_code("tui", "pages", "farm") if not re.search(r"[{<>_]|\$", each.words)]
    assert len(told) > 300
    assert [each for each in told if longest(each.words) > LONGEST + 5] == []


def test_help_has_no_sentence_without_end() -> None:
    assert [each for each in helps() if longest(each.words) > LONGEST + 5] == []


@pytest.mark.parametrize("room", ["advice", "pages", "farm", "tui"])
def test_nothing_is_said_in_the_ways_that_readers_stumbled_over(room: str) -> None:
    assert [each for each in in_code(room) for clumsy in CLUMSY if clumsy in each.words] == []
