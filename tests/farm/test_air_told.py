"""One figure for the reach of air: in the finding, the gauge, the gauge opened, and the feeding form."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from wormbin.advice import limits
from wormbin.advice.rules.air import judged_share, reach_words
from wormbin.farm import bins, feedings
from wormbin.farm.samples import copy_sample
from wormbin.figures import Band, put_in
from wormbin.measures import percent


def _cm(words: str) -> float:
    return float(words.removesuffix(" cm"))


def test_a_dense_bed_that_is_judged_with_care_has_one_figure_everywhere(tmp_path: Path) -> None:
    farm = copy_sample("seller", tmp_path / "store").session()
    scene = farm.scene("crate-2")
    limit, _level, share = judged_share(scene.case)
    assert limit is limits.AIR_CAREFUL, "else this bin no longer shows what is looked at here"
    assert share is not None
    finding = next(each for each in scene.findings if each.code == "air-short")
    gauge = next(each for each in bins.look(farm, "crate-2").gauges if each.code == "air")
    opened = bins.working(farm, "crate-2", "air")
    told = re.search(r"(?:it reaches|gets down:) (\S+ cm) \((\S+ cm) to (\S+ cm)\) of (\S+ cm)", finding.what)
    assert told is not None, finding.what
    depth = _cm(told[4])
    for words, edge in zip(told.groups()[:3], (share.p50, share.p10, share.p90), strict=True):
        assert _cm(words) / depth == pytest.approx(min(1.0, edge), abs=0.03)
    assert gauge.value == opened.value == min(1.0, share.p50)
    assert gauge.words == reach_words(share, percent)
    assert "Millington" in opened.source
    assert re.search(rf"between {percent(min(1.0, share.p10))} and {percent(min(1.0, share.p90))}", opened.sure)
    assert put_in(opened.formula, opened.inputs) == pytest.approx(opened.value)
    line = next(each for each in feedings.preview(farm, "crate-2", ["1 g melon rind"]).lines if "air gets" in each)
    formed = float(re.search(r"air gets (\d+)% ", line)[1])  # type: ignore[index]
    assert formed / 100 == pytest.approx(share.p50, abs=0.06), line


def test_a_wide_band_is_told_beside_its_figure_and_a_narrow_one_is_not() -> None:
    assert reach_words(Band(0.1, 0.4, 0.9), percent) == "40% (10% to 90%)"
    assert reach_words(Band(0.3, 0.4, 0.5), percent) == "40%"
    assert reach_words(Band(2.0, 5.0, 9.0), percent) == "100%"
