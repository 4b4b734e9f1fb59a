"""Readings taken out of lines, also of lines that an editor spoilt."""

from __future__ import annotations

from datetime import UTC, datetime

from wormbin.process.readings import readings_of
from wormbin.records.entries import Entry, Sample, Survey


def _read(*samples: Sample) -> list[object]:
    entry = Entry("s", "kitchen", datetime(2026, 3, 2, 18, 10, tzinfo=UTC), Survey(samples), "")
    return list(readings_of(entry, None, 0.24, 0.24))


def test_a_survey_tells_the_herd() -> None:
    assert len(_read(Sample(0.0225, 0.046), Sample(0.0225, 0.03))) == 1


def test_a_sample_of_no_size_to_speak_of_tells_nothing_and_stops_nothing() -> None:
    assert _read(Sample(1e-200, 0.046), Sample(1e-180, 0.03)) == []
    assert len(_read(Sample(1e-200, 0.046), Sample(0.0225, 0.03))) == 1
