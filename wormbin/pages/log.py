"""The log: a line in short, struck ones marked, and a line in full."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from wormbin.farm.views.bin import LogLine
from wormbin.pages.page import GAP, Block, Heading, Sentence


def log(lines: Iterable[LogLine]) -> Iterator[Block]:
    """Each line: when, what, who, its id; a struck one between dashes, with the reason."""
    for line in lines:
        words = line.words + (f" ({line.note})" if line.note else "")
        if line.compartment:
            words = f"[{line.compartment}] {words}"
        if line.replaced:
            words = f"--{words}-- put right by {line.replaced}"
        elif line.struck:
            words = f"--{words}-- struck{f' by {line.struck_by}' if line.struck_by else ''}: {line.why}"
        if line.replaces:
            words += f" (puts {line.replaces} right)"
        by = f" · {line.by}" if line.by else ""
        yield Sentence(words, lead=f"{line.moment}  ", lead_role="when", aside=f"{by} #{line.entry}")


def log_line(line: LogLine, kin: Mapping[str, LogLine] | None = None) -> Iterator[Block]:
    """One line in full: what was written, by whom, and what became of it. ``kin`` are the lines that put it right or
    that it puts right, by their ids."""

    def told(entry: str) -> str:
        other = (kin or {}).get(entry)
        return f"{other.kind.value} of {other.moment}: {other.words}" if other is not None else entry

    moment = "" if line.day_only else f", {line.when:%H:%M}"
    yield Heading(f"{line.when:%A %d %B %Y}{moment}  {line.kind.value}")
    yield GAP
    yield Sentence(line.words, "strong")
    for name, words in (
        ("note", line.note), ("compartment", str(line.compartment) if line.compartment else ""), ("by", line.by),
        ("struck through because", line.why if line.struck else ""), ("struck by", line.struck_by),
        ("put right by", told(line.replaced)), ("puts right", told(line.replaces)), ("line", line.entry),
    ):  # fmt: skip
        if words:
            yield Sentence(words, lead=f"{name}: ")
