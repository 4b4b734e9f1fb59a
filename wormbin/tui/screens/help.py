"""Help for the place one is in: what it is for, every key, and what the marks mean."""

from __future__ import annotations

from textual.screen import Screen
from textual.widgets import Input

from wormbin.drawing.marks import basis_mark, beside_mark, level_mark
from wormbin.figures import Basis, Level
from wormbin.tui.named_actions import named_actions, places_of
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.showing import Piece, said

CAUTION = (
    "Worm bins do not make waste safe: no pet or human waste, no meat. Wash hands after; mind dust and mould,",
    "above all with asthma; lift under 20 kg. Local rules decide; ask a licensed professional.",
)


class HelpScreen(ReadingScreen):
    """A page made from the screen that it was asked on."""

    @classmethod
    def for_screen(cls, screen: Screen[object], *, ascii: bool = False) -> HelpScreen:
        """The help for ``screen``: its purpose, its keys and those that work everywhere, and the marks."""
        lines: list[list[Piece]] = [[said(screen.HELP or "")], []]
        lines.append([("Keys here", "strong")])
        typed = bool(screen.query(Input))  # there a question mark is a letter
        for place in places_of(screen):
            lines.extend(key_lines(place, typed=typed))
        lines += [[], [("Keys everywhere", "strong")]]
        lines.extend(key_lines(screen.app, typed=typed))
        lines += [[], [("What the marks mean", "strong")]]
        for level, words in (
            (Level.ACT, "do something today"),
            (Level.WATCH, "keep an eye on it, a small step helps"),
            (Level.STEADY, "nothing to do about it"),
        ):
            lines.append([(f"  {level_mark(level, ascii=ascii):<10}", level.value), (words, "")])
        for way, words in (("below", "left of"), ("above", "right of")):
            mark = f"{beside_mark(way, ascii=ascii)} {way}"
            lines.append([(f"  {mark:<10}", Level.WATCH.value), (f"{words} the brackets, not far enough to act", "")])
        lines.append(
            [(f"  {basis_mark(Basis.READ, ascii=ascii):<10}", "reading"), ("read: somebody looked or measured", "")]
        )
        lines.append(
            [
                (f"  {basis_mark(Basis.WORKED_OUT, ascii=ascii):<10}", "basis"),
                ("worked out from the log; the true value lies in the shaded band eight times in ten", ""),
            ]
        )
        lines += [[], *([(words, "dim")] for words in CAUTION)]
        return cls("Help", lines)


def key_lines(place: object, *, typed: bool = False) -> list[list[Piece]]:
    """Everything that a screen or program can do, one a line; without the letters that are ``typed`` there."""
    return [
        [(f"  {each.keys:<10} ", "key"), (each.words, "")]
        for each in named_actions(place)
        if not (typed and each.keys == "?")
    ]
