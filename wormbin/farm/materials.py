"""The materials of a farm: the table, own values, what is on hand, a portion half typed, values laid over for one
question (``grass-clippings.moisture_pct=77``)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from wormbin.farm.settings import change_setting
from wormbin.farm.views.bin import MaterialRow, Recorded
from wormbin.materials.material import Material, Role
from wormbin.materials.table import MaterialTable
from wormbin.measures import mass, parse_amount_of, parse_number, shown, tidy
from wormbin.measures.amounts import LARGE
from wormbin.problems import Problem, RefusedError, UnclearError
from wormbin.records.door import admit_material
from wormbin.records.entries import Bedding, Entry, standing
from wormbin.records.farms import Farm, OnHand, OwnMaterial
from wormbin.records.ids import key_from

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.problems import MissingError


def material_rows(session: Session, word: str = "") -> tuple[MaterialRow, ...]:
    """The material table, or what ``word`` finds in it."""
    return tuple(material_row(each) for each in session.table.search(word))


def complete_portion(session: Session, words: str, role: str = "") -> str | None:
    """ "300 g mel" completed to "300 g melon-rind"; None when there is nothing to complete.

    ``role`` is what is wanted most here: "feed" or "bedding".
    """
    from wormbin.materials.material import Role

    return completed(words, session.table, Role(role) if role else None)


def set_material(session: Session, key: str, sets: Sequence[str], name: str = "", by: str = "") -> Recorded:
    """Own values for a material ("moisture_pct=77"), or a new material of the keeper's own."""
    own = own_material(key, sets, name, by, session.table, session.farm().materials)

    def laid(farm: Farm) -> Farm:
        others: list[OwnMaterial] = [each for each in farm.materials if each.key != own.key]
        return replace(farm, materials=(*others, own))

    session.store.change_farm(laid)
    return Recorded((), f"{own.key}: " + ", ".join(f"{field} {value}" for field, value in own.values.items()))


def set_like(session: Session, name: str, like: str, by: str = "") -> Recorded:
    """A new material of the keeper's own with the values of another until somebody measures it."""
    other = session.table.find(like, "like", kept_out=True)
    if (known := session.table.named(name)) and not session.table.get(known).own:
        allowed = f"a name that is not known yet; it means {known}"
        raise RefusedError(Problem("material", shown(name), allowed, "rhubarb leaves"))
    made = set_material(session, name, [f"like={other.key}"], tidy(name), by)
    return replace(made, sentence=f"{tidy(name)}: taken to be like {other.key} until you measure it")


def material_row(each: Material) -> MaterialRow:
    """The row of one material."""
    return MaterialRow(
        key=each.key,
        name=each.name,
        role=each.role.value,
        pace=each.pace.value,
        cn=each.cn,
        nitrogen=each.nitrogen,
        carbon=each.carbon,
        ash=each.ash,
        moisture=each.moisture,
        bulk_density_kg_m3=each.bulk_density_kg_m3,
        water_holding=each.water_holding,
        cautions=each.cautions,
        aliases=each.aliases,
        kept_out_because=each.kept_out_because,
        own=each.own,
        sources=tuple(sorted(each.sources.items())),
    )


def completed(words: str, table: MaterialTable, first: Role | None = None) -> str | None:
    """The words with the name of the material finished; None when there is nothing to finish or nothing fits.

    What is typed stays as it is: the answer begins with it, letter by letter. Names of things in the role ``first`` go
    before all others.
    """
    typed = words.rstrip()
    try:
        _amount, name = parse_amount_of(typed)
    except RefusedError:
        return None
    if not typed.endswith(name):
        return None
    name = table.finish(name, first)
    return typed + name if name else None


def own_material(
    key: str, sets: Sequence[str], name: str, by: str, table: MaterialTable, own: Sequence[OwnMaterial]
) -> OwnMaterial:
    """The own material with ``sets`` laid over what was given before. Raises RefusedError for what cannot be."""
    try:
        known = table.find(key, kept_out=True).key
    except UnclearError:
        if not name:
            raise
        known = key_from(key)
    except RefusedError:
        known = key_from(key)
    held = next((each for each in own if each.key == known), OwnMaterial(known))
    values = dict(held.values) | dict(read_value(text) for text in sets)
    made = admit_material(OwnMaterial(known, tidy(name) or held.name, values, tidy(by) or held.by, held.extra))
    table.with_own([made])
    return made


FIELDS = ("nitrogen_pct", "carbon_pct", "ash_pct", "moisture_pct", "bulk_density_kg_m3", "water_holding")
WORDS = ("pace", "role")
ENOUGH = frozenset({"nitrogen_pct", "moisture_pct"})
"""With these two a name that nobody knows is meant as a new material; what else it needs is asked for."""


