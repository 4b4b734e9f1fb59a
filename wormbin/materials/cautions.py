"""The cautions that materials carry, in full sentences, and what goes in only a little at a time or never.

Rows of the table name a caution by a short word. All are common practice, no source, unless one is named in it.
"""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.materials.material import Material

CAUTIONS: dict[str, str] = {
    "acid": "Sour: keep it a small share of a feeding, or it sours the bed.",
    "coffee": "A small share of a feeding: much of it cakes, and sours or heats the bed.",
    "dust": "Dusty: damp it down before handling, and wear a mask.",
    "fatty": "Fatty: a little at a time, it turns rancid.",
    "flat": "Packs flat and shuts out air and water: tear or shred it and mix it with something coarse.",
    "flies": "Draws fruit flies: bury it under 3 to 5 cm of bedding, or freeze it first.",
    "gypsum": "Does not sweeten a sour bed, and can feed a sulphur smell in an airless one.",
    "heats": "Heats in bulk: thin layers only, at one side, with room for the worms to leave.",
    "herbicide": "Ask what the field and the feed were sprayed with: some weedkillers pass through the bin. Try a lot "
    "on cress or beans before use or sale.",
    "leaf_kinds": "Leave out leaves of black walnut, eucalyptus, oleander and yew.",
    "lime_kind": "Ground limestone only, never slaked, hydrated or quick lime.",
    "manure": "Raw manure: wear gloves, wash hands, keep it off food. Ask what wormers and fly treatments the animals "
    "had, for these kill the herd. Let it age, and try a handful first.",
    "mould": "May be mouldy: damp it down, wear a mask and gloves, wash hands. Extra care with asthma, over age 50 or "
    "with weak immunity (bagged and composted stuff can carry Legionella longbeachae).",
    "no_cleaners": "Only if no cleaning agent or grease is on it.",
    "no_cooked": "Pick out meat, fish, dairy, and what is oily or salted.",
    "onion": "Strong: a small share of a feeding, worms avoid it until it has rotted.",
    "peat_acid": "Sour: mix in ground limestone or crushed eggshell.",
    "plain_board": "Plain brown or newsprint only: take off tape, labels, staples and shiny or coated parts.",
    "salt": "May be salty: rinse it well, and keep salts of the bed under 0.5 % (Earthworm Ecology 2004, Table 18.3).",
    "smell": "Smells of cabbage when airless: a small share, well buried.",
    "soil": "A handful only, from a clean place: it is heavy, and may bring in flatworms and jumping worms.",
    "sprayed": "Leave out what was sprayed with insecticide or weedkiller; rinse bought fruit and flowers.",
    "starch": "Plain, without salt, oil or spread; a little at a time, buried: it sours and draws mites.",
    "tea_bags": "Empty the bags unless they are plain paper: many are plastic mesh.",
    "thin": "Rich and dry: sprinkle thinly, it heats and sours in heaps.",
    "treated_wood": "Untreated wood only: no paint, glue, preservative, or cedar.",
    "weed_seed": "Only without seeds and creeping roots: a worm bin does not kill them.",
}


NEVER = ("meat", "fish", "dairy", "oil", "salty food", "pet waste")
"""In the words of a page for somebody who does not know worms; the table's own rows say why, one by one."""


@dataclass(frozen=True, slots=True)
class OnlyLittle:
    """A sort of feed: what it is called, the caution of the table that its materials carry, how little and why."""

    name: str
    caution: str
    why: str


ONLY_LITTLE = (
    OnlyLittle("citrus", "acid", "it sours the bed, and worms keep away from it"),
    OnlyLittle("bread", "starch", "it sours and draws mites; plain only, without salt, oil or spread, and buried"),
    OnlyLittle(
        "cooked food", "starch", "it sours and draws mites; plain only, without salt, oil or spread, and buried"
    ),
)


def only_little(material: Material) -> OnlyLittle | None:
    """Why this goes in only a little at a time; None when it may be fed as any other feed."""
    return next((each for each in ONLY_LITTLE if CAUTIONS[each.caution] in material.cautions), None)


def left_out() -> tuple[str, str]:
    """What never goes in, and what else to leave out who does not know the bin: two lists in words."""
    return ", ".join(NEVER), ", ".join(each.name for each in ONLY_LITTLE)
