"""What a keeper may call a thing to do, beside the name that it has here; and what is done on the command line only."""

from __future__ import annotations

from dataclasses import dataclass

OTHER_WORDS: dict[str, tuple[str, ...]] = {
    "check": ("smell", "moisture", "squeeze", "temperature", "warmth", "ph", "reading", "measure", "look inside"),
    "feed": ("food", "scraps", "waste", "bucket", "give"),
    "write": ("log entry", "write down", "record"),
    "emergency": ("dying", "escaping", "leaving", "stink", "smell", "dead worms"),
    "what_if": ("forecast", "heat wave", "cold spell", "compare", "scenario", "plan"),
    "away": ("holiday", "vacation", "trip", "travel", "absence", "neighbour", "neighbor", "plan"),
    "troubles": ("smell", "flies", "mites", "ants", "mould", "mold", "pests", "problem", "signs", "diagnosis"),
    "catch_up": ("forgot", "missed days", "forgotten days"),
    "harvests": ("plan", "castings ready", "when to harvest", "ripe", "compost ready"),
    "castings": ("sell", "sale", "stock", "lots", "bags", "label", "buyer", "use", "tea", "extract", "price", "sieve"),
    "mix": ("blend", "ratio", "carbon and nitrogen", "c:n", "recipe"),
    "materials": ("what may be fed", "what never goes in", "foods", "citrus", "table", "own material"),
    "sheet": ("paper", "hang up", "print"),
    "settings": ("units", "options", "preferences", "days off", "holiday", "feeding days", "us measures", "scale"),
    "start": ("new bin", "add a bin", "set up", "begin"),
    "bring_in": ("import", "load", "read files", "csv", "spreadsheet"),
    "undo": ("take back", "mistake", "revert", "wrong"),
    "redo": ("again", "undo the undo"),
    "checklist": ("print", "paper", "walk"),
    "tab('ahead')": ("forecast", "chart", "graph", "curves", "future"),
    "tab('log')": ("history", "diary", "amend", "correct", "put right", "strike", "delete"),
    "tab('sums')": ("why", "formula", "source", "working"),
    "details": ("why", "advice", "warnings"),
    "next_theme": ("colours", "colors", "dark", "light", "contrast"),
    "next_keeper": ("sign", "initials", "who am i"),
    "quit": ("exit", "close", "leave"),
    "help": ("keys", "manual", "marks"),
}
"""By the action; each is found by its first letters, or those of a word in it."""

PAPER_WORDS: dict[str, tuple[str, ...]] = {
    "bedding": ("cardboard", "paper", "leaves", "carbon", "browns", "cover"),
    "water": ("dry", "spray", "sprinkle", "moisten"),
    "drain": ("tea", "leachate", "liquid", "tap", "too wet", "water out"),
    "weigh": ("scale", "weight"),
    "harvest": ("take castings off", "castings"),
    "survey": ("count worms", "how many worms", "samples"),
    "stock worms": ("add worms", "buy worms", "take worms out"),
    "move worms": ("split", "divide", "another bin"),
    "fluff": ("air", "loosen", "turn", "lift"),
    "note": ("remark", "comment", "write"),
}
"""By the paper's title."""

PLAN_WORDS = ("plan", "order", "how much by when", "delivery", "market")


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Something that is done on the command line: what, what else it is called, and the command."""

    words: str
    also: tuple[str, ...]
    command: str


ELSEWHERE: tuple[Elsewhere, ...] = (
    Elsewhere(
        "export the log as files", ("save", "spreadsheet", "csv", "copy out", "download"), "wormbin export ./my-log"
    ),
    Elsewhere("back up the store", ("backup", "copy", "save", "safe"), "wormbin store backup"),
    Elsewhere("bring a backup back", ("restore", "backup"), "wormbin store restore 2026-03-02 --try"),
    Elsewhere(
        "join two copies of the store", ("merge", "sync", "laptop", "phone"), "wormbin store merge ../laptop-copy --try"
    ),
    Elsewhere("look the store over", ("damaged", "repair", "check files"), "wormbin store check"),
    Elsewhere(
        "calendar of what is due", ("remind", "ical", "ics", "dates", "phone"), "wormbin calendar --out bins.ics"
    ),
    Elsewhere("try a bin that does not exist", ("trial", "simulate", "plan a bin"), "wormbin trial --help"),
    Elsewhere("look round a made-up farm", ("demo", "example", "sample"), "wormbin demo seller"),
)


def called(query: str, also: tuple[str, ...]) -> str:
    """The first of the other words that ``query`` begins, or a word in it; empty when none does."""
    begun = " ".join(query.casefold().split())
    if not begun:
        return ""
    return next((word for word in also if f" {word}".find(f" {begun}") >= 0), "")
