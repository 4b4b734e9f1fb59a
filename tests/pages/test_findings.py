"""Findings as pages tell them."""

from __future__ import annotations

from wormbin.advice.finding import Finding
from wormbin.figures import Level
from wormbin.pages.findings import every_finding
from wormbin.pages.page import lines, text_of


def a_finding(why: str) -> Finding:
    return Finding("mould", Level.WATCH, "mould", why, (), "by one look", "Euless", 1.0)


def test_a_source_that_stands_in_why_is_not_said_again() -> None:
    for why in ("seen today (Euless)", "seen today"):
        text = "\n".join(map(text_of, lines(every_finding((a_finding(why),)))))
        assert text.count("Euless") == 1
