"""A bin's page in lines: its head, what stands on the calendar, every finding in full, what was learned."""

from __future__ import annotations

from datetime import date

from wormbin.advice.finding import Finding
from wormbin.drawing.marks import level_mark
from wormbin.farm.views import BinView, HarvestView
from wormbin.tui.round_lines import short_date
from wormbin.tui.showing import Piece, said


def head_pieces(view: BinView, demo: str, *, ascii: bool) -> list[Piece]:
    """One line: name, day, date, level."""
    pieces: list[Piece] = [
        (" ", ""),
        (level_mark(view.level, ascii=ascii), view.level.value),
        ("  ", ""),
        said(view.bin.name, "title"),
        (f"  day {view.day}  {view.on:%a} {view.on.day} {view.on:%b %Y}", "dim"),
    ]
    if demo:
        pieces.append((f"  demo: {demo}", "watch"))
    return pieces


def tab_pieces(tabs: tuple[tuple[str, str, str], ...], on: str) -> list[Piece]:
    """The places within a bin, the one shown marked by brackets as well as weight."""
    pieces: list[Piece] = [(" ", "")]
    for code, key, words in tabs:
        here = code == on
        pieces.append((f"[{key}] {words}" if here else f" {key}  {words}", "strong" if here else "dim"))
        pieces.append(("   ", ""))
    return pieces


def dates_line(view: BinView) -> list[list[Piece]]:
    """What may be fed today, the next feeding and check, and the harvest window."""
    fed = "fed today; " if view.fed_today else ""
    check = "checked today" if view.checked_today else f"check {day_word(view.next_check, view.on)}"
    return [
        [("feed up to ", "dim"), said(view.feed_up_to_words, "strong"), (" today", "dim")],
        [("next: ", "dim"), said(f"{fed}feed {day_word(view.next_feeding, view.on)}, {check}")],
        [("castings: ", "dim"), said(view.harvest.words, "good" if view.harvest.due_since else "")],
    ]


def day_word(on: date | None, today: date) -> str:
    """``today``, ``tomorrow``, ``Thu 2 Nov`` or ``not planned``."""
    if on is None:
        return "not planned"
    ahead = (on - today).days
    if ahead <= 0:
        return "today"
    return "tomorrow" if ahead == 1 else f"{on:%a} {short_date(on)}"


def finding_lines(findings: tuple[Finding, ...], *, ascii: bool) -> list[list[Piece]]:
    """Every finding in full: what, do, why, how sure, source."""
    arrow = "> " if ascii else "→ "
    lines: list[list[Piece]] = []
    for finding in findings:
        lines.append(
            [(level_mark(finding.level, ascii=ascii), finding.level.value), ("  ", ""), said(finding.what, "strong")]
        )
        lines.extend([("   " + arrow, finding.level.value), said(step)] for step in finding.do)
        lines.append([("   why: ", "dim"), said(finding.why)])
        lines.append([("   how sure: ", "dim"), said(finding.sure)])
        if finding.source:
            lines.append([("   source: ", "dim"), said(finding.source, "dim")])
        lines.append([])
    return lines


def harvest_lines(harvest: HarvestView) -> list[list[Piece]]:
    """The window and the steps of the method."""
    lines: list[list[Piece]] = [[("castings: ", "dim"), said(harvest.words, "strong")]]
    lines.extend([(f"   {step.on:%a} {short_date(step.on):>6}  ", "key"), said(step.what)] for step in harvest.steps)
    return lines