def read_value(text: str) -> tuple[str, float | str]:
    """ "moisture_pct=77" as a field and its value. Raises RefusedError."""
    name, equals, value = text.partition("=")
    name = tidy(name).casefold().replace("-", "_")
    if equals and name == "like":
        return name, tidy(value).casefold()
    if not equals or name not in FIELDS + WORDS:
        allowed = "FIELD=VALUE with one of the fields " + ", ".join(FIELDS + WORDS)
        raise RefusedError(Problem("set", shown(text), allowed, "moisture_pct=77"))
    if name in WORDS:
        return name, tidy(value).casefold()
    return name, parse_number(value.removesuffix("%"), name, low=0.0, high=10_000.0, example="77")


def laid_over(table: MaterialTable, own: Iterable[OwnMaterial], sets: Sequence[str]) -> MaterialTable:
    """The table with ``MATERIAL.FIELD=VALUE`` laid over it (over the keeper's ``own`` values). Raises RefusedError.

    A material that the table has not is made of its values alone, once those say enough (``ENOUGH``); with fewer its
    name is taken for a slip of the pen.
    """
    held = {each.key: each for each in own}
    values: dict[str, dict[str, float | str]] = {}
    unknown: dict[str, RefusedError] = {}
    for text in sets:
        words, dot, _field = text.partition("=")[0].rpartition(".")
        if not dot:
            raise RefusedError(Problem("set", shown(text), "MATERIAL.FIELD=VALUE", "grass-clippings.moisture_pct=77"))
        try:
            key = table.find(words, "set", kept_out=True).key
        except RefusedError as refusal:
            key = "-".join(tidy(words).casefold().split())
            unknown[key] = refusal
        name, value = read_value(text[len(words) + 1 :])
        values.setdefault(key, dict(held[key].values) if key in held else {})[name] = value
    for key, not_known in unknown.items():
        if not values[key].keys() >= ENOUGH:
            raise not_known
    return table.with_own([admit_material(OwnMaterial(key, values=each)) for key, each in values.items()])


def left(on_hand: tuple[OnHand, ...], logs: Iterable[tuple[Entry, ...]]) -> tuple[OnHand, ...]:
    """Each bedding with what is left of it; one that nobody dated is taken as it was noted.

    The shredded part goes first. ``used_kg`` says how much of it was used up.
    """
    if all(each.noted is None for each in on_hand):
        return on_hand
    used = dict.fromkeys((each.material for each in on_hand), 0.0)
    since = {each.material: each.noted.replace(tzinfo=None) for each in on_hand if each.noted is not None}
    for log in logs:
        for entry in standing(log):
            if isinstance(entry.what, Bedding):
                for portion in entry.what.portions:
                    noted = since.get(portion.material)
                    if noted is not None and entry.when.replace(tzinfo=None) >= noted:
                        used[portion.material] += portion.kg
    return tuple(
        replace(
            each,
            kg=max(0.0, each.kg - used[each.material]),
            shredded_kg=max(0.0, each.shredded_kg - used[each.material]),
            used_kg=min(each.kg, used[each.material]),
        )
        for each in on_hand
    )


def left_words(on_hand: tuple[OnHand, ...], units: str) -> tuple[str, ...]:
    """ "shredded-cardboard: about 300 g left of 1 kg, as worked out"; nothing of what was not used since."""
    return tuple(
        f"{each.material}: about {mass(each.kg, units)} left of {mass(each.kg + each.used_kg, units)}, as worked out"
        for each in on_hand
        if each.used_kg > 0
    )


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with the label of its answer, an example, and what becomes of it."""

    question: str
    label: str
    example: str
    after: str


KEPT = "You say it once. The settings keep it and change it."


def asked(missing: MissingError) -> Asked:
    """How to ask for what was missing."""
    name = shown(missing.name)
    if missing.what == "bucket":
        return Asked("What is in your usual bucket?", "usual bucket", "300 g vegetable scraps, 2 tea bags", KEPT)
    if missing.what == "material":
        near = ", ".join(f"{number} {each}" for number, each in enumerate(missing.choices, 1))
        like = f"Near it: {near}. Pick one by its number, or type another. " if near else ""
        after = f"{like}It gets those values until you measure your own. Esc if you mistyped it."
        return Asked(f"{name} is new here. What is it most like?", "most like", "spinach", after)
    measure, _, of = name.partition(" ")
    question = f"How much is one {measure} of {of.replace('-', ' ')}?" if of else f"How much is your {measure}?"
    return Asked(question, f"one {measure}", "3 kg" if measure in LARGE else "40 g", KEPT)


def answered(session: Session, missing: MissingError, words: str, by: str = "") -> Recorded:
    """Keep the answer. Raises RefusedError when it is not one."""
    if missing.what == "material":
        if words.strip().isdigit() and 0 < int(words) <= len(missing.choices):
            words = missing.choices[int(words) - 1]
        return set_like(session, missing.name, words, by)
    name = missing.name + (":" if missing.what == "bucket" or " " in missing.name else "")
    return change_setting(session, missing.what, f"{name} {words}")


def stock_words(session: Session) -> tuple[str, ...]:
    """What is left of the beddings on hand, where some of it went into the bins since it was noted."""
    return left_words(session.cache.settings().on_hand, session.units)
