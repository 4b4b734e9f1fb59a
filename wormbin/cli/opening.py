"""Numbers explained by a command: in which voice, how far down, and as a work sheet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from wormbin.cli.call import Call
from wormbin.cli.exits import tell
from wormbin.cli.grammar import option
from wormbin.figures import VOICES, Working, to_depth

if TYPE_CHECKING:
    from wormbin.pages.page import Block

OPENING = (
    option(
        "--voice", choices=VOICES, default="plain", help="of what is explained: plain words, the sum, or the source"
    ),
    option(
        "--down", metavar="N", type=int, default=0, help="of what is explained: open what goes in N levels more (0)"
    ),
)
"""What every command takes that explains."""


def page_of(call: Call, workings: Sequence[Working]) -> list[Block]:
    """The numbers as they were asked for, an empty line between them."""
    from wormbin.pages.page import GAP
    from wormbin.pages.sums import sums

    args, ascii = call.args, call.output.ascii
    told = [[*sums(each, args.voice, down=args.down, ascii=ascii)] for each in workings]
    return [block for at, each in enumerate(told) for block in ([GAP] * bool(at) + each)]


def documents_of(call: Call, workings: Sequence[Working]) -> list[Any]:
    """The same for ``--json``."""
    return [to_depth(each, call.args.down) for each in workings]


def write_sheet(call: Call, working: Working, of: str) -> None:
    """A work sheet and its solution: printed, or written as text or as a page for a browser."""
    from wormbin.farm.reports import write_page
    from wormbin.pages.worksheet import printed

    name = call.args.work_sheet
    lines = printed(working, of, html=name.lower().endswith((".html", ".htm")))
    if name == "-":
        call.output.lines(lines)
    else:
        tell(f"Work sheet and solution written to {write_page(name, lines)}")
