"""What a feeding would do, in lines: the verdict first, then the amounts, then the figures after it."""

from __future__ import annotations

from wormbin.advice.action import Doing
from wormbin.drawing.marks import level_mark
from wormbin.farm.proposals import FeedingPreview, MixView
from wormbin.farm.views import BinView
from wormbin.tui.showing import Piece, said

UNGIVEN = (Doing.STOP, Doing.TAKE_OUT, Doing.CAUTION)


def preview_lines(preview: FeedingPreview, *, ascii: bool) -> list[list[Piece]]:
    """The panel beside the feeding form."""
    lines: list[list[Piece]] = [
        [(level_mark(preview.level, ascii=ascii), preview.level.value), ("  ", ""), said(preview.verdict, "strong")]
    ]
    if preview.add_words and (preview.done or preview.up_to_kg > 0):
        lines.append([said(preview.add_words, "key")])
    if preview.gives_way:
        lines.append([("gives way: ", "watch"), said(preview.gives_way)])
    lines.append([])
    told = (preview.verdict, preview.add_words, preview.gives_way)
    lines.extend([("· ", "dim"), said(line)] for line in preview.lines if not any(line in each for each in told))
    for finding in preview.findings:
        lines.append(
            [(level_mark(finding.level, ascii=ascii, word=False), finding.level.value), said(f" {finding.what}")]
        )
        # What is not given yet is not taken out again: the verdict says how much to give.
        steps = [each.text for each in finding.actions if each.kind not in UNGIVEN and not each.again]
        lines.extend([said(f"    {step}", "dim")] for step in steps[:2])
        if finding.caution:
            lines.append([("    mind: ", "watch"), said(finding.caution)])
    return lines


def allowance_lines(view: BinView, *, ascii: bool) -> list[list[Piece]]:
    """Before anything is in the bucket: how much may be fed today, and what stands against it."""
    if view.feed_up_to_kg > 0:
        lines: list[list[Piece]] = [[said(f"Up to {view.feed_up_to_words} today.", "strong")]]
    else:
        lines = [[("Nothing more today.", "strong")]]
        if view.next_feeding is not None:
            lines.append(
                [said(f"Next feeding: {view.next_feeding:%A} {view.next_feeding.day} {view.next_feeding:%B}.")]
            )
    lines.append([])
    for finding in view.findings[:3]:
        mark = level_mark(finding.level, ascii=ascii, word=False)
        lines.append([(mark, finding.level.value), said(f" {finding.what}")])
    return lines


def bucket_lines(preview: FeedingPreview | None) -> list[list[Piece]]:
    """What is in the bucket so far, as it was understood."""
    if preview is None:
        return [[("nothing in the bucket yet", "dim")]]
    return [[(f"{number})  ", "dim"), said(each.words)] for number, each in enumerate(preview.portions, 1)]


def mix_lines(view: MixView, *, ascii: bool) -> list[list[Piece]]:
    """A blend: what to add first, then its lines, then what is the matter with it."""
    lines: list[list[Piece]] = [[said(line, "strong" if line.startswith("add ") else "")] for line in view.lines]
    for finding in view.findings:
        mark = level_mark(finding.level, ascii=ascii, word=False)
        lines.append([(mark, finding.level.value), said(f" {finding.what}", "strong")])
        lines.extend([said(f"    {step}")] for step in finding.do)
        if finding.caution:
            lines.append([("    mind: ", "watch"), said(finding.caution)])
        if finding.why:
            lines.append([said(f"    why: {finding.why}", "dim")])
    return lines
