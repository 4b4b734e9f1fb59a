"""Trays and halves: each is told by its name, and a bin of one part is told as before."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.advice.cases import BIN, a_case, a_day, ahead_of, band
from wormbin.advice.case import Case
from wormbin.advice.compartments import part_name
from wormbin.advice.judgement import findings
from wormbin.figures import Band
from wormbin.process.views import Layers, Part
from wormbin.records.bins import Method


def a_part(number: int, **changes: Any) -> Part:
    calm = Part(
        number, Layers(0.01, 0.03, 0.03, 0.0), Band(0.78, 0.80, 0.82), band(0.2), band(0.2), band(0.5, 0.05), band(0.3),
        band(0.6), band(3.0), band(0.5), Band.exactly(0.0),
    )  # fmt: skip
    return replace(calm, **changes)


def stacked(*parts: Part, method: Method = Method.UPWARD) -> Case:
    bin_ = replace(BIN, compartments=len(parts), method=method)
    case = a_case(bin=bin_, parts=parts)
    return replace(case, unfed=ahead_of(case.today, eaten=True))


def test_a_wet_middle_tray_is_named_though_the_bin_is_right_on_the_whole() -> None:
    wet = a_part(2, moisture=band(0.885, 0.003))
    found = [each for each in findings(stacked(a_part(1), wet, a_part(3))) if each.code == "too-wet"]
    assert [each.compartment for each in found] == [2]
    assert found[0].what.startswith("middle tray: too wet: moisture about 88%")
    assert "in the middle tray" in found[0].do[0]
    # 3 kg at 88.5 % to 83 %: 3 * 0.055 / 0.75 = 0.22 kg, of the tray and not of the whole bin
    assert "220 g" in found[0].do[0]


def test_one_tray_may_be_too_wet_and_another_too_dry() -> None:
    case = stacked(a_part(1, moisture=band(0.885, 0.003)), a_part(2, moisture=band(0.64, 0.003)))
    told = {each.code: each.what.partition(":")[0] for each in findings(case)}
    assert told["too-wet"] == "lower tray"
    assert told["too-dry"] == "upper tray"


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
