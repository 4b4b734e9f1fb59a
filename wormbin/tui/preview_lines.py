"""What a feeding would do, in lines: the verdict first, then the amounts, then the figures after it."""

from __future__ import annotations

from wormbin.drawing.marks import level_mark
from wormbin.farm.proposals import FeedingPreview, MixView
from wormbin.tui.showing import Piece, said


def preview_lines(preview: FeedingPreview, *, ascii: bool) -> list[list[Piece]]:
    """The panel beside the feeding form."""
    lines: list[list[Piece]] = [
        [(level_mark(preview.level, ascii=ascii), preview.level.value), ("  ", ""), said(preview.verdict, "strong")]
    ]
    if preview.add_words:
        lines.append([("add: ", "key"), said(preview.add_words)])
    if preview.gives_way:
        lines.append([("gives way: ", "watch"), said(preview.gives_way)])
    lines.append([])
    lines.extend([said(line)] for line in preview.lines)
    for finding in preview.findings:
        lines.append(
            [(level_mark(finding.level, ascii=ascii, word=False), finding.level.value), said(f" {finding.what}")]
        )
        lines.extend([said(f"    {step}", "dim")] for step in finding.do[:2])
    return lines


def bucket_lines(preview: FeedingPreview | None, bucket: list[str]) -> list[list[Piece]]:
    """What is in the bucket so far: as understood, or as typed while it is not."""
    if not bucket:
        return [[("nothing in the bucket yet", "dim")]]
    if preview is None:
        return [[(f"{number} ", "dim"), said(words)] for number, words in enumerate(bucket, 1)]
    return [[(f"{number} ", "dim"), said(each.words)] for number, each in enumerate(preview.portions, 1)]


def mix_lines(view: MixView, *, ascii: bool) -> list[list[Piece]]:
    """A blend: what to add first, then its lines, then what is the matter with it."""
    lines: list[list[Piece]] = [[("add: ", "key"), said(each.words, "strong")] for each in view.added]
    lines += [[said(line)] for line in view.lines]
    for finding in view.findings:
        mark = level_mark(finding.level, ascii=ascii, word=False)
        lines.append([(mark, finding.level.value), said(f" {finding.what}", "strong")])
        lines.extend([said(f"    {step}")] for step in finding.do)
        if finding.why:
            lines.append([said(f"    why: {finding.why}", "dim")])
    return lines
