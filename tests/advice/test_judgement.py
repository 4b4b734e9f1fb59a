from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from hypothesis import given, settings, strategies as st
from rich.cells import cell_len

from tests.advice.cases import BIN, CALM_LOG, SETTINGS, TODAY, a_case, a_day, ahead_of, band, days, fed, looked, read
from wormbin.advice.case import Case
from wormbin.advice.judgement import findings, level
from wormbin.advice.rules import RULES
from wormbin.figures import Band, Level
from wormbin.process.views import Layers, Window
from wormbin.records.entries import Squeeze
from wormbin.records.farms import Settings, Units

share = st.floats(0.0, 1.0)
kg = st.floats(0.0, 60.0)


@st.composite
def bands(draw: st.DrawFn, values: st.SearchStrategy[float]) -> Band:
    low, middle, high = sorted(draw(st.tuples(values, values, values)))
    return Band(low, middle, high)


raw = st.fixed_dictionaries({
    "squeeze": st.none() | st.sampled_from(Squeeze),
    "moisture": st.none() | share,
    "temp_c": st.none() | st.floats(-5.0, 45.0),
    "ph": st.none() | st.floats(3.0, 11.0),
    "contents_m": st.none() | st.floats(0.0, 0.4),
})  # fmt: skip
"""What is read as it is: believed before the days' figures."""


class Drawn:
    """A drawn case; its own repr is far too long for a report."""

    def __init__(self, case: Case) -> None:
        self.case = case

    def __repr__(self) -> str:
        return f"Drawn(today={self.case.today!r})"


@st.composite
def cases(draw: st.DrawFn) -> Drawn:
    rows: list[dict[str, Any]] = [
        {
            "moisture": draw(bands(share)),
            "feed_waiting_kg": draw(bands(kg)),
            "feed_waiting_days": draw(bands(st.floats(0, 1e6))),
            "worms_kg": draw(bands(kg)),
            "appetite_kg_day": draw(bands(kg)),
            "castings_share": draw(bands(share)),
            "castings_dry_kg": draw(bands(kg)),
            "dry_kg": draw(bands(kg)),
            "total_kg": draw(bands(kg)),
            "free_air_space": draw(bands(share)),
            "air_reach_m": draw(bands(st.floats(0, 2))),
            "contents_m": draw(bands(st.floats(0, 0.6))),
            "temp_c": draw(bands(st.floats(-10, 50))),
            "heat_rise_c": draw(bands(st.floats(0, 30))),
            "cn": draw(bands(st.floats(0, 500))),
            "standing_water_kg": draw(bands(st.floats(0, 20))),
            "fullness": draw(bands(st.floats(0, 1.2))),
            "layers": Layers(draw(st.floats(0, 0.2)), 0.1, 0.1, 0.0),
        }
        for _ in range(draw(st.integers(1, 4)))
    ]
    today = days(rows)[-1]
    seen = draw(st.sampled_from(["", "dead worms", "mites", "sour", "no mites"]))
    log = (
        *draw(st.sampled_from([(), CALM_LOG])),
        *([fed(draw(st.floats(0.01, 20)), TODAY, draw(st.sampled_from(["citrus-peel", "grass-clippings"])))]),
        looked(TODAY - timedelta(days=draw(st.integers(0, 4))), hour=7, note="", **draw(raw)),
        looked(TODAY, hour=20, smell=seen, note="", left=draw(st.none() | share), **draw(raw)),
    )
    on = TODAY + timedelta(days=draw(st.integers(-40, 200)))
    window = draw(
        st.sampled_from(
            [Window(None, None, None), Window(on, on, on), Window(None, on, None, due_since=min(on, TODAY))]
        )
    )
    odd = read("moisture", draw(share), TODAY, "meter", questioned=draw(st.booleans()), weight=draw(share))
    case = a_case(
        days(rows),
        entries=tuple(sorted(log, key=lambda each: each.when)),
        judged=draw(st.sampled_from([(), (odd,), (odd, read("ph", draw(st.floats(3, 10)), TODAY))])),
        settings=draw(
            st.sampled_from([SETTINGS, Settings(), replace(SETTINGS, units=Units.US), Settings(feed_days=())])
        ),
        bin=draw(st.sampled_from([BIN, replace(BIN, drainage=False, tare_kg=4.0), replace(BIN, length_m=None)])),
    )
    return Drawn(replace(case, ahead=ahead_of(today, draw(st.sampled_from([0, 30])), harvest=window)))


