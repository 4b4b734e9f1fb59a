"""How a farm is run, and by whom: its settings in words, and the keepers who write."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from wormbin.farm.views.bin import Recorded
from wormbin.measures import tidy
from wormbin.problems import Problem, RefusedError

if TYPE_CHECKING:
    from wormbin.farm.session import Session


def setting_words(session: Session) -> dict[str, str]:
    """Every setting by its name, in words."""
    from wormbin.farm.words.settings import SettingWords

    return SettingWords(session.table, session.clock().date()).all(session.farm().settings, session.asked_units)


def setting_word(session: Session, name: str) -> str:
    """One setting in words."""
    words = setting_words(session)
    if name not in words:
        raise RefusedError(Problem("setting", name, "one of " + ", ".join(words), "units"))
    return words[name]


def stock_words(session: Session) -> tuple[str, ...]:
    """What is left of the beddings on hand, where some of it went into the bins since it was noted."""
    from wormbin.farm.materials import left_words

    return left_words(session.cache.settings().on_hand, session.units)


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
    names = {entry.by for _, log in session.logs for entry in log if entry.by}
    return tuple(sorted(names - set(keepers(session)), key=str.casefold))


def add_keeper(session: Session, name: str) -> Recorded:
    """One more who writes: a first name or initials, nothing more."""
    said = tidy(name)
    if not said or len(said) > 40 or said in keepers(session):
        raise RefusedError(Problem("keeper", name, "a first name or initials, up to 40 letters, once", "Ana"))
    session.store.change_farm(lambda farm: replace(farm, keepers=(*farm.keepers, said)))
    return Recorded((), f"{said} may write")


def remove_keeper(session: Session, name: str) -> Recorded:
    """Take a name off the list; what they wrote stays."""
    said, listed = tidy(name), keepers(session)
    if said not in listed:
        raise RefusedError(Problem("keeper", name, "one of " + ", ".join(listed or ("nobody yet",))))
    session.store.change_farm(lambda farm: replace(farm, keepers=tuple(each for each in farm.keepers if each != said)))
    return Recorded((), f"{said} is off the list; what they wrote stays")
