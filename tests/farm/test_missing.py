"""What was never said is asked for once, kept, and then understood."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.farm import feedings
from wormbin.farm.materials import answered, asked
from wormbin.farm.session import Session
from wormbin.problems import MissingError, RefusedError


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return kitchen(tmp_path)


@pytest.mark.parametrize(
    ("words", "question", "answer", "kg"),
    [
        ("a handful of coffee grounds", "How much is your handful?", "40 g", 0.04),
        ("half a bucket of vegetable scraps", "How much is your bucket?", "3 kg", 1.5),
        ("3 pumpkins", "How much is one piece of pumpkin?", "1.2 kg", 3.6),
        ("the usual", "What is in your usual bucket?", "300 g vegetable scraps, 2 tea bags", 0.318),
        ("200 g rhubarb leaves", "rhubarb leaves is new here. What is it most like?", "spinach", 0.2),
    ],
)
def test_it_is_asked_once_and_kept(farm: Session, words: str, question: str, answer: str, kg: float) -> None:
    with pytest.raises(MissingError) as missing:
        feedings.preview(farm, "kitchen", [words])
    assert asked(missing.value).question == question
    with pytest.raises(RefusedError):
        answered(farm, missing.value, "lots")
    answered(farm, missing.value, answer)
    assert feedings.preview(farm, "kitchen", [words]).total_kg == pytest.approx(kg)
    assert feedings.preview(Session(farm.folder, clock=farm.clock), "kitchen", [words]).total_kg == pytest.approx(kg)


def test_what_is_like_another_says_so_and_is_no_reading(farm: Session) -> None:
    with pytest.raises(MissingError) as missing:
        feedings.preview(farm, "kitchen", ["200 g rhubarb leaves"])
    answered(farm, missing.value, "spinach", "Ana")
    ours, like = farm.table.get("rhubarb-leaves"), farm.table.get("spinach")
    assert (ours.nitrogen, ours.moisture, ours.pace) == (like.nitrogen, like.moisture, like.pace)
    assert all(source.startswith("taken to be like spinach; ") for source in ours.sources.values())


def test_a_slip_of_the_pen_is_no_new_material(farm: Session) -> None:
    with pytest.raises(RefusedError, match="Did you mean") as refused:
        feedings.preview(farm, "kitchen", ["200 g spinahc"])
    assert not isinstance(refused.value, MissingError)
