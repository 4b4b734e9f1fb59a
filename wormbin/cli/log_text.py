"""The log as text, struck lines marked, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.cli.layout import wrapped
from wormbin.cli.paper import Paper
from wormbin.farm.views import LogLine


def document(line: LogLine) -> dict[str, object]:
    """One line as JSON."""
    return {
        "entry": line.entry,
        "bin": line.bin,
        "when": line.when.date() if line.day_only else line.when,
        "kind": line.kind,
        "words": line.words,
        "by": line.by,
        "note": line.note,
        "compartment": line.compartment or None,
        "struck": line.struck,
        "why": line.why,
        "struck_by": line.struck_by,
        "replaced": line.replaced or None,
        "replaces": line.replaces or None,
    }


def lines(line: LogLine, paper: Paper) -> Iterator[str]:
    """One line of the log: when, what, who, its id; a struck one between dashes, with the reason."""
    head = f"{line.moment}  "
    words = line.words + (f" ({line.note})" if line.note else "")
    if line.compartment:
        words = f"[{line.compartment}] {words}"
    if line.replaced:
        words = f"--{words}-- put right by {line.replaced}"
    elif line.struck:
        by = f" by {line.struck_by}" if line.struck_by else ""
        words = f"--{words}-- struck{by}: {line.why}"
    if line.replaces:
        words += f" (puts {line.replaces} right)"
    tail = f" · {line.by}" if line.by else ""
    yield from wrapped(f"{words}{tail} #{line.entry}", paper.width, head)
