"""Cautions and signs: every one sourced, reachable, and complete; nothing advised that another line forbids."""

from __future__ import annotations

from math import pi
from pathlib import Path

import pytest

from wormbin.figures import Level
from wormbin.science.cautions import CAUTIONS, SELLING
from wormbin.science.signs import EMERGENCY, SIGNS, sign


def test_codes_are_unique_and_found() -> None:
    assert len({each.code for each in SIGNS}) == len(SIGNS)
    assert sign("ants").code == "ants"
    with pytest.raises(KeyError):
        sign("nothing")


def test_every_caution_and_sign_has_a_source_and_every_sign_something_to_do() -> None:
    assert all(each.text and each.source for each in CAUTIONS.values())
    assert all(each.likely and each.do and each.source for each in SIGNS)


def test_an_extract_is_kept_off_food_as_the_readme_says() -> None:
    """README: "Keep both off anything that is eaten, above all raw"."""
    readme = " ".join((Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8").split())
    kept = "off anything that is eaten, above all raw"
    assert f"Keep both {kept}" in readme
    assert f"Keep it {kept}" in CAUTIONS["extract"].text


def test_a_planted_pot_is_dressed_a_centimetre_thick() -> None:
    across, thick = 0.20, 0.01
    assert f"{1000 * thick * pi * across**2 / 4:.1f} L on a pot 20 cm across" in CAUTIONS["dressing"].text


def test_who_sells_is_sent_to_the_local_rules_last() -> None:
    assert SELLING[-1] == "rules"
    assert set(SELLING) <= CAUTIONS.keys()


def test_signs_name_cautions_that_exist() -> None:
    for each in SIGNS:
        for code in each.cautions:
            assert CAUTIONS[code].text


def test_only_dying_and_leaving_worms_open_the_five_steps() -> None:
    assert {each.code for each in SIGNS if each.emergency} == {"dying", "leaving"}
    assert all(each.level is Level.ACT for each in SIGNS if each.emergency)
    assert len(EMERGENCY) == 5
    assert "Stop feeding" in EMERGENCY[0]
    assert "Rescue" in EMERGENCY[-1]


def test_each_line_of_the_trade_is_there() -> None:
    words = " ".join(each.seen for each in SIGNS)
    smelt = ("rotten", "ammonia", "sour")
    worms = ("climbing", "dying", "pale", "lumpy")
    others = ("fruit flies", "mites", "red mites", "pot worms", "ants", "soldier-fly", "rodents", "centipedes", "mould")
    for seen in (*smelt, *worms, *others, "base", "over 30 C", "under 10 C"):
        assert seen in words


def test_where_lime_is_advised_the_burning_kinds_are_ruled_out() -> None:
    for each in SIGNS:
        if "calcium carbonate" in " ".join(each.do):
            assert "lime" in each.cautions
    assert "never slaked" in CAUTIONS["lime"].text


def test_whoever_sells_is_sent_to_the_law_and_whoever_makes_an_extract_to_its_limits() -> None:
    assert {"selling", "organic", "treated"} <= set(SELLING)
    extract = CAUTIONS["extract"].text
    assert "24 h" in extract
    assert "raw" in extract
