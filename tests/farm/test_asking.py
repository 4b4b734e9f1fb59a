"""Blends, trials, other futures, absences, surveys, settings and own materials, asked in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import bins, feedings, log_files, logbook, mixes, recording, trials
from wormbin.farm.backups import care
from wormbin.farm.heading import Heading
from wormbin.farm.materials import complete_portion, material_rows, set_material
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.settings import add_keeper, change_setting, keepers, remove_keeper, setting_words, wrote_too
from wormbin.farm.trials import TrialDraft
from wormbin.figures import Band
from wormbin.measures import percent
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind
from wormbin.records.farms import Away, Bucket, OnHand


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return kitchen(tmp_path_factory.mktemp("farm"))


GRASS = ["grass-clippings.moisture_pct=77", "dry-leaves.moisture_pct=35"]
MADE_OF = ["grass-clippings.carbon_pct=45", "grass-clippings.nitrogen_pct=2.4", "dry-leaves.carbon_pct=50",
           "dry-leaves.nitrogen_pct=0.75", "grass-clippings.ash_pct=10", "dry-leaves.ash_pct=8"]  # fmt: skip


def test_leaves_for_wet_grass_come_out_as_published(farm: Session) -> None:
    # Cornell Composting (Trautmann & Richard): 10 kg of grass at 77 % and leaves at 35 % for 60 % -> 6.8 kg of leaves.
    view = mixes.mix(farm, ["10 kg grass-clippings"], add=["dry-leaves"], moisture="60", sets=GRASS)
    assert [each.material for each in view.added] == ["dry-leaves"]
    assert view.added[0].kg == pytest.approx(6.8, abs=0.05)
    assert view.moisture == pytest.approx(0.60)


def test_leaves_for_a_ratio_come_out_as_published(farm: Session) -> None:
    # The same grass (45 % C, 2.4 % N) and leaves (50 % C, 0.75 % N) for 30:1 -> 3.5 kg (composition from memory).
    view = mixes.mix(farm, ["10 kg grass-clippings"], add=["dry-leaves"], cn="30", sets=[*GRASS, *MADE_OF])
    assert view.added[0].kg == pytest.approx(3.474, abs=0.001)
    assert view.cn == pytest.approx(30.0)


def test_without_an_aim_both_bands_and_water_are_used(farm: Session) -> None:
    view = mixes.mix(farm, ["1 kg coffee grounds"], add=["shredded-cardboard"])
    assert 25 <= view.cn <= 30.001
    assert 0.7499 <= view.moisture <= 0.8501
    assert "water" in [each.material for each in view.added]


@pytest.mark.parametrize(
    "sets", [["dry-leaves"], ["dry-leaves.colour=3"], ["unobtainium.moisture_pct=3"], ["dry-leaves.moisture_pct=wet"]]
)
def test_a_value_that_cannot_be_laid_over_is_refused(farm: Session, sets: list[str]) -> None:
    with pytest.raises(RefusedError):
        mixes.mix(farm, ["1 kg dry-leaves"], sets=sets)


def test_a_material_that_nobody_knows_can_be_tried_by_its_composition_alone(farm: Session) -> None:
    name = "primary-sludge"
    made_of = ("nitrogen_pct=3", "carbon_pct=35", "ash_pct=30", "moisture_pct=80", "pace=aged")
    sets = tuple(f"{name}.{each}" for each in made_of)
    draft = TrialDraft(area="0.2", worms="300 g", start=(f"5 kg {name}",), days=3, hold_moisture="75", sets=sets)
    assert trials.trial(farm, draft)["put_in"]["dry_kg"] == pytest.approx(5 * 0.2 + 0.3 * 0.18)  # type: ignore[index]
    with pytest.raises(RefusedError, match="pace"):
        trials.trial(farm, replace(draft, sets=sets[:-1]))
    with pytest.raises(RefusedError, match="cattle-manure"):
        trials.trial(farm, replace(draft, sets=("catle-manure.nitrogen_pct=3",)))


TRIAL = TrialDraft(area="0.09", worms="46 g", start=("3.1 kg cattle-manure",), days=28, temp="27", hold_moisture="80")


def test_a_trial_goes_day_by_day_by_the_names_of_the_json(farm: Session) -> None:
    result = trials.trial(farm, TRIAL)
    series = result["series"]
    assert isinstance(series, list)
    assert [each["day"] for each in series] == list(range(29))
    assert isinstance(series[-1]["castings_dry_kg"], Band)
    assert series[-1]["dry_kg"].p50 < series[0]["dry_kg"].p50
    assert set(result) >= {"state", "series", "learned", "harvest"}


def test_daily_feed_is_given_on_the_first_day_too(farm: Session) -> None:
    once = trials.trial(farm, TrialDraft(area="0.24", daily=("100 g kale",), days=1))
    put_in = once["put_in"]
    assert isinstance(put_in, dict)
    assert put_in["wet_kg"] == pytest.approx(0.1, rel=0.01)


@pytest.mark.parametrize(
    ("draft", "field"),
    [
        (TrialDraft(area="big", start=("1 kg kale",)), "area"),
        (TrialDraft(area="0.1"), "start"),
        (TrialDraft(area="0.1", start=("1 kg kale",), every=("kale weekly",)), "every"),
        (TrialDraft(area="0.1", start=("1 kg kale",), days=0), "days"),
        (TrialDraft(area="0.1", start=("1 kg kale",), temp="90"), "temp"),
        (TrialDraft(area="0.1", start=("1 kg kale",), worms="many"), "worms"),
    ],
)
def test_a_trial_that_cannot_be_is_refused(farm: Session, draft: TrialDraft, field: str) -> None:
    with pytest.raises(RefusedError) as caught:
        trials.trial(farm, draft)
    assert caught.value.problems[0].field == field


def test_a_skipped_feeding_leaves_less_waiting(farm: Session) -> None:
    view = bins.what_if(farm, "kitchen", skip=2)
    planned = sum(each.band.p50 for each in view.as_planned.feed_waiting_kg)
    other = sum(each.band.p50 for each in view.instead.feed_waiting_kg)
    assert other < planned
    assert any("uneaten food" in words for words in view.words)


def test_a_cold_spell_slows_the_bin_and_bedding_dries_it(farm: Session) -> None:
    hot = bins.what_if(farm, "kitchen", spell="36C:9d")
    assert hot.words[0].startswith("worms "), "what kills stands first"
    assert hot.words[0].endswith(", under half of them")
    cold = bins.what_if(farm, "kitchen", spell="6C:10d")
    after = [each.band.p50 for each in cold.instead.feed_waiting_kg][10]
    assert after > [each.band.p50 for each in cold.as_planned.feed_waiting_kg][10]
    dry = bins.what_if(farm, "kitchen", bedding="500 g shredded-cardboard")
    assert dry.instead.moisture[1].band.p50 < dry.as_planned.moisture[1].band.p50


def test_half_the_worms_taken_out_are_gone_from_the_other_future_only(farm: Session) -> None:
    view = bins.what_if(farm, "kitchen", split="50%")
    now, then = view.as_planned.worms_kg[1].band.p50, view.instead.worms_kg[1].band.p50
    assert then == pytest.approx(now / 2, rel=0.1)
    assert all("worms out" not in line.words for line in logbook.lines(farm, "kitchen"))


@pytest.mark.parametrize("change", [{}, {"spell": "30C"}, {"spell": "warm:5d"}, {"split": "150%"}, {"skip": -1}])
def test_a_change_that_is_not_clear_is_refused(farm: Session, change: dict[str, str]) -> None:
    with pytest.raises(RefusedError):
        bins.what_if(farm, "kitchen", **change)  # type: ignore[arg-type]


@pytest.mark.more
def test_changes_add_up_in_one_future(farm: Session) -> None:
    """Bedding, worms out and a harvest today, a feeding left out, the next doubled, and a cold spell, all at once."""
    change: dict[str, Any] = {
        "skip": 1, "double": 1, "bedding": "500 g shredded-cardboard", "spell": "12C:5d", "split": "50%",
        "harvest": True,
    }  # fmt: skip
    all_at_once = bins.what_if(farm, "kitchen", **change).instead
    assert len(all_at_once.title.split(", ")) == len(change)
    for name, value in change.items():
        without = bins.what_if(farm, "kitchen", **{each: said for each, said in change.items() if each != name}).instead
        assert without.title != all_at_once.title
        figures = ("moisture", "feed_waiting_kg", "worms_kg", "castings_dry_kg")
        assert any(getattr(without, each) != getattr(all_at_once, each) for each in figures), (name, value)


def test_both_futures_are_told_with_their_bands(farm: Session) -> None:
    view = bins.what_if(farm, "kitchen", double=2)
    assert {row.figure for row in view.rows} == {"moisture", "uneaten food", "worms", "castings, dry"}
    (row,) = [row for row in view.rows if row.figure == "moisture" and row.days == 30]
    for future, words in ((view.as_planned, row.planned), (view.instead, row.instead)):
        band = future.moisture[30].band
        assert words == f"{percent(band.p50)} ({percent(band.p10)} to {percent(band.p90)})"
    for future in (view.as_planned, view.instead):
        window = future.harvest
        assert window.earliest is not None
        assert window.likely is not None
        assert window.earliest <= window.likely <= (window.latest or date.max)


def test_feedings_beyond_what_is_planned_are_no_fault(farm: Session) -> None:
    view = bins.what_if(farm, "kitchen", skip=10**9, double=10**9)
    assert view.instead.feed_waiting_kg[-1].band.p50 < view.as_planned.feed_waiting_kg[-1].band.p50


def test_an_absence_says_what_to_do_before_and_what_a_neighbour_does(farm: Session) -> None:
    plan = bins.absence(farm, "kitchen", "2026-06-06", "2026-06-18")
    assert ((plan.last - plan.first).days, plan.first.isoformat()) == (12, "2026-06-06")
    assert plan.before
    assert any("Kitchen" in line for line in plan.neighbour)
    assert plan.steps[-1].on.isoformat() == "2026-06-19"
    with pytest.raises(RefusedError, match="until"):
        bins.absence(farm, "kitchen", "2026-06-06", "2026-06-01")


def test_a_survey_says_its_interval_and_is_refused_when_larger_than_the_bin(farm: Session) -> None:
    view = recording.preview_survey(farm, "kitchen", ["12 g", "9 g", "25 worms"], "225 cm2")
    assert view.worms_kg.p10 < view.worms_kg.p50 < view.worms_kg.p90
    with pytest.raises(RefusedError, match="smaller than the bin"):
        recording.preview_survey(farm, "kitchen", ["12 g"], "3 m2")


def test_an_outlook_has_today_first_and_every_day_after(farm: Session) -> None:
    document = bins.outlook(farm, "kitchen", days=30)
    series = document["series"]
    assert isinstance(series, list)
    assert [each["date"] for each in series] == [NOW.date() + timedelta(days=day) for day in range(31)]
    assert set(document) >= {"state", "series", "learned", "harvest"}
    with pytest.raises(RefusedError, match="days"):
        bins.outlook(farm, "kitchen", days=100_000)


def test_settings_are_said_and_changed_in_words(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    for name, words in (
        ("units", "US"),
        ("moisture", "70-80"),
        ("feed-days", "sat and wednesday"),
        ("check-every", "5 days"),
        ("away", "2026-07-20 to 2026-08-03: summer"),
        ("on-hand", "1.2 kg shredded cardboard"),
        ("bucket", "breakfast: 150 g coffee grounds, 80 g banana peel"),
        ("tare", "green tub: 240 g"),
        ("theme", "Day"),
    ):
        change_setting(farm, name, words)
    settings = farm.settings()
    assert (settings.units, settings.moisture_low, settings.moisture_high) == ("us", 0.7, 0.8)
    assert (settings.feed_days, settings.check_every_days, settings.theme) == (("WE", "SA"), 5, "wormbin-day")
    first = NOW.date().replace(month=7, day=20)
    assert settings.away == (Away(first, first.replace(month=8, day=3), "summer"),)
    assert settings.on_hand == (OnHand("shredded-cardboard", 1.2, noted=NOW),)
    assert settings.buckets == (Bucket("breakfast", ("150 g coffee-grounds", "80 g banana-peel")),)
    assert dict(settings.tares) == {"green tub": 0.24}
    assert feedings.bucket(farm, "Breakfast") == ("150 g coffee-grounds", "80 g banana-peel")
    assert setting_words(farm)["feed-days"] == "wednesday, saturday"
    change_setting(farm, "away", "")
    assert farm.settings().away == ()


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("colour", "red"), ("units", "imperial"), ("moisture", "85"), ("moisture", "85-75"), ("feed-days", "someday"),
        ("feed-days", "t"), ("check-every", "0"), ("away", "2026-08-03 to 2026-07-20"), ("on-hand", "much"),
        ("bucket", "150 g coffee"), ("tare", "240 g"), ("theme", "dark"),
    ],
)  # fmt: skip
def test_a_setting_that_cannot_be_is_refused_and_nothing_is_made(tmp_path: Path, name: str, words: str) -> None:
    with pytest.raises(RefusedError):
        change_setting(open_farm(tmp_path / "store"), name, words)
    assert not (tmp_path / "store").exists()


def test_own_values_are_used_from_then_on(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    set_material(farm, "coffee grounds", ["moisture_pct=50"])
    set_material(
        farm, "office leaves", ["nitrogen_pct=0.9", "carbon_pct=45", "moisture_pct=12", "pace=fibre"], "Office leaves"
    )
    assert material_rows(farm, "coffee-grounds")[0].moisture == 0.5
    assert material_rows(farm, "office leaves")[0].own
    assert mixes.mix(farm, ["1 kg coffee grounds"]).moisture == pytest.approx(0.5)


def test_a_look_at_two_futures_leaves_out_what_is_the_same_in_both(tmp_path: Path) -> None:
    view = bins.what_if(kitchen(tmp_path, days=20), "kitchen", skip=1)
    assert view.rows
    assert all(row.planned != row.instead for row in view.rows)
    for words in view.words:
        first, parts, second = words.partition(" instead of ")
        assert not parts or first.rsplit(": ", 1)[-1] != second.partition(" (")[0]
        assert " on tomorrow" not in words


def test_keepers_are_names_and_nothing_more(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    add_keeper(farm, "Ana")
    with pytest.raises(RefusedError):
        add_keeper(farm, "Ana")
    remove_keeper(farm, "Ana")
    assert keepers(farm) == ()
    assert wrote_too(farm) == ()


def test_who_signed_a_line_and_is_not_on_the_list_is_named(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=3)
    for name in ("Mio", "Ana"):
        write(farm, "kitchen", Kind.NOTE, {"words": "moved the bin"}, Heading(by=name))
    add_keeper(farm, "Ana")
    assert wrote_too(farm) == ("Mio",)


def test_a_portion_half_typed_is_completed(farm: Session) -> None:
    assert complete_portion(farm, "300 g melon r") == "300 g melon rind"
    assert complete_portion(farm, "300 g mel") == "300 g melon-rind"
    assert complete_portion(farm, "300 g") is None
    assert complete_portion(farm, "300 g qqqqq") is None


def test_what_is_completed_begins_with_what_was_typed(farm: Session) -> None:
    for typed in ("lett", "Lett", "lettu", "lettuce", "coffee", "banana s", "peel", "straw", "tea b", "l"):
        finished = complete_portion(farm, f"300 g {typed}")
        assert finished is None or finished.startswith(f"300 g {typed}"), (typed, finished)
        if finished is not None:
            farm.table.find(finished.removeprefix("300 g "))  # raises when it is not one thing
    assert complete_portion(farm, "300 g leaf-lett") == "300 g leaf-lettuce"
    assert complete_portion(farm, "300 g leaf-lettuce") is None, "it is finished"


def test_a_feed_is_completed_before_a_bedding_where_feed_is_asked_for_and_after_it_where_bedding_is(
    farm: Session,
) -> None:
    assert complete_portion(farm, "2 cups coffee", "feed") == "2 cups coffee-grounds"
    assert complete_portion(farm, "2 cups coffee", "bedding") == "2 cups coffee-filters"
    assert complete_portion(farm, "60 g shredded", "feed") == "60 g shredded-cardboard", "a bedding where no feed fits"


def test_a_folder_brought_in_and_out_again_is_the_same_farm(tmp_path: Path) -> None:
    farm = kitchen(tmp_path / "one", days=15)
    add_keeper(farm, "Ana")
    log_files.write_out(farm, tmp_path / "files")
    other = open_farm(tmp_path / "two")
    tried = log_files.bring_in(other, tmp_path / "files", only_try=True)
    assert "nothing was saved" in tried.sentence
    assert not (tmp_path / "two").exists()
    log_files.bring_in(other, tmp_path / "files")
    assert other.entries("kitchen") == farm.entries("kitchen")
    assert other.farm() == farm.farm()
    again = log_files.bring_in(other, tmp_path / "files")
    assert again.ids == ()
    log_files.write_out(other, tmp_path / "again")
    for name in ("bins.csv", "log.csv", "materials.csv", "settings.csv"):
        assert (tmp_path / "again" / name).read_bytes() == (tmp_path / "files" / name).read_bytes()


def test_a_farm_written_year_by_year_comes_back_whole(tmp_path: Path) -> None:
    farm = kitchen(tmp_path / "one", days=170)  # begun in the year before
    for year in (2025, 2026):
        log_files.write_out(farm, tmp_path / str(year), year)
    other = open_farm(tmp_path / "two")
    for year in (2025, 2026):
        assert log_files.bring_in(other, tmp_path / str(year)).ids
    assert other.entries("kitchen") == farm.entries("kitchen")
    assert other.farm() == farm.farm()


def test_strikes_come_in_with_the_rest_in_one_change(tmp_path: Path) -> None:
    farm = kitchen(tmp_path / "one", days=15)
    log_files.write_out(farm, tmp_path / "before")
    other = open_farm(tmp_path / "two")
    log_files.bring_in(other, tmp_path / "before")
    recording.strike(farm, farm.entries("kitchen")[-1].id, "wrong bin", "Ana")
    write(farm, "kitchen", Kind.NOTE, {"words": "later"})
    log_files.write_out(farm, tmp_path / "after")
    brought = log_files.bring_in(other, tmp_path / "after")
    assert "1 line struck or lifted" in brought.sentence
    assert other.entries("kitchen") == farm.entries("kitchen")
    recording.undo(other)
    assert [entry.struck for entry in other.entries("kitchen")][:-1] == [None] * (len(farm.entries("kitchen")) - 1)


def test_a_store_is_looked_over_copied_and_brought_back(tmp_path: Path) -> None:
    farm = kitchen(tmp_path / "one", days=8)
    assert care(farm).check().sound
    assert "copied" in care(farm).backup().lines[0]
    name = farm.store.backups()[-1]
    write(farm, "kitchen", Kind.NOTE, {"words": "later"})
    tried = care(farm).restore_plan(Path(name))
    assert "nothing was changed" in tried.lines[-1]
    care(farm).restore(Path(name))
    assert all(line.words != "later" for line in logbook.lines(farm, "kitchen"))
    with pytest.raises(RefusedError, match="backup"):
        care(farm).restore(Path("1999"))
