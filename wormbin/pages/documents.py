"""The one encoder of JSON documents: which fields of each view go out, and by what name. Figures are SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from operator import attrgetter
from typing import Any

FIELDS: dict[str, str] = {
    "Band": "p10 p50 p90",
    "Finding": "code level what why do caution sure source compartment",
    "RoundView": "on minutes jobs_minutes bins=rows unreadable=troubled",
    "TroubledBin": "bin why",
    "RoundRow": "bin name level headline do also caution=mind findings feed_up_to_kg feed_into next_feeding next_check"
    " harvest feed_waiting_kg feed_waiting_days moisture moisture_basis worms_kg checked_today fed_today",
    "CoveredRow": "bin name level headline do caution=mind findings feed_up_to_kg feed_into next_feeding next_check"
    " checked_today fed_today guess",
    "HarvestView": "earliest likely latest method due_since because on part",
    "HarvestRow": "bin name *harvest steps=harvest.steps source=harvest.source compartments",
    "CompartmentView": "number name earliest likely latest due_since",
    "WeekView": "on days words",
    "WorkDay": "date=on minutes walk_minutes taken_minutes=taken jobs",
    "JobView": "bin name what minutes harvest put waits_since=due",
    "StepView": "date=on what minutes",
    "Point": "date=on value=band",
    "Working": "title value unit formula inputs source sure plain rests_on",
    "Quantity": "name words value unit basis note source opens",
    "FeedingPreview": "bin portions bedding level verdict share feed_up_to_kg=up_to_kg hold_back_kg cn moisture_before"
    " moisture_after free_air_space_after feed_waiting_days_after=waiting_days_after heat_c layer_m add"
    " add_water_kg=proposal.water_kg gives_way=proposal.gives_way findings",
    "PortionView": "material kg said",
    "MixView": "wet_kg dry_kg water_kg moisture carbon_kg nitrogen_kg cn bulk_density_kg_m3 free_air_space added"
    " findings",
    "Added": "material kg",
    "WhatIfView": "bin on as_planned instead words",
    "Future": "title moisture feed_waiting_kg worms_kg castings_dry_kg harvest",
    "Absence": "bin from=first until=last level before steps risks neighbour moisture feed_waiting_kg",
    "MaterialRow": "material=key name role pace cn nitrogen carbon ash moisture bulk_density_kg_m3 water_holding"
    " cautions aliases kept_out_because own sources",
    "StartProposal": "bin bedding water_kg worms_kg feed_kg_week cautions",
    "LogLine": "entry bin when kind words by note compartment? struck why struck_by replaced? replaces?",
    "Recorded": "entries=ids saved=sentence warnings",
    "LotView": "lot=name step since=step_on opened kg litres litres_read moisture moisture_read in_stock harvested_kg"
    " sold_kg used_kg weighed_difference_kg=changed_kg taken bins warning=short called_back",
    "LotPage": "*lot origins lines cautions",
    "OriginView": "bin date=on entry kg share fed_since=since feeds beddings loads",
    "FromLoad": "load material kg sure",
    "LoadView": "load=name material came came_kg kg given_kg weighed_difference_kg=changed_kg from=supplier price"
    " moisture treated pile bad bad_on of_bad",
    "OnHandView": "material kg used_kg_day lasts_until buy_by keeps_days",
    "LoadsView": "loads on_hand",
    "WentTo": "bin pile kg first last sure",
    "LotReached": "lot bin date=on kg likely",
    "Handed": "lot date=on kg kind buyer for=purpose",
    "LoadPage": "*load went lots handed lines",
    "PileView": "pile=name way began kg put_on cn released_kg last_c hot_days days_asked turns turns_asked hot_since"
    " hot_until gaps broken met lines=told",
    "Given": "material kg",
    "LotLineView": "entry date=on kind words by note kg_after=after_kg struck why",
    "WentView": "lot=lot.name date=on kg share step=lot.step",
    "StockView": "kg litres waiting_kg lots",
    "Yield": "bin harvests castings_kg feed_kg bedding_kg kg_per_kg_feed=per_feed kg_per_m2=per_m2"
    " kg_per_m2_year=per_m2_year since until feed_kg_per_kg_finished=feed_per_finished",
    "HerdView": "bins=rows",
    "HerdRow": "bin worms_kg kg_m2 needs_kg spare_kg surveyed survey_due crowded",
    "HerdPlan": "kg by takes missing_kg",
    "Take": "bin kg survey_first",
    "BedRecord": "bin method first last days days_asked",
    "BedDay": "date=on fed_kg since_days moisture moisture_by temp_c felt",
    "LotRecord": "*page beds loads",
    "LoadFact": "load material kg sure from=supplier treated heat bad",
    "LabelView": "lot kg litres litres_read packed made_of bad step sized",
    "DeliveryView": "bin ready_in_time=ready finished_kg=kg earliest likely latest due_since on harvest_by cure_days",
    "PlanView": "kg by likelihood in_stock_kg on_the_way_kg from_bins_kg=brings harvest_by cure_days kept bins words"
    " came promised_kg needed_bins=needed weeks begin instead",
    "PromiseView": "order buyer product kg due sold_kg=taken_kg sold_on=taken_on stand open_kg likelihood every_days",
    "NeedView": "week harvest harvest_kg sieve_kg feed_kg bedding_kg minutes money",
    "UseLine": "use=said castings_l other_l other do source",
    "UseView": "uses needed_l in_stock_l=stock_l on_the_way_kg=waiting_kg cautions",
    "ReportView": "bin=look.bin.key name=look.bin.name from=first until=last level=look.level headline=look.headline do"
    " also=look.also caution=look.mind findings=look.findings setup state charts totals harvest notes"
    " learned=look.learned did_not_fit=look.doubts surer cautions sources",
    "ComparisonView": "entry? question same from=first until=last on bins=sides answer verdict worked_out=made_answer"
    " unequal equal pairs differences",
    "Side": "bin name keeps_to fed_kg readings",
    "Difference": "about unit read verdict weeks_more words worked_out=made worked_out_unit=made_unit"
    " worked_out_verdict=made_verdict charts",
    "Paired": "mean weeks spread carry counts",
    "AccountView": "currency taken spent own_hours months years lots bins rest amounts=entered",
    "Span": "span=name taken spent sold_kg",
    "Made": "lot finished_kg sold_kg feed own general cost cost_per_kg=per_kg taken leaves"
    " leaves_per_kg_sold=leaves_per_kg",
    "Entered": "date=on amount what name bin kg who hours own entry",
    "Series": "figure=code unit worked_out=past ahead read=readings target",
    "Reading": "date=on value by fits",
    "Totals": "fed_kg fed feedings bedding_kg bedding water_kg drained_kg worms_in_kg worms_out_kg harvested_kg"
    " harvests lines struck kinds by=writers",
    "MaterialTotal": "material=key kg weighed_kg times",
    "HarvestTaken": "date=on castings_kg=kg moisture lot",
    "Writer": "by=name lines",
    "Doubt": "date=on words weight",
}
"""By the name of the view: ``name`` or ``name=attribute``; ``*name`` is what that view's fields add, ``name?`` is null
where it is empty."""

OTHERWISE: dict[tuple[str, str], Callable[[Any], object]] = {
    ("FeedingPreview", "add"): lambda view: _amounts(view.proposal.beddings),
    ("StartProposal", "bedding"): lambda proposal: _amounts(proposal.beddings),
    ("LogLine", "when"): lambda line: line.when.date() if line.day_only else line.when,
    ("MaterialRow", "sources"): lambda row: dict(row.sources),
    ("PlanView", "harvest_by"): lambda plan: plan.bins[0].harvest_by if plan.bins else None,
    ("ReportView", "do"): lambda report: report.look.emergency or report.look.do_now,
    ("ReportView", "setup"): lambda report: dict(report.setup),
    ("ReportView", "harvest"): lambda report: {
        **report.harvest,
        **{name: getattr(report.look.harvest, name) for name in ("words", "steps", "source")},
    },
    ("ReportView", "notes"): lambda report: [
        {"date": each.when.date(), "by": each.by, "words": each.words, "note": each.note} for each in report.notes
    ],
    ("ReportView", "cautions"): lambda report: [{"text": text, "source": source} for text, source in report.cautions],
    ("Difference", "read"): lambda each: (
        each.read and {**_fields(each.read), **dict(zip(("low", "high"), each.read.interval(each.within), strict=True))}
    ),
    ("Reading", "fits"): lambda reading: not reading.questioned,
    ("Totals", "kinds"): lambda totals: dict(totals.kinds),
}
"""What is more than a name."""


def document(value: Any) -> Any:
    """A view, or whatever is made of views, as JSON: dates in ISO 8601, null for what is not finite."""
    match value:
        case Enum():
            return value.value
        case datetime() | date():
            return value.isoformat()
        case Decimal():
            return float(round(value, 2))  # money, to the cent
        case float():
            # Sums of decimals end in dust (2.5999999999999996): nothing that is weighed shows less than a millionth.
            return _undusted(value) if value == value and abs(value) != float("inf") else None
        case Mapping():
            return {str(name): document(each) for name, each in value.items()}
        case Sequence() if not isinstance(value, str):
            return [document(each) for each in value]
        case _ if type(value).__name__ in FIELDS:
            return _fields(value)
        case _:
            return value


def _amounts(portions: Sequence[Any]) -> list[dict[str, object]]:
    return [{"material": each.material, "kg": each.kg} for each in portions]


def _fields(view: object) -> dict[str, object]:
    kind, out = type(view).__name__, dict[str, object]()
    for field in FIELDS[kind].split():
        name, _, attribute = field.partition("=")
        if name.startswith("*"):
            out |= _fields(getattr(view, name[1:]))
            continue
        bare = name.removesuffix("?")
        special = OTHERWISE.get((kind, bare))
        value = special(view) if special else attrgetter(attribute or bare)(view)
        out[bare] = document(value or None if name.endswith("?") else value)
    return out


def _undusted(value: float) -> float:
    rounded = round(value, 6)
    return rounded if abs(value) >= 1e-3 or rounded == value else value
