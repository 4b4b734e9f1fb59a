"""The laws and the judge themselves: they find what is wrong, and let pass what is right."""

from __future__ import annotations

from typing import Any

import pytest

from tests.situations.judging import differences
from tests.situations.laws import broken, doses
from tests.situations.playing import Said
from tests.situations.situation import Amount, Ask


def page(*do: str, up_to: float = 0.0, level: str = "watch") -> Said:
    finding: dict[str, Any] = {"code": "x", "level": level, "what": "", "why": "stop feeding over 30 C", "do": do}
    return Said(0, "; ".join(do), {"bins": [{"level": level, "findings": [finding], "feed_up_to_kg": up_to}]})


@pytest.mark.parametrize(
    ("said", "read", "faults"),
    [
        (page("feed up to 300 g", up_to=0.3), False, 0),
        (page("no feed until about 4 June", "then give 200 g, half of the last"), False, 0),
        (page("no feed until about 4 June", up_to=0.3), True, 1),
        (page("Stop feeding. Lift it out", "feed up to 300 g today"), True, 1),
        (page("feed no more than 300 g a week", up_to=0.1), True, 0),
        (page("do not feed bread, meat", up_to=0.1), True, 0),
        (page("add 500 mL of water as a spray"), True, 0),
        (page("add 500 mL of water as a spray"), False, 1),
        (page("add 1.1 L of water as a spray, all over"), False, 1),
        (page("tip or draw off about 2 L of water"), False, 1),
        (page("lay 480 g of dry bedding, soaked in 1.4 L of water, on top"), False, 0),
    ],
)
def test_a_stop_beside_feed_and_a_dose_without_a_reading_are_found(said: Said, read: bool, faults: int) -> None:
    assert len(list(broken(said, moisture_read=read))) == faults


@pytest.mark.parametrize(
    ("question", "faults"),
    [
        (Ask(level=("watch",), wants=("TAKE OUT",), never=("freez",), feed_g=(300, 300)), 0),
        (Ask(level=("act",)), 1),
        (Ask(wants=("frozen bottle",)), 1),
        (Ask(never=("take out about",)), 1),
        (Ask(never=("stop feeding",)), 0),
        (Ask(feed_g=(0, 299)), 1),
        (Ask(figures={"findings.size": (0, 0), "feed_up_to_kg": (0.3, 0.3)}), 0),
        (Ask(amounts=(Amount("take out", "kg", least=1, most=4),)), 0),
        (Ask(amounts=(Amount("take out", "kg", one=True),)), 1),
        (Ask(amounts=(Amount("water", "L", wanted=True),)), 1),
        (Ask(exit=1), 1),
    ],
)
def test_a_judge_finds_each_kind_of_difference(question: Ask, faults: int) -> None:
    said = page("take out about 3.4 kg of the feed", "take out about 3.9 kg of the feed", up_to=0.3)
    assert len(list(differences(question, said))) == faults


def test_what_soaks_a_new_bed_is_no_dose() -> None:
    assert not doses(["soak 960 g of dry bedding in 2.9 L of water overnight"])