@given(cases())
@settings(max_examples=3 * settings().max_examples, deadline=None)
def test_whatever_the_days_say_every_finding_can_be_shown_and_stands_on_something(drawn: Drawn) -> None:
    case = drawn.case
    found = findings(case)
    for finding in found:
        assert finding.code
        assert cell_len(finding.what) <= 76, finding.what
        assert "\n" not in finding.what
        assert finding.why
        assert finding.source
        assert finding.sure
        assert finding.do
        assert "nan" not in " ".join((finding.what, finding.why, *finding.do, finding.sure)).split()
        assert "inf" not in " ".join((finding.what, finding.why, *finding.do, finding.sure)).split()
    ranks = [(not f.emergency, -f.level.rank, -f.urgency) for f in found]
    assert ranks == sorted(ranks)
    assert len({finding.code for finding in found}) == len(found)


def test_a_calm_household_bin_has_no_findings_at_all() -> None:
    assert findings(a_case()) == ()
    assert level(()) is Level.STEADY


FELT = (*CALM_LOG, looked(TODAY - timedelta(days=5), squeeze=Squeeze.SPONGE))
"""Felt so long ago that it speaks against nothing, and lately enough for amounts."""


def test_findings_are_told_the_same_twice() -> None:
    case = a_case(moisture=Band.exactly(0.9), entries=FELT)
    assert findings(case) == findings(case)


def test_a_step_that_two_findings_need_is_marked_the_second_time() -> None:
    wet: dict[str, Any] = {"moisture": band(0.91, 0.005), "dry_kg": band(8.0 * 0.09)}
    found = findings(a_case(entries=FELT, feed_waiting_days=band(9.0), feed_waiting_kg=band(2.3), **wet))
    assert {"overfed", "too-wet"} <= {finding.code for finding in found}
    steps = [step for finding in found for step in finding.do if "dry shredded cardboard" in step]
    assert len(steps) == 2
    assert steps[1] == f"as above: {steps[0]}"


def test_every_rule_is_listed_once() -> None:
    names = [rule.__name__ for rule in RULES]
    assert len(set(names)) == len(names)
    assert level(findings(a_case(entries=FELT, moisture=Band.exactly(0.93)))) is Level.ACT


def test_levels_never_fall_as_their_driver_grows() -> None:
    drivers: dict[str, list[dict[str, Any]]] = {
        "too-wet": [{"moisture": Band.exactly(v / 100)} for v in range(78, 97)],
        "too-dry": [{"moisture": Band.exactly(v / 100)} for v in range(80, 50, -1)],
        "overfed": [{"feed_waiting_days": band(v), "feed_waiting_kg": band(1 + v / 4)} for v in range(1, 30)],
        "air-short": [{"air_reach_m": band(0.3 - v / 100)} for v in range(29)],
        "too-hot": [{"temp_c": Band.exactly(20.0 + v)} for v in range(20)],
        "too-cold": [{"temp_c": Band.exactly(20.0 - v)} for v in range(25)],
        "crowded": [{"worms_kg": band(0.5 + v / 10)} for v in range(20)],
        "few-worms": [{"worms_kg": band(0.5 - v / 50)} for v in range(25)],
        "nitrogen-rich": [{"cn": band(30.0 - v, 0.01)} for v in range(25)],
        "thick-layer": [{"layers": Layers(v / 200, 0.1, 0.1, 0.0)} for v in range(30)],
        "standing-water": [{"standing_water_kg": band(v / 2, 0.01)} for v in range(30)],
    }
    for code, steps in drivers.items():
        ranks = []
        for changes in steps:
            found = {f.code: f.level for f in findings(a_case([a_day(**changes)], entries=FELT))}
            ranks.append(found.get(code, Level.STEADY).rank)
        assert ranks == sorted(ranks), code
        assert ranks[0] == 0, code
        # Water that nobody saw is never urgent.
        assert ranks[-1] == (1 if code == "standing-water" else 2), code
