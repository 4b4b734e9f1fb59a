"""Pictures that need no reading, seen from a metre off: what a handful does, a plate, smells, animals; large letters.

Each is a few shapes in a square of 1 by 1, painted one over the other at whatever size there is; two pixels a cell.
No meaning rests on a colour: each picture of a question differs from the others by its shapes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from math import atan2, hypot, pi
from types import MappingProxyType

from wormbin.drawing.picture import Canvas, Picture

Inside = Callable[[float, float], bool]
Shape = tuple[str, Inside]
"""A role ("" takes away what lies there) and whether a point (x to the right, y down) lies inside."""


def _oval(x: float, y: float, across: float, down: float) -> Inside:
    return lambda px, py: ((px - x) / across) ** 2 + ((py - y) / down) ** 2 <= 1.0


def _box(left: float, top: float, right: float, bottom: float) -> Inside:
    return lambda px, py: left <= px <= right and top <= py <= bottom


def _line(x: float, y: float, to_x: float, to_y: float, thick: float = 0.035) -> Inside:
    along_x, along_y = to_x - x, to_y - y
    long = along_x**2 + along_y**2

    def inside(px: float, py: float) -> bool:
        at = max(0.0, min(1.0, ((px - x) * along_x + (py - y) * along_y) / long))
        return hypot(px - x - at * along_x, py - y - at * along_y) <= thick

    return inside


def _drop(x: float, y: float, size: float) -> Inside:
    """A drop whose round part is centred on ``x``, ``y``, and its point above."""
    round_part = _oval(x, y, size, size)

    def inside(px: float, py: float) -> bool:
        down = py - y + 2.2 * size
        return round_part(px, py) or (0 <= down <= 2.2 * size and abs(px - x) <= down / 2.4)

    return inside


def _slice(x: float, y: float, size: float, share: float) -> Inside:
    """A share of a disc, from the top on with the clock."""
    disc = _oval(x, y, size, size)
    return lambda px, py: disc(px, py) and (atan2(px - x, y - py) % (2 * pi)) <= share * 2 * pi


def _worm(x: float, y: float, size: float) -> tuple[Shape, ...]:
    """A worm that lies in two bends."""
    bends = ((0.0, 0.1), (0.2, -0.1), (0.45, -0.08), (0.6, 0.1), (0.85, 0.1), (1.0, -0.1))
    points = [(x + size * dx, y + size * dy * 2) for dx, dy in bends]
    return tuple(("worm", _line(*one, *two, 0.05)) for one, two in pairwise(points))


_HANDFUL: tuple[Shape, ...] = (("bedding", _box(0.12, 0.1, 0.88, 0.42)), ("bedding", _oval(0.5, 0.26, 0.46, 0.2)))
_SUN: tuple[Shape, ...] = (
    ("feed", _oval(0.5, 0.28, 0.17, 0.17)),
    *(("feed", _line(0.5 + 0.24 * dx, 0.28 + 0.24 * dy, 0.5 + 0.3 * dx, 0.28 + 0.3 * dy, 0.03))
      for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1), (0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7))),
    *(("bedding", _box(x, y, x + 0.12, y + 0.08))
      for x, y in ((0.1, 0.9), (0.28, 0.8), (0.45, 0.9), (0.62, 0.78), (0.78, 0.9))),
)  # fmt: skip
_DRIPS: tuple[Shape, ...] = (
    *(("water", _drop(x, y, 0.085)) for x, y in ((0.18, 0.62), (0.5, 0.74), (0.82, 0.62))),
    ("water", _box(0.02, 0.93, 0.98, 1.0)),
)
_PLATE: tuple[Shape, ...] = (
    ("wall", _oval(0.5, 0.5, 0.48, 0.48)), ("", _oval(0.5, 0.5, 0.42, 0.42)), ("wall", _oval(0.5, 0.5, 0.36, 0.36)),
    ("", _oval(0.5, 0.5, 0.33, 0.33)),
)  # fmt: skip
_FLOWER: tuple[Shape, ...] = (
    ("good", _line(0.5, 0.4, 0.5, 0.98, 0.04)), ("good", _oval(0.68, 0.78, 0.16, 0.07)),
    *(("worm", _oval(0.5 + 0.2 * dx, 0.32 + 0.2 * dy, 0.13, 0.13))
      for dx, dy in ((0, -1), (0.95, -0.3), (0.6, 0.8), (-0.6, 0.8), (-0.95, -0.3))),
    ("feed", _oval(0.5, 0.32, 0.1, 0.1)),
)  # fmt: skip
_LEMON: tuple[Shape, ...] = (
    ("feed", _oval(0.5, 0.5, 0.46, 0.34)),
    ("feed", _oval(0.03, 0.5, 0.07, 0.07)), ("feed", _oval(0.97, 0.5, 0.07, 0.07)),
    ("", _oval(0.5, 0.5, 0.38, 0.26)), ("feed", _oval(0.5, 0.5, 0.34, 0.22)),
    *(("", _line(0.5 - dx, 0.5 - dy, 0.5 + dx, 0.5 + dy, 0.02)) for dx, dy in ((0.36, 0), (0.18, 0.22), (-0.18, 0.22))),
)  # fmt: skip
_BONES: tuple[Shape, ...] = (
    ("wall", _oval(0.16, 0.62, 0.16, 0.17)), ("", _oval(0.12, 0.57, 0.04, 0.04)),
    ("wall", _line(0.25, 0.62, 0.85, 0.62)),
    *(("wall", _line(x, 0.48, x, 0.76, 0.025)) for x in (0.42, 0.56, 0.7)),
    ("wall", _line(0.85, 0.62, 0.97, 0.48)), ("wall", _line(0.85, 0.62, 0.97, 0.76)),
    *(("castings", _line(x, y, x + aside, 0.2, 0.025))
      for x, aside in ((0.3, 0.08), (0.55, -0.08), (0.8, 0.08)) for y in (0.36, 0.04)),
)  # fmt: skip
_SHARP: tuple[Shape, ...] = (  # a nose, and a peg on it
    ("bedding", _line(0.62, 0.05, 0.3, 0.72, 0.05)), ("bedding", _oval(0.36, 0.72, 0.2, 0.13)),
    ("bedding", _line(0.3, 0.82, 0.62, 0.86, 0.05)),
    ("act", _line(0.2, 0.4, 0.85, 0.62, 0.05)), ("act", _line(0.2, 0.56, 0.85, 0.66, 0.05)),
    ("act", _oval(0.86, 0.64, 0.1, 0.1)), ("", _oval(0.86, 0.64, 0.04, 0.04)),
)  # fmt: skip
_FLY: tuple[Shape, ...] = (
    ("dim", _oval(0.26, 0.4, 0.22, 0.13)), ("dim", _oval(0.74, 0.4, 0.22, 0.13)),
    ("wall", _oval(0.5, 0.55, 0.13, 0.28)), ("wall", _oval(0.5, 0.22, 0.11, 0.11)),
    ("act", _oval(0.42, 0.2, 0.05, 0.05)), ("act", _oval(0.58, 0.2, 0.05, 0.05)),
    *(("wall", _line(0.5, 0.55, 0.5 + dx, 0.9, 0.02)) for dx in (-0.28, 0.28)),
)  # fmt: skip
_MITES: tuple[Shape, ...] = tuple(
    shape
    for x, y in ((0.2, 0.2), (0.62, 0.14), (0.85, 0.42), (0.42, 0.5), (0.14, 0.66), (0.66, 0.74), (0.36, 0.88))
    for shape in (
        ("read", _oval(x, y, 0.075, 0.075)),
        ("read", _line(x - 0.12, y - 0.06, x + 0.12, y + 0.06, 0.015)),
        ("read", _line(x - 0.12, y + 0.06, x + 0.12, y - 0.06, 0.015)),
    )
)
_LEAVING: tuple[Shape, ...] = (
    ("wall", _box(0.1, 0.5, 0.9, 0.98)), ("", _box(0.16, 0.5, 0.84, 0.92)), ("castings", _box(0.16, 0.66, 0.84, 0.92)),
    ("worm", _line(0.14, 0.7, 0.1, 0.36, 0.045)), ("worm", _line(0.1, 0.36, 0.0, 0.5, 0.045)),
    ("worm", _line(0.86, 0.7, 0.9, 0.36, 0.045)), ("worm", _line(0.9, 0.36, 1.0, 0.5, 0.045)),
    ("worm", _line(0.5, 0.7, 0.5, 0.3, 0.045)), ("worm", _line(0.5, 0.3, 0.62, 0.16, 0.045)),
)  # fmt: skip
_HANDS: tuple[Shape, ...] = (
    ("wall", _line(0.1, 0.08, 0.62, 0.08, 0.05)), ("wall", _line(0.62, 0.08, 0.62, 0.2, 0.05)),
    *(("water", _drop(x, y, 0.05)) for x, y in ((0.62, 0.38), (0.5, 0.52), (0.74, 0.52))),
    ("bedding", _line(0.05, 0.9, 0.55, 0.68, 0.07)), ("bedding", _line(0.95, 0.9, 0.68, 0.68, 0.07)),
    ("bedding", _oval(0.62, 0.7, 0.16, 0.09)),
)  # fmt: skip

TILES: Mapping[str, tuple[Shape, ...]] = MappingProxyType({
    "dry": _SUN,
    "damp": _HANDFUL,
    "sponge": (*_HANDFUL, ("water", _drop(0.5, 0.8, 0.13))),
    "dripping": (*_HANDFUL, *_DRIPS),
    **{f"plate {share}": (*_PLATE, ("feed", _slice(0.5, 0.5, 0.3, share / 100))) for share in (0, 20, 50, 100)},
    "earthy": _FLOWER,
    "sour": _LEMON,
    "rotten": _BONES,
    "ammonia": _SHARP,
    "": (*_worm(0.1, 0.36, 0.8), *_worm(0.1, 0.74, 0.8)),
    "fruit flies": _FLY,
    "mites": _MITES,
    "worms climbing": _LEAVING,
    "yes": (("good", _line(0.12, 0.55, 0.4, 0.85, 0.08)), ("good", _line(0.4, 0.85, 0.9, 0.15, 0.08))),
    "look again": (
        ("wall", _oval(0.5, 0.5, 0.48, 0.3)), ("", _oval(0.5, 0.5, 0.4, 0.22)), ("water", _oval(0.5, 0.5, 0.18, 0.18)),
        ("", _oval(0.5, 0.5, 0.08, 0.08)),
    ),
    "wash hands": _HANDS,
})  # fmt: skip
"""Every picture by what it stands for."""


def tile(name: str, width: int, height: int, *, ascii: bool = False) -> Picture:
    """A picture of ``TILES`` in the middle of ``width`` by ``height`` cells."""
    canvas = Canvas(width, height, ascii=ascii)
    side = min(width, 2 * height)
    if side < 1:
        return canvas.picture()
    left, top = (width - side) // 2, height - side // 2

    def role(column: int, half_row: int) -> str:
        x, y = (column + 0.5) / side, (half_row + 0.5) / side
        found = ""
        for each, inside in TILES[name]:
            if inside(x, y):
                found = each
        return found

    for row in range((side + 1) // 2):
        for column in range(side):
            upper, lower = role(column, 2 * row), role(column, 2 * row + 1)
            if upper or lower:
                full = "#" if ascii else "█" if upper and lower else "▀" if upper else "▄"
                canvas.set(left + column, top // 2 + row, full, upper or lower)
    return canvas.picture()


_LETTERS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "A": (".##.", "#..#", "####", "#..#", "#..#"), "C": (".###", "#...", "#...", "#...", ".###"),
    "D": ("###.", "#..#", "#..#", "#..#", "###."), "E": ("####", "#...", "###.", "#...", "####"),
    "H": ("#..#", "#..#", "####", "#..#", "#..#"), "S": (".###", "#...", ".##.", "...#", "###."),
    "T": ("#####", "..#..", "..#..", "..#..", "..#.."), "W": ("#...#", "#...#", "#.#.#", "##.##", "#...#"),
    "Y": ("#...#", ".#.#.", "..#..", "..#..", "..#.."), "1": (".#.", "##.", ".#.", ".#.", "###"),
    "2": ("###", "..#", "###", "#..", "###"), "3": ("###", "..#", ".##", "..#", "###"),
    "4": ("#.#", "#.#", "###", "..#", "..#"), "5": ("###", "#..", "###", "..#", "###"),
})  # fmt: skip
LETTER_ROWS = 5


def large(words: str, role: str, width: int, *, ascii: bool = False) -> Picture:
    """Words of the letters there are (those of the levels, and 1 to 5), five rows high, in the middle of ``width``.

    A pixel is two cells wide.
    """
    letters = [_LETTERS[letter] for letter in words.upper() if letter in _LETTERS]
    canvas = Canvas(width, LETTER_ROWS, ascii=ascii)
    left = max((width - sum(2 * len(letter[0]) + 2 for letter in letters) + 2) // 2, 0)
    for letter in letters:
        for row, line in enumerate(letter):
            for column, pixel in enumerate(line):
                if pixel == "#":
                    canvas.write(left + 2 * column, row, "##" if ascii else "██", role)
        left += 2 * len(letter[0]) + 2
    return canvas.picture()
