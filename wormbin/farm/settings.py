"""How a farm is run, and by whom: its settings in words, and the keepers who write."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from wormbin.farm.views.bin import Recorded
from wormbin.measures import tidy
from wormbin.problems import Problem, RefusedError

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.records.farms import Farm


def setting_words(session: Session) -> dict[str, str]:
    """Every setting by its name, in words."""
    from wormbin.farm.words.settings import SettingWords

    return SettingWords(session.table, session.clock().date()).all(session.farm().settings, session.asked_units)


def setting_word(session: Session, name: str) -> str:
    """One setting in words."""
    words = setting_words(session)
    if name not in words:
        raise RefusedError(Problem("setting", name, "a setting that wormbin settings lists", "units"))
    return words[name]


def change_setting(session: Session, name: str, words: str) -> Recorded:
    """Change one setting, said in words; empty words clear a list."""
    from wormbin.farm.words.settings import SettingWords

    reader = SettingWords(session.table, session.clock().date(), session.clock())
    after = reader.changed(session.farm().settings, name, words)
    said = reader.all(after).get(tidy(name).casefold().replace("_", "-"), "")
    session.store.change_farm(lambda farm: replace(farm, settings=reader.changed(farm.settings, name, words)))
    return Recorded((), f"{name}: {said or 'none'}")


def keepers(session: Session) -> tuple[str, ...]:
    """Who writes."""
    return session.farm().keepers


def wrote_too(session: Session) -> tuple[str, ...]:
    """Who signed lines of the log and is not on the list, by name."""
    return tuple(sorted(session.cache.counted.signed() - set(keepers(session)), key=str.casefold))


def add_keeper(session: Session, words: str, *, ask: bool = False) -> Recorded:
    """One or more who write, parted by commas: first names or initials, nothing more.

    With ``ask`` a name that says more than that is asked about first (``DoubtedError``).
    """
    from wormbin.farm.errors import DoubtedError, Question
    from wormbin.farm.words.names import name_doubt, several

    listed, today = keepers(session), session.clock().date()
    names = several(words)
    if known := [name for name in names if name in listed]:
        raise RefusedError(Problem("keeper", known[0], "a name that is not on the list yet", f"{known[0]} B."))
    doubts = tuple(Question("keeper", name, said) for name in names if (said := name_doubt(name)))
    if ask and doubts:
        raise DoubtedError(doubts)

    def add(farm: Farm) -> Farm:
        turns = farm.settings.turns
        if turns.days and turns.first is not None and turns.first < today:
            turns = replace(turns, joined={**turns.joined, **dict.fromkeys(names, today)})
        return replace(farm, keepers=(*farm.keepers, *names), settings=replace(farm.settings, turns=turns))

    session.store.change_farm(add)
    return Recorded((), f"{', '.join(names)} may write")


def remove_keeper(session: Session, name: str) -> Recorded:
    """Take a name off the list; what they wrote stays."""
    said, listed = tidy(name), keepers(session)
    if said not in listed:
        raise RefusedError(Problem("keeper", name, "one of " + ", ".join(listed or ("nobody yet",))))
    session.store.change_farm(lambda farm: replace(farm, keepers=tuple(each for each in farm.keepers if each != said)))
    return Recorded((), f"{said} is off the list; what they wrote stays")
