"""How much castings are used, each against the figure as printed."""

from __future__ import annotations

from math import pi
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.farm.uses import plan_uses
from wormbin.farm.views.lots import UseLine
from wormbin.problems import RefusedError
from wormbin.science import practice


def one(tmp_path: Path, said: str, share: str = "") -> UseLine:
    (line,) = plan_uses(kitchen(tmp_path, days=2), [said], share).uses
    return line


def test_a_tenth_to_a_fifth_of_a_potting_mix_is_castings(tmp_path: Path) -> None:
    # Atiyeh et al. 2000: 10 % and 20 % substitution grew seedlings best; over 40 % sets them back.
    low, high = practice.POTTING_SHARE
    assert (low, high, practice.POTTING_MOST) == (0.10, 0.20, 0.40)
    seedlings, pots = one(tmp_path / "a", "50 L seedling mix"), one(tmp_path / "b", "50 L potting mix")
    assert seedlings.castings_l == pytest.approx(low * 50)
    assert low * 50 < pots.castings_l < high * 50
    assert pots.castings_l + pots.other_l == pytest.approx(50)


def test_an_extract_is_ten_to_one_for_at_most_a_day(tmp_path: Path) -> None:
    # Ohio State, BioCycle 2007.
    extract = one(tmp_path, "10 L extract")
    assert (extract.castings_l, extract.other_l) == (1.0, 10.0)
    assert "24 hours at most" in extract.do


@pytest.mark.parametrize("said", ["3 pots of 20 cm", "three pots 20 cm wide", f"{3 * pi * 100:.4f} cm2 bed"])
def test_a_centimetre_is_strewn_on_pots_and_beds(tmp_path: Path, said: str) -> None:
    # Common practice, no source: 1 cm; a circle by its formula.
    assert one(tmp_path, said).castings_l == pytest.approx(3 * pi * 0.2**2 / 4 * 0.01 * 1000, rel=1e-6)


@pytest.mark.parametrize("said", ["", "0 L potting mix", "pots", "5 kg of pots", "2 L of something", "12 pots"])
def test_what_is_no_use_is_refused_with_an_example(tmp_path: Path, said: str) -> None:
    with pytest.raises(RefusedError, match="12 pots of 20 cm"):
        plan_uses(kitchen(tmp_path, days=2), [said])
