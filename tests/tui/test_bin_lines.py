"""A bin's findings in lines."""

from __future__ import annotations

from wormbin.advice.finding import Finding
from wormbin.figures import Level
from wormbin.tui.bin_lines import finding_lines


def a_finding(why: str) -> Finding:
    return Finding("mould", Level.WATCH, "mould", why, (), "by one look", "Euless", 1.0)


def test_a_source_that_stands_in_why_is_not_said_again() -> None:
    for why in ("seen today (Euless)", "seen today"):
        text = "\n".join("".join(text for text, _ in line) for line in finding_lines((a_finding(why),), ascii=True))
        assert text.count("Euless") == 1
