"""The mix bench: what a blend comes to, and the least addition that brings it into its bands."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from math import inf, isclose, isinf

from wormbin.advice.finding import Finding
from wormbin.advice.mixing import gives_way_words, mix_findings
from wormbin.farm.bins.heap import Batch
from wormbin.farm.materials import laid_over
from wormbin.farm.session import Session
from wormbin.farm.views import shown_as
from wormbin.farm.views.proposals import Added, MixView
from wormbin.farm.words.spoken import Spoken
from wormbin.figures import Basis, Quantity, Working
from wormbin.materials.table import MaterialTable
from wormbin.measures import density, mass, parse_number, parse_percent, percent, shown
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Portion
from wormbin.records.farms import Settings
from wormbin.science.addition import Addition, Offer, amount_working
from wormbin.science.blend import Blend, Ingredient, blend
from wormbin.science.solver import CN_BAND, least_addition

WATER = "water"
ANY_CN = (0.0, inf)
ANY_MOISTURE = (0.0, 1.0)


def cn_band(words: str) -> tuple[float, float]:
    """ "25-30" or "30" as a band of C:N."""
    low, dash, high = words.strip().partition("-")
    first = parse_number(low, "cn", low=1.0, high=1000.0, example="25-30")
    last = parse_number(high, "cn", low=1.0, high=1000.0, example="25-30") if dash else first
    return _upright("cn", words, first, last, "25-30")


def moisture_band(words: str) -> tuple[float, float]:
    """ "60", "60%" or "75-85" as a band of moisture."""
    low, dash, high = words.strip().partition("-")
    first = parse_percent(low, "moisture", low=0.01, high=0.99)
    last = parse_percent(high, "moisture", low=0.01, high=0.99) if dash else first
    return _upright("moisture", words, first, last, "75-85")


def _upright(field: str, words: str, low: float, high: float, example: str) -> tuple[float, float]:
    if low > high:
        raise RefusedError(Problem(field, shown(words), "the lower end first", example))
    return low, high


def mixed(
    portions: Sequence[str],
    add: Sequence[str],
    cn: str,
    moisture: str,
    table: MaterialTable,
    settings: Settings,
    *,
    explain: bool = False,
) -> MixView:
    """The blend of what is said. With ``add`` the least of those materials that reaches the bands asked for.

    Only an aim that is asked for is solved for; with neither, both are (25-30 and the keeper's moisture), and water
    may be added. Otherwise water is added only when ``add`` names it. ``explain`` opens its numbers.
    """
    heap = Spoken(table).portions(portions, "mix")
    parts = [_part(table, each) for each in heap]
    asked_cn = cn_band(cn) if cn.strip() else ANY_CN
    asked_wet = moisture_band(moisture) if moisture.strip() else ANY_MOISTURE
    usual = (settings.moisture_low, settings.moisture_high)
    shown_cn = asked_cn if cn.strip() else CN_BAND
    shown_wet = asked_wet if moisture.strip() else usual
    if not add:
        whole = blend(parts)
        found_so = mix_findings(whole, cn=shown_cn, moisture=shown_wet, units=settings.units)
        view = _view(whole, (), found_so, [], settings)
        return replace(view, opened=_opened(table, heap, view)) if explain else view
    neither = not cn.strip() and not moisture.strip()
    if neither:
        asked_cn, asked_wet = CN_BAND, usual
    beddings = [table.find(words, "add") for words in add if words.strip().casefold() != WATER]
    wet = neither or len(beddings) < len(add)
    offers = [Offer(Ingredient.of(material, 0.0)) for material in beddings]
    found = least_addition(parts, offers, cn=asked_cn, moisture=asked_wet, water_at_most_kg=inf if wet else 0.0)
    by_name = {material.name: material.key for material in beddings}
    added = [Added(by_name[name], kg, f"{mass(kg, settings.units)} {name}") for name, kg in found.added]
    if found.water_kg > 0:
        added.append(Added(WATER, found.water_kg, f"{mass(found.water_kg, settings.units)} of water"))
    gives = [gives_way_words(each, settings.units) for each in found.gives_way]
    findings = mix_findings(found.reached, cn=shown_cn, moisture=shown_wet, added=bool(gives), units=settings.units)
    view = _view(found.reached, tuple(added), findings, gives, settings)
    return replace(view, opened=_opened(table, heap, view, found)) if explain else view


def _opened(
    table: MaterialTable, portions: Sequence[Portion], view: MixView, found: Addition | None = None
) -> tuple[Working, ...]:
    """Each number of a mix opened: the amounts to add, C:N, moisture."""
    from wormbin.farm.bins.heap import Batch, put_in
    from wormbin.farm.bins.opening import made, opens

    def typed(kg: float, said: str) -> Quantity:
        return Quantity("line", kg, "kg", Basis.SAID, "", said, f"what you put on the bench: “{said}”")

    laid = [Batch(table.get(each.material), each.moisture, typed(each.kg, each.said)) for each in portions]
    amounts: list[Working] = []
    added: list[Batch] = []
    more: list[Quantity] = []
    for each in view.added:
        name = WATER if each.material == WATER else table.get(each.material).name
        said, source = f"{name} to add", "the least that reaches what was asked for"
        number = Quantity("line", each.kg, "kg", Basis.WORKED_OUT, "", said, source)
        with suppress(ValueError, StopIteration):
            if found is not None:
                amounts.append(_rest_opened(amount_working(found, name), (laid, [*laid, *added])))
                number = replace(number, source="", opens=amounts[-1])
        if each.material == WATER:
            more.append(number)
        else:
            added.append(Batch(table.get(each.material), None, number))
    every = (*laid, *added)
    carbon, nitrogen, dry = (put_in(what, every, title=f"{what} of the mix") for what in ("carbon", "nitrogen", "dry"))
    wet = put_in("water", every, title="Water in the mix", more=more)
    sums = []
    if carbon and nitrogen:
        plain = "Carbon over nitrogen: of brown, dry things there is much, of green and wet ones little."
        inputs = (opens("carbon", carbon), opens("nitrogen", nitrogen))
        sums.append(made("C:N of the mix", "to 1", "carbon / nitrogen", inputs, "by mass", plain))
    if wet and dry:
        plain = "Of every hundred grams of the mix, so many are water."
        inputs = (opens("water", wet), opens("dry", dry, "dry matter"))
        sums.append(made("Moisture of the mix", "fraction", "water / (water + dry)", inputs, "wet basis", plain))
    return (*sums, *amounts)


def _rest_opened(working: Working, heaps: Sequence[Sequence[Batch]]) -> Working:
    """The amount with all else in the mix opened, too, where one of the heaps is just that."""
    from wormbin.farm.bins.heap import put_in

    def of(each: Quantity) -> Quantity:
        what = each.name.removeprefix("rest_").replace("wet", "fresh")
        for laid in heaps if each.name.startswith("rest_") else ():
            rest = put_in(what, laid, title=each.words[:1].upper() + each.words[1:])
            if rest and isclose(rest.value, each.value):
                return replace(each, source="", opens=rest)
        return each

    return replace(working, inputs=tuple(of(each) for each in working.inputs))


def _part(table: MaterialTable, portion: Portion) -> Ingredient:
    return Ingredient.of(table.get(portion.material), portion.kg)


def _view(
    whole: Blend, added: tuple[Added, ...], findings: tuple[Finding, ...], gives: list[str], settings: Settings
) -> MixView:
    units = settings.units
    ratio = "no nitrogen" if isinf(whole.cn) else f"C:N {whole.cn:.1f}"
    lines = [
        f"{mass(whole.wet_kg, units)} in all: {mass(whole.dry_kg, units)} dry, {mass(whole.water_kg, units)} water",
        f"{ratio}  ({mass(whole.carbon_kg, units)} carbon, {mass(whole.nitrogen_kg, units)} nitrogen)",
        f"moisture {percent(whole.moisture, places=1)}",
    ]
    if whole.bulk_density_kg_m3 is not None and whole.free_air_space is not None:
        air = percent(whole.free_air_space)
        lines.append(f"{density(whole.bulk_density_kg_m3, units)} as it is put together, free air space {air}")
    else:
        lines.append("free air space not known: a bulk density is missing")
    if added:
        lines.insert(0, "add " + " and ".join(each.words for each in added))
    lines += [f"gives way: {each}" for each in gives]
    return shown_as(MixView, whole, added=added, findings=findings, lines=tuple(lines))


def mix(
    session: Session,
    portions: Sequence[str],
    *,
    add: Sequence[str] = (),
    cn: str = "",
    moisture: str = "",
    sets: Sequence[str] = (),
    explain: bool = False,
) -> MixView:
    """C:N, moisture and air of a blend; with ``add`` the least amounts that reach ``cn`` and ``moisture``."""
    table = laid_over(session.table, session.farm().materials, sets)
    return mixed(portions, add, cn, moisture, table, session.settings(), explain=explain)
