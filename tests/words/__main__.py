"""All that the program says in one list, each text with its reading grade: ``python -m tests.words [ROOM ...]``."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import mean, median

from tests.farm.a_farm import kitchen
from tests.words.grade import grade, longest
from tests.words.texts import Text, helps, in_code, kept_findings, once, played_findings, refusals

ROOMS = ("findings", "refusals", "help", "pages", "tui", "records", "farm", "advice")


def gathered(rooms: Sequence[str], folder: Path) -> Iterator[Text]:
    """The texts of some rooms; findings and refusals are played."""
    if "findings" in rooms:
        yield from kept_findings()
        yield from played_findings(folder / "situations")
    if "refusals" in rooms:
        kitchen(folder / "store")
        yield from refusals(folder / "store")
    if "help" in rooms:
        yield from helps()
    yield from in_code(*(room for room in rooms if room not in ROOMS[:3]))


def main(rooms: Sequence[str]) -> None:
    """Print the texts, room by room, the hardest first; at the end a line a room."""
    with tempfile.TemporaryDirectory() as folder:
        texts = once(gathered(rooms or ROOMS, Path(folder)))
    told = []
    for room in dict.fromkeys(each.room for each in texts):
        here = sorted((each for each in texts if each.room == room), key=lambda each: -grade(each.words))
        print(f"\n== {room}")
        for each in here:
            print(f"{grade(each.words):5.1f} {longest(each.words):3d}  [{each.where}] {' '.join(each.words.split())}")
        grades = [grade(each.words) for each in here]
        hard, long = sum(each > 8 for each in grades), sum(longest(each.words) > 20 for each in here)
        told.append(
            f"{room:<10} {len(here):5d} texts: grade {mean(grades):.1f} on average, {median(grades):.1f} the middle, "
            f"{hard} over 8, {long} with a sentence over 20 words"
        )
    print("", *told, sep="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
