"""Words that are counted take their right form, wherever the program says how many."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import wormbin
from wormbin.measures import counted

SAFE = re.compile(
    r"^(ROW_LIMIT:,|rows:,|self._read:,|LONGEST_\w+|FALL_DAYS|OVERFED_DAYS:g|max\(ahead, 7\)|count:.0f|len\(found\)|"
    r"SURVEY_HOLDS_DAYS|(?:LAYERS|FLOW|GAP)_DAYS|)$"
)


@pytest.mark.parametrize(
    ("number", "words", "said"),
    [(1, ("day",), "1 day"), (0, ("day",), "0 days"), (12, ("day",), "12 days"), (1, ("copy", "copies"), "1 copy"),
     (2, ("copy", "copies"), "2 copies")],
)  # fmt: skip
def test_one_is_one_and_all_else_is_many(number: int, words: tuple[str, ...], said: str) -> None:
    assert counted(number, *words) == said


def test_no_sentence_counts_things_without_asking_how_many_there_are() -> None:
    """ "{n} days" is "1 days" one day; numbers that are never one (limits, medians in half days) stand in ``SAFE``."""
    things = "days|bins|lines|rows|files|entries|copies|backups|worms|samples|readings|feedings|notes|keepers"
    pattern = re.compile(rf"\{{([^{{}}]*)\}} (?:new |own )?(?:{things})\b")
    root = Path(wormbin.__file__).parent
    found = [
        f"{path.relative_to(root)}: {hit[0]}"
        for path in sorted(root.rglob("*.py"))
        for line in path.read_text("utf-8").splitlines()
        if "== 1 else" not in line and "!= 1 else" not in line
        for hit in pattern.finditer(line)
        if not SAFE.search(hit[1])
    ]
    assert found == []
