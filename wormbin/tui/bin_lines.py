"""A bin's page in lines: its head, what stands on the calendar, every finding in full, what was learned."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from wormbin.advice.finding import Finding
from wormbin.drawing.marks import level_mark
from wormbin.farm.views import BinView, HarvestView, LogLine
from wormbin.tui.round_lines import short_date
from wormbin.tui.showing import Piece, said


def head_pieces(view: BinView, demo: str, by: str, *, ascii: bool) -> list[Piece]:
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
    if by:
        pieces.append(said(f"  signed: {by}", "dim"))
    return pieces


def dates_line(view: BinView) -> list[list[Piece]]:
    """What may be fed today, the next feeding and check, and the harvest window."""
    fed = "fed today; " if view.fed_today else ""
    check = "checked today" if view.checked_today else f"check {day_word(view.next_check, view.on)}"
    into = next((f" in the {each.name}" for each in view.compartments if each.fed), "")
    return [
        [("feed up to ", "dim"), said(view.feed_up_to_words, "strong"), (f"{into} today", "dim")]
        if view.feed_up_to_kg > 0
        else [("feed: ", "dim"), ("nothing more today", "strong")],
        [("next: ", "dim"), said(f"{fed}feed {day_word(view.next_feeding, view.on)}, {check}")],
        [("castings: ", "dim"), said(view.harvest.words, "good" if view.harvest.due_since else "")],
        *(
            [(f"  {each.name}: ", "dim"), said(each.harvest_words, "good" if each.due_since else "")]
            for each in view.compartments
        ),
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
        if finding.caution:
            lines.append([("   mind: ", "watch"), said(finding.caution)])
        lines.append([("   why: ", "dim"), said(finding.why)])
        lines.append([("   how sure: ", "dim"), said(finding.sure)])
        if finding.source and finding.source not in finding.why:
            lines.append([("   source: ", "dim"), said(finding.source, "dim")])
        lines.append([])
    return lines


def harvest_lines(harvest: HarvestView) -> list[list[Piece]]:
    """The window and the steps of the method."""
    lines: list[list[Piece]] = [[("castings: ", "dim"), said(harvest.words, "strong")]]
    lines.extend([(f"   {step.on:%a} {short_date(step.on):>6}  ", "key"), said(step.what)] for step in harvest.steps)
    return lines


def log_line_lines(line: LogLine, kin: Mapping[str, LogLine] | None = None) -> list[list[Piece]]:
    """One line of the log in full: what was written, by whom, and what became of it. ``kin`` are the lines that put it
    right or that it puts right, by their ids."""

    def told(entry: str) -> str:
        other = (kin or {}).get(entry)
        return f"{other.kind.value} of {other.moment}: {other.words}" if other is not None else entry

    lines: list[list[Piece]] = [
        [said(f"{line.when:%A %d %B %Y}{'' if line.day_only else f', {line.when:%H:%M}'}  {line.kind.value}", "title")],
        [],
        [said(line.words, "strong")],
    ]
    facts = (
        ("note", line.note), ("compartment", str(line.compartment) if line.compartment else ""), ("by", line.by),
        ("struck through because", line.why if line.struck else ""), ("struck by", line.struck_by),
        ("put right by", told(line.replaced)), ("puts right", told(line.replaces)), ("line", line.entry),
    )  # fmt: skip
    lines += [[(f"{name}: ", "dim"), said(words)] for name, words in facts if words]
    return lines
