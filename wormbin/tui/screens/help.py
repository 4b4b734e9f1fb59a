"""Help for the place one is in: what it is for, every key, and what the marks mean."""

from __future__ import annotations

from textual.binding import Binding
from textual.screen import Screen

from wormbin.drawing.marks import basis_mark, level_mark
from wormbin.figures import Basis, Level
from wormbin.tui.screens.reading import ReadingScreen
from wormbin.tui.showing import Piece, said

KEY_WORDS = {
    "question_mark": "?", "exclamation_mark": "!", "slash": "/", "plus": "+", "equals_sign": "=", "minus": "-",
    "escape": "Esc", "enter": "Enter", "left": "left", "right": "right", "up": "up", "down": "down",
    "pageup": "PgUp", "pagedown": "PgDn", "ctrl": "^",
}  # fmt: skip


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
        lines.extend(key_lines(screen))
        lines += [[], [("Keys everywhere", "strong")]]
        lines.extend(key_lines(screen.app))
        lines.append([("  ^P       ", "key"), ("everything by name", "")])
        lines += [[], [("What the marks mean", "strong")]]
        for level, words in (
            (Level.ACT, "do something today"),
            (Level.WATCH, "keep an eye on it, a small step helps"),
            (Level.STEADY, "all is well"),
        ):
            lines.append([(f"  {level_mark(level, ascii=ascii):<10}", level.value), (words, "")])
        lines.append(
            [(f"  {basis_mark(Basis.READ, ascii=ascii):<10}", "reading"), ("read: somebody looked or measured", "")]
        )
        lines.append(
            [
                (f"  {basis_mark(Basis.WORKED_OUT, ascii=ascii):<10}", "basis"),
                ("worked out from the log; the true value lies in the shaded band eight times in ten", ""),
            ]
        )
        lines += [
            [],
            [("Worm bins do not make waste safe: no pet or human waste, no meat. Wash hands after, mind dust", "dim")],
        ]
        lines.append(
            [("and mould with asthma, lift under 20 kg. Local rules decide; ask a licensed professional.", "dim")]
        )
        return cls("Help", lines)


def key_lines(place: object) -> list[list[Piece]]:
    """Every binding of a screen or program, shown or not, one a line."""
    lines: list[list[Piece]] = []
    seen: set[str] = set()
    every = [binding for kind in type(place).__mro__ for binding in vars(kind).get("BINDINGS", ())]
    for binding in every if type(place).__module__.startswith("wormbin") else ():
        if not isinstance(binding, Binding) or binding.description in seen:
            continue
        seen.add(binding.description)
        keys = " or ".join(_key_word(key) for key in binding.key.split(","))
        lines.append([(f"  {keys:<10} ", "key"), (binding.description, "")])
    return lines


def _key_word(key: str) -> str:
    for name, word in KEY_WORDS.items():
        key = word if key == name else key.replace(f"{name}+", word)
    return key.upper() if key.startswith("^") else key
