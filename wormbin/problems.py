"""What is wrong with something that was read: the field, what was read, what is allowed, an example."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

MOST_READ = 200
"""So many letters of what was read stand in a sentence; the rest is cut."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that cannot be taken as it stands.

    ``where`` names the place for files ("log.csv line 14, column amount") and is empty for a form or a command.
    """

    field: str
    read: str
    allowed: str
    example: str = ""
    where: str = ""
    whole: str = ""
    """The sentence itself, where naming what was read and what is allowed would say nothing."""
    said: str = ""
    """What stands after the field's name, where a person would say it in other words: "30 what? Write 30 cm."."""

    def sentence(self) -> str:
        """Place, field, what was read, what is allowed, an example: as a person would say it."""
        place = f"{self.where}: " if self.where else ""
        if self.whole:
            return f"{place}{self.whole}"
        if self.said:
            return f"{place}{self.field}: {self.said}"
        read = self.read if len(self.read) <= MOST_READ else f"{self.read[: MOST_READ - 1]}…"
        seen = f"“{read}” does not fit." if read else "nothing yet."
        example = f" Example: {self.example}" if self.example and not _says(self.allowed, self.example) else ""
        return f"{place}{self.field}: {seen} Write {self.allowed}.{example}"


def either(words: Iterable[str]) -> str:
    """ "30 g", "30 g or 30 kg", "30 g, 30 kg or 30 oz"."""
    *others, last = words
    return f"{', '.join(others)} or {last}" if others else last


def did_you_mean(field: str, read: str, what: str, near: tuple[str, ...]) -> Problem:
    """The refusal of a name that is like others: "No bin “kitchn”. Did you mean kitchen?"."""
    whole = f"No {what} “{read}”. Did you mean {either(near)}?"
    return Problem(field, read, f"{what}: {either(near)}", near[0], whole=whole)


class RefusedError(Exception):
    """Raised at the door when input is not understood or not allowed; nothing has been saved."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))


class UnclearError(RefusedError):
    """Raised when input could mean more than one thing: the keeper is asked, never guessed for.

    ``choices`` are the ways of writing it that would be clear, most likely first; the sentence says each of them once.
    """

    def __init__(self, problem: Problem, choices: Iterable[str] = ()) -> None:
        self.choices: tuple[str, ...] = tuple(choices)
        unsaid = not all(_says(problem.allowed, choice) for choice in self.choices)
        super().__init__(replace(problem, allowed=f"{problem.allowed}: {either(self.choices)}") if unsaid else problem)


class MissingError(UnclearError):
    """Raised for want of something that the keeper can say once: it is then kept, and the same words are understood.

    ``what`` is ``measure`` (how much ``name`` holds), ``bucket`` (what is in it) or ``material`` (what it is like).
    """

    def __init__(self, what: str, name: str, problem: Problem, choices: Iterable[str] = ()) -> None:
        self.what = what
        self.name = name
        super().__init__(problem, choices)


def _says(allowed: str, words: str) -> bool:
    """Whether a sentence names these words already, as words of their own."""
    return re.search(rf"(?<!\w){re.escape(words)}(?!\w)", allowed) is not None
