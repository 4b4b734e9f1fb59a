"""Trays and halves: each is told by its name, and a bin of one part is told as before."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.advice.cases import BIN, TODAY, a_case, a_day, ahead_of, band, fed, looked
from wormbin.advice.case import Case
from wormbin.advice.finding import Action, Doing, merged
from wormbin.advice.judgement import findings, to_do
from wormbin.advice.rules.sightings import sightings
from wormbin.advice.trays import part_name, takes_feed, tray_to_feed, trays
from wormbin.figures import Band, Level
from wormbin.process.views import Layers, Part
from wormbin.records.bins import Method
from wormbin.records.entries import Entry, Feeding, Squeeze


def a_part(number: int, **changes: Any) -> Part:
    calm = Part(
        number, Layers(0.01, 0.03, 0.03, 0.0), Band(0.78, 0.80, 0.82), band(0.2), band(0.2), band(0.5, 0.05), band(0.3),
        band(0.6), band(3.0), band(0.5), Band.exactly(0.0), band(1.0),
    )  # fmt: skip
    return replace(calm, **changes)


def fed_into(number: int) -> Entry:
    return replace(fed(0.1, TODAY), id=f"into-{number}", compartment=number)


def stacked(*parts: Part, method: Method = Method.UPWARD) -> Case:
    bin_ = replace(BIN, compartments=len(parts), method=method)
    case = a_case(bin=bin_, parts=parts)
    return replace(case, unfed=ahead_of(case.today, eaten=True))


def test_a_wet_middle_tray_is_named_though_the_bin_is_right_on_the_whole() -> None:
    wet = a_part(2, moisture=band(0.885, 0.003), dry_kg=band(3 * 0.115))
    case = stacked(a_part(1), wet, a_part(3))
    case = replace(case, entries=(*case.entries, looked(TODAY - timedelta(days=4), squeeze=Squeeze.SPONGE)))
    found = [each for each in findings(case) if each.code == "too-wet"]
    assert [each.compartment for each in found] == [2]
    assert found[0].what.startswith("middle tray: too wet: about 88% moist")
    assert "in the middle tray" in found[0].do[0]
    # 3 kg at 88.5 % to 83 %: 3 * 0.055 / 0.75 = 0.22 kg, of the tray and not of the whole bin
    assert "add 200 g dry" in found[0].do[0]


def test_one_tray_may_be_too_wet_and_another_too_dry() -> None:
    case = stacked(a_part(1, moisture=band(0.885, 0.003)), a_part(2, moisture=band(0.64, 0.003)))
    case = replace(case, entries=(*case.entries, fed_into(2)))
    told = {each.code: each.what.partition(":")[0] for each in findings(case)}
    assert told["too-wet"] == "lower tray"
    assert told["too-dry"] == "upper tray"


def squeezed(number: int, hand: Squeeze, ago: int = 0) -> Entry:
    return replace(looked(TODAY - timedelta(days=ago), squeeze=hand), compartment=number)


def test_a_tray_is_read_by_itself_and_another_says_nothing_of_it() -> None:
    """Twice dripping below; a handful from above, or one of which nobody said where, does not break that row."""
    case = stacked(a_part(1), a_part(2))
    drips = (squeezed(1, Squeeze.DRIPPING, 2), squeezed(1, Squeeze.DRIPPING, 1))
    told = sightings(replace(case, entries=(*case.entries, *drips, squeezed(2, Squeeze.SPONGE))))
    assert [(each.code, each.compartment, each.level) for each in told] == [("too-wet", 1, Level.WATCH)]
    assert told[0].what == "lower tray: too wet: dripping yesterday, and 2 looks agree"
    apart = sightings(replace(case, entries=(*case.entries, drips[0], squeezed(2, Squeeze.DRIPPING))))
    assert [(each.compartment, each.level) for each in apart] == [(1, Level.STEADY), (2, Level.STEADY)]
    broken = sightings(replace(case, entries=(*case.entries, *drips, squeezed(1, Squeeze.SPONGE))))
    assert broken == ()


def test_what_is_right_in_one_tray_takes_nothing_off_another() -> None:
    wet = a_part(2, moisture=band(0.885, 0.003), dry_kg=band(3 * 0.115))
    case = stacked(a_part(1), wet)
    for number, level in ((1, Level.WATCH), (2, Level.STEADY), (0, Level.STEADY)):
        entries = (*case.entries, squeezed(number, Squeeze.SPONGE))
        found = [each for each in findings(replace(case, entries=entries)) if each.code == "too-wet"]
        assert [(each.compartment, each.level) for each in found] == [(2, level)], number


def test_a_ruler_in_a_tray_is_held_against_its_own_rim() -> None:
    case = stacked(a_part(1), a_part(2))
    deep = tuple(replace(looked(TODAY, hour, contents_m=0.29), compartment=2) for hour in (7, 8))
    found = [each for each in findings(replace(case, entries=(*case.entries, *deep))) if each.code == "full"]
    assert [(each.compartment, each.level) for each in found] == [(2, Level.WATCH)]


def test_a_bin_of_one_part_is_told_as_a_whole() -> None:
    found = [each for each in findings(a_case(moisture=band(0.885, 0.003))) if each.code == "too-wet"]
    assert [each.compartment for each in found] == [0]
    assert found[0].what.startswith("too wet")
    assert not [each for each in findings(stacked(a_part(1), a_part(2))) if each.compartment]
    assert a_day().parts == ()


@pytest.mark.parametrize(
    ("number", "of", "sideways", "name"),
    [
        (1, 2, False, "lower tray"), (2, 3, False, "middle tray"), (3, 3, False, "top tray"),
        (2, 4, False, "tray 2 of 4, from below"), (1, 2, True, "left half"), (3, 3, True, "part 3 of 3, from the left"),
    ],
)  # fmt: skip
def test_compartments_have_names(number: int, of: int, sideways: bool, name: str) -> None:
    assert part_name(number, of, sideways) == name


def test_a_tray_short_of_air_is_named_and_judged_by_its_own_depth() -> None:
    """Air to 2 cm of the 7 cm in one tray is short; the whole of the bin, three trays deep, is no measure."""
    case = stacked(a_part(1), a_part(2, air_reach_m=band(0.02)), a_part(3))
    found = [each for each in findings(case) if each.code == "air-short"]
    assert [each.compartment for each in found] == [2]
    assert found[0].what.startswith("middle tray: short of air")
    calm = stacked(a_part(1, air_reach_m=band(0.10)), a_part(2, air_reach_m=band(0.10)))
    assert not [each for each in findings(replace(calm, today=replace(calm.today, air_reach_m=band(0.02))))
                if each.code == "air-short"]  # fmt: skip


def test_feed_too_thick_in_one_tray_is_named_and_thin_layers_do_not_add_up() -> None:
    thick = a_part(2, layers=Layers(0.06, 0.02, 0.03, 0.0))
    found = [each for each in findings(stacked(a_part(1), thick)) if each.code == "thick-layer"]
    assert [(each.compartment, each.what.partition(":")[0]) for each in found] == [(2, "upper tray")]
    thin = a_part(1, layers=Layers(0.03, 0.02, 0.03, 0.0))
    both = stacked(thin, replace(thin, number=2))
    added_up = replace(both, today=replace(both.today, layers=Layers(0.06, 0.04, 0.06, 0.0)))
    assert not [each for each in findings(added_up) if each.code == "thick-layer"]


RIPE = {"castings_share": band(0.85, 0.01), "castings_dry_kg": band(0.7)}


def test_the_ripe_tray_is_due_and_the_others_are_not() -> None:
    case = stacked(a_part(1, **RIPE), a_part(2))
    lower, upper = trays(case)
    assert lower.harvest.due_since == case.history[0].on
    assert upper.harvest.likely is None
    found = [each for each in findings(case) if each.code.startswith("harvest")]
    assert [each.compartment for each in found] == [1]
    assert found[0].what.startswith("lower tray: harvest is")
    # 0.7 kg dry of the tray at 80 %, a tenth left: 3.15 kg; the castings of the whole bin are no part of it
    assert any("3.2 kg" in step or "3.1 kg" in step for step in found[0].do)


def test_a_tray_gives_castings_on_the_days_its_own_band_gets_there() -> None:
    case = stacked(a_part(1), a_part(2))
    coming = [
        replace(
            day, parts=(day.parts[0], a_part(2, castings_share=band(0.5 + n * 0.02, 0.05), castings_dry_kg=band(0.7)))
        )
        for n, day in enumerate(case.unfed.days)
    ]
    window = trays(replace(case, ahead=replace(case.ahead, days=coming)))[1].harvest
    # 0.80 is first touched from 0.773 on, which 0.50 + 0.02 a day has on day 14; 5 % up or down on days 12, 16
    on = [coming[n].on for n in (12, 14, 16)]
    assert [window.earliest, window.likely, window.latest] == on
    assert window.due_since is None


def test_the_tray_last_fed_is_fed_on_until_it_is_ripe_or_full() -> None:
    def told(*parts: Part, method: Method = Method.UPWARD) -> int:
        case = stacked(*parts, method=method)
        log = tuple(replace(e, compartment=1) if isinstance(e.what, Feeding) else e for e in case.entries)
        return tray_to_feed(replace(case, entries=log))

    assert told(a_part(1), a_part(2)) == 1
    assert told(a_part(1, **RIPE), a_part(2)) == 2
    assert told(a_part(1, layers=Layers(0.01, 0.10, 0.18, 0.0)), a_part(2), a_part(3)) == 2
    assert told(a_part(1, **RIPE), a_part(2), method=Method.SIDEWAYS) == 2
    assert tray_to_feed(a_case()) == 0


def test_a_full_tray_is_told_once_and_where_to_feed_instead() -> None:
    """29 cm of 30 cm in the lower tray: feed moves up, and that is no alarm; the whole bin is not called full."""
    brim = a_part(1, layers=Layers(0.01, 0.15, 0.13, 0.0))
    case = stacked(brim, a_part(2))
    found = [each for each in findings(case) if each.code == "full"]
    assert [(each.compartment, each.level) for each in found] == [(1, Level.STEADY)]
    assert "feed the upper tray from now on" in found[0].what
    assert tray_to_feed(case) == 2
    moved = replace(case, entries=(*case.entries, fed_into(2)))
    assert not [each for each in findings(moved) if each.code == "full"]


def test_when_every_tray_is_full_it_is_a_matter_of_room() -> None:
    brim = Layers(0.01, 0.15, 0.13, 0.0)
    case = stacked(a_part(1, layers=brim, castings_share=band(0.7, 0.05)), a_part(2, layers=brim))
    found = [each for each in findings(case) if each.code == "full" and each.level is not Level.STEADY]
    assert found
    assert "lower tray" in found[0].do[0]


def test_dense_castings_are_told_of_their_tray() -> None:
    dense = a_part(1, free_air_space=band(0.15, 0.02))
    found = [each for each in findings(stacked(dense, a_part(2))) if each.code == "dense"]
    assert [each.compartment for each in found] == [1]
    assert found[0].what.startswith("lower tray: ")
    whole = a_case(free_air_space=band(0.15, 0.02))
    assert [each.compartment for each in findings(whole) if each.code == "dense"] == [0]


def test_a_tray_that_waits_with_its_first_bedding_is_not_called_too_dry() -> None:
    case = stacked(a_part(1, worms_kg=band(0.5)), a_part(2, moisture=band(0.5, 0.02), worms_kg=band(0.01)))
    assert not [each for each in findings(case) if each.code == "too-dry"]
    once = replace(case, entries=(*case.entries, fed_into(2), fed_into(1)))
    assert [each.compartment for each in findings(once) if each.code == "too-dry"] == [2]


def test_steps_for_two_trays_are_two_steps_and_for_the_whole_bin_one() -> None:
    wet = {"moisture": band(0.885, 0.003)}
    steps = [each.text for each in to_do(findings(stacked(a_part(1, **wet), a_part(2, **wet), a_part(3))))]
    assert sum("dry" in text and "in the" in text for text in steps) == 2
    whole = Action(Doing.BEDDING, "add 900 g", 0.9)
    part = Action(Doing.BEDDING, "add 100 g (in the lower tray)", 0.1, part=1)
    assert merged([(Level.WATCH, whole), (Level.ACT, part)]) == (whole,)
    assert merged([(Level.WATCH, replace(whole, strength=0.05)), (Level.ACT, part)]) == (part,)


def test_the_harvest_of_a_tray_names_it_and_the_one_fed_after_it() -> None:
    ripe = a_part(1, castings_share=Band.exactly(0.9), castings_dry_kg=Band.exactly(1.0), dry_kg=Band.exactly(1.1))
    found = [each for each in findings(stacked(ripe, a_part(2))) if each.code.startswith("harvest")]
    assert [each.compartment for each in found] == [1]
    assert "off the lower tray" in found[0].do[0]
    assert "upper tray" in found[0].do[0]


@pytest.mark.parametrize(("kg_m2", "fed_on"), [(2.45, True), (2.55, False)])
def test_a_tray_is_fed_until_there_is_a_harvest_in_it_to_speak_of(kg_m2: float, fed_on: bool) -> None:
    # About a centimetre of dry castings: ours.
    ripe = a_part(2, castings_share=band(0.9), castings_dry_kg=band(kg_m2 * BIN.surface_m2))
    assert takes_feed(stacked(a_part(1), ripe), ripe) is fed_on
