from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from rich.cells import cell_len

from tests.advice.cases import BIN, CALM_LOG, TODAY, a_case, band, looked, stocked
from wormbin.advice.case import Case
from wormbin.advice.finding import Doing
from wormbin.advice.judgement import findings
from wormbin.advice.rules import signs
from wormbin.figures import Band, Level
from wormbin.records.entries import Squeeze


def seeing(*seen: str, smell: str = "", note: str = "", days_ago: int = 0) -> Case:
    return a_case(entries=(*CALM_LOG[:-1], looked(TODAY - timedelta(days=days_ago), seen=seen, smell=smell, note=note)))


@pytest.mark.parametrize(
    "words", ["dead worms", "worms dying at the sides", "some worms are dead", "Worms look limp", "dying"]
)
def test_dying_worms_open_the_five_steps(words: str) -> None:
    found = signs.emergency(seeing(words))
    assert found is not None
    assert found.code == "dying"
    assert found.emergency
    assert found.level is Level.ACT
    assert [step[0] for step in found.do] == ["1", "2", "3", "4", "5"]
    assert "400 g of bedding" in found.do[2]


@pytest.mark.parametrize("words", ["worms climbing the walls", "leaving", "escaped overnight", "worms on the lid"])
def test_leaving_worms_open_them_too(words: str) -> None:
    found = signs.emergency(seeing(words))
    assert found is not None
    assert found.code == "leaving"
    assert found.emergency


@pytest.mark.parametrize("words", ["no dead worms", "no worms climbing", "dead leaves", "nothing", "worms lively"])
def test_what_was_not_seen_is_no_emergency(words: str) -> None:
    assert signs.emergency(seeing(words)) is None


def test_words_in_the_note_of_a_check_count() -> None:
    assert signs.emergency(seeing(note="Many dead worms near the drain")) is not None


def test_an_emergency_stands_before_every_other_finding() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, seen=("dead worms", "mites"), smell="rotten"))
    found = findings(a_case(entries=log, moisture=Band.exactly(0.93), temp_c=Band.exactly(33.0)))
    assert found[0].code == "dying"
    assert len(found) >= 3


def test_an_emergency_is_over_when_a_later_check_does_not_mention_it() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY - timedelta(days=1), seen=("dead worms",)), looked(TODAY, smell="earthy"))
    assert signs.emergency(a_case(entries=log)) is None
    assert signs.emergency(seeing("dead worms", days_ago=5)) is None


def test_worms_that_wander_in_their_first_week_are_watched_and_no_emergency() -> None:
    young = replace(BIN, started=TODAY - timedelta(days=2))
    log = (stocked(young.started), looked(TODAY, seen=("worms climbing",)))
    found = signs.emergency(a_case(bin=young, entries=log))
    assert found is not None
    assert found.level is Level.WATCH
    assert not found.emergency


@pytest.mark.parametrize(
    ("words", "code", "level"),
    [
        ("rotten eggs", "smell-rotten", Level.ACT),
        ("ammonia", "smell-ammonia", Level.ACT),
        ("a bit sour", "smell-sour", Level.WATCH),
        ("red mites", "red-mites", Level.ACT),
        ("white mites", "mites", Level.WATCH),
        ("fruit flies", "flies", Level.WATCH),
        ("soldier fly larvae", "soldier-flies", Level.WATCH),
        ("ants", "ants", Level.WATCH),
        ("springtails", "pot-worms", Level.STEADY),
        ("mold on the bread", "mould", Level.WATCH),
    ],
)
def test_a_sign_names_its_likely_cause(words: str, code: str, level: Level) -> None:
    found = signs.seen_and_smelt(seeing(words))
    assert found is not None
    assert found.code == code
    assert found.level is level
    assert found.source
    assert found.do


@pytest.mark.parametrize("words", ["earthy", "no mites", "without flies", "plants", "pleasant", ""])
def test_a_good_smell_or_a_denial_is_no_sign(words: str) -> None:
    assert signs.seen_and_smelt(seeing(words)) is None


def test_the_gravest_sign_is_told_and_the_others_named() -> None:
    found = signs.seen_and_smelt(seeing("fruit flies", "mould", smell="rotten"))
    assert found is not None
    assert found.code == "smell-rotten"
    assert "fruit flies" in found.why
    assert "mould" in found.why


def test_every_sign_fits_its_line_and_fills_its_amounts() -> None:
    words = {
        "smell-rotten": "rotten", "smell-ammonia": "ammonia", "smell-sour": "sour", "red-mites": "red mites",
        "swollen-worms": "swollen", "mites": "mites", "soldier-flies": "gnats", "flies": "flies", "rodents": "rats",
        "hunters": "centipede", "ants": "ants", "mould": "mould", "pale-worms": "pale", "pot-worms": "springtails",
        "water-base": "standing water",
    }  # fmt: skip
    assert set(words) == set(signs.TABLE)
    for code, word in words.items():
        found = signs.seen_and_smelt(seeing(word))
        assert found is not None
        assert found.code == code
        assert cell_len(found.what) <= 76
        assert "{" not in " ".join(found.do)


def test_a_sign_carries_this_bins_amounts() -> None:
    sour = signs.seen_and_smelt(seeing(smell="sour"))
    assert sour is not None
    assert sour.do[0] == "do not feed until about 23 May"
    assert "dust it with 10 g" in sour.do[2]
    rotten = signs.seen_and_smelt(seeing(smell="rotten"))
    assert rotten is not None
    assert rotten.do[0] == "do not feed until about 27 May"
    assert rotten.do[3] == "cover the food two fingers deep with bedding from the bin"
    log = (*CALM_LOG[:-1], looked(TODAY, smell="rotten", squeeze=Squeeze.DRIPPING))
    wet = signs.seen_and_smelt(a_case(entries=log, moisture=band(0.87, 0.005)))
    assert wet is not None
    # 8 kg at 87 % to 83 %: 8 * 0.04 / 0.75 = 0.43 kg
    assert wet.do[3].startswith("add 450 g dry shredded cardboard")


@pytest.mark.parametrize("words", ["water at the bottom", "standing water", "a puddle", "leachate ran out"])
def test_water_seen_at_the_base_is_let_out_by_amount_only_where_the_bin_was_felt(words: str) -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, seen=(words,), squeeze=Squeeze.DRIPPING))
    felt = signs.seen_and_smelt(a_case(entries=log, standing_water_kg=band(0.5)))
    assert felt is not None
    assert felt.code == "water-base"
    assert felt.do[0] == "open the drain and let out about 500 mL of water. Squeeze again tomorrow"
    assert (felt.feed, felt.brake) == (0.5, 0.5)
    assert Doing.WATER in felt.bars
    assert "what runs out is not tea" in felt.caution
    unfelt = signs.seen_and_smelt(a_case(entries=(*CALM_LOG[:-1], looked(TODAY, seen=(words,)))))
    assert unfelt is not None
    assert unfelt.do[0] == "let out what runs at the base. Then squeeze a handful and write it down"


def test_ants_in_a_bin_that_is_moist_as_it_should_be_are_not_put_down_to_dryness() -> None:
    log = (*CALM_LOG[:-1], looked(TODAY, seen=("ants",)))
    moist, dry = (signs.seen_and_smelt(a_case(entries=log, moisture=Band.exactly(m))) for m in (0.78, 0.68))
    assert moist is not None
    assert dry is not None
    assert "too dry" not in moist.what
    assert "78%" in moist.why
    assert not any(step.startswith("moisten") for step in moist.do)
    assert dry.what == "ants: likely too dry"
    assert dry.do[0] == "wet the bedding"
