"""What is said on standard error while many bins are worked out."""

from __future__ import annotations

import pytest

from wormbin.cli import output as waiting


def told(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], seconds_a_bin: float) -> list[str]:
    """What forty bins that take so long each say, where standard error is no terminal."""
    now = [0.0]
    monkeypatch.setattr(waiting, "monotonic", lambda: now[0])
    told = waiting.Waiting()
    for done in range(1, 41):
        now[0] += seconds_a_bin
        told(done, 40)
    return capsys.readouterr().err.splitlines()


def test_a_cold_start_says_what_it_does_and_how_long(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert told(monkeypatch, capsys, 0.5) == [
        "working out 40 bins: 1 done, about 20 s left",
        "40 bins worked out in 20 s; the next time it is quick.",
    ]


def test_a_short_wait_is_worth_no_word(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert told(monkeypatch, capsys, 0.02) == []
