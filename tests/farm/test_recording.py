"""What is written through the doorway, in the keeper's words, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import bins, drafts, feedings, log_files, logbook, mixes, recording, rounds, starts
from wormbin.farm.errors import DoubtedError, HeldBackError
from wormbin.farm.heading import Heading
from wormbin.farm.materials import material_rows
from wormbin.farm.recording.lines import record_caught_up, record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.settings import change_setting
from wormbin.farm.views.proposals import BinDraft
from wormbin.figures import Level
from wormbin.materials.material import Role
from wormbin.problems import RefusedError, UnclearError
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Feeding,
    Fluff,
    Harvest,
    Kind,
    MoistureBy,
    Move,
    Note,
    Portion,
    Sample,
    Squeeze,
    Stocking,
    Survey,
    Watering,
    Weighing,
)

BOX = BinDraft(key="kitchen", name="Kitchen", length="60 cm", width="40 cm", depth="30 cm", worms="500 g")


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    made = open_farm(tmp_path)
    starts.start(made, replace(BOX, started="2026-05-01"))
    return made


def test_a_new_bin_is_written_with_its_bedding_water_and_worms(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    recorded = starts.start(farm, BOX)
    kinds = [entry.kind.value for entry in farm.entries("kitchen")]
    assert kinds == ["bedding", "watering", "stocking"]
    assert len(recorded.ids) == 3
    assert farm.bin("kitchen").length_m == 0.6


def test_a_proposal_soaks_the_bedding_to_its_target_and_writes_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "store"
    proposal = starts.propose(open_farm(folder), BOX)
    table = open_farm(folder).table
    board = next(each for each in proposal.beddings if each.material == "shredded-cardboard")
    dry = board.kg * (1 - table.get("shredded-cardboard").moisture)
    assert 1 - dry / (board.kg + proposal.water_kg) == pytest.approx(0.78, abs=0.001)
    assert 0 < proposal.feed_kg_week[0] < proposal.feed_kg_week[2] <= proposal.feed_kg_week[5]
    assert not folder.exists()
    assert not [each for each in proposal.shopping if "vermicast" in each], "nobody begins with castings to hand"


def test_every_kind_of_entry_is_understood(farm: Session) -> None:
    starts.start(farm, replace(BOX, key="attic", name="Attic", started="2026-05-01"))
    write(farm, "kitchen", Kind.WATERING, {"amount": "2 cups"})
    write(farm, "kitchen", Kind.DRAINING, {"amount": "250 mL"})
    write(farm, "kitchen", Kind.WEIGHING, {"amount": "14.2 kg", "box": "yes"})
    write(farm, "kitchen", Kind.STOCKING, {"worms": "200 worms", "out": "yes"})
    write(farm, "kitchen", Kind.SURVEY, {"samples": "12 g; 9 g", "area": "225 cm2"})
    write(farm, "kitchen", Kind.MOVE, {"to": "attic", "worms": "100 g"})
    write(farm, "kitchen", Kind.HARVEST, {"castings": "7 L", "moisture": "70", "worms_out": "5 g"})
    write(farm, "kitchen", Kind.FLUFF, {}, Heading(note="dry on top"))
    write(farm, "kitchen", Kind.NOTE, {"words": "moved it"})
    write(farm, "kitchen", Kind.BEDDING, {"portions": "200 g shredded cardboard, 50 g newspaper"})
    found = {type(entry.what): entry for entry in farm.entries("kitchen") if entry.when.date() == NOW.date()}
    assert found[Watering].what == Watering(pytest.approx(0.473176473), "2 cups")  # type: ignore[arg-type]
    assert found[Draining].what == Draining(0.25, "250 mL")
    assert found[Weighing].what == Weighing(14.2, True, "14.2 kg")
    assert found[Stocking].what == Stocking(pytest.approx(-0.090718474), 200, "200 worms")  # type: ignore[arg-type]
    assert found[Survey].what == Survey((Sample(0.0225, 0.012, None, "12 g"), Sample(0.0225, 0.009, None, "9 g")))
    assert found[Move].what == Move(0.1, "attic", False, "100 g")
    assert found[Harvest].what == Harvest(pytest.approx(4.9), 0.7, 0.005, "7 L")  # type: ignore[arg-type]
    assert (found[Fluff].note, found[Note].note) == ("dry on top", "moved it")
    assert [portion.material for portion in found[Bedding].what.portions] == ["shredded-cardboard", "newspaper"]  # type: ignore[union-attr]
    taken = farm.entries("attic")[-1]
    assert taken.what == Move(0.1, "kitchen", True, "100 g")
    assert taken.id == found[Move].id + "~"


def test_a_feeding_keeps_what_was_said_beside_what_it_weighs(farm: Session) -> None:
    record_feeding(farm, "kitchen", ["1 cup coffee grounds"], bedding=["20 g newspaper"], water="100 mL", anyway=True)
    whats = [entry.what for entry in farm.entries("kitchen") if entry.when.date() == NOW.date()]
    (feeding,) = (what for what in whats if isinstance(what, Feeding))
    assert feeding.portions[0].said == "1 cup"
    density = farm.table.get("coffee-grounds").bulk_density_kg_m3
    assert density is not None
    assert feeding.portions[0].kg == pytest.approx(0.000236588 * density, rel=1e-4)
    assert Bedding((Portion("newspaper", 0.02, "20 g"),)) in whats
    assert Watering(0.1, "100 mL") in whats


def test_a_check_is_read_field_by_field(farm: Session) -> None:
    said = {
        "moisture": "82", "moisture_by": "meter", "squeeze": "damp", "temp": "70F", "left": "30%", "depth": "18 cm",
        "smell": "earthy", "seen": "mites; flies", "ph": "6.8",
    }  # fmt: skip
    write(farm, "kitchen", Kind.CHECK, said, Heading(when="yesterday 18:10", by="Ana", note="[b]x[/b]"))
    entry = next(each for each in farm.entries("kitchen") if isinstance(each.what, Check))
    assert isinstance(entry.what, Check)
    assert entry.what.temp_c == pytest.approx(21.11, abs=0.01)
    assert replace(entry.what, temp_c=None) == Check(
        0.82, MoistureBy.METER, Squeeze.DAMP, None, 0.3, 0.18, "earthy", ("mites", "flies"), 6.8
    )
    assert (entry.by, entry.note, entry.when.isoformat()) == ("Ana", "[b]x[/b]", "2026-05-31T18:10:00+02:00")


def test_an_oven_test_gives_its_moisture_and_keeps_both_weights(farm: Session) -> None:
    write(farm, "kitchen", Kind.CHECK, {"oven_wet": "10 g", "oven_dry": "2.3 g"})
    entry = next(each for each in farm.entries("kitchen") if isinstance(each.what, Check))
    assert isinstance(entry.what, Check)
    assert entry.what.moisture == pytest.approx(0.77)
    assert entry.what.moisture_by is MoistureBy.OVEN
    assert dict(entry.extra) == {"oven_wet_g": pytest.approx(10), "oven_dry_g": pytest.approx(2.3)}


def test_all_that_is_wrong_with_a_check_is_told_at_once_and_nothing_is_saved(farm: Session) -> None:
    before = farm.entries("kitchen")
    with pytest.raises(RefusedError) as caught:
        write(
            farm,
            "kitchen",
            Kind.CHECK,
            {"moisture": "wet", "squeeze": "soggy", "temp": "21", "left": "300%", "ph": "15"},
        )
    assert [problem.field for problem in caught.value.problems] == [
        "moisture", "squeeze", "temperature", "left of the last feeding", "pH",
    ]  # fmt: skip
    assert all(problem.example for problem in caught.value.problems)
    assert farm.entries("kitchen") == before


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        (Heading(when="7/8/2026"), "7/8/2026"),
        (Heading(when="2026-06-05"), "a moment that has been"),
        (Heading(when="2026-04-01"), "when kitchen was started"),
        (Heading(compartment="2"), "one compartment"),
    ],
)
def test_a_heading_that_cannot_be_is_refused(farm: Session, heading: Heading, said: str) -> None:
    with pytest.raises(RefusedError, match=said):
        write(farm, "kitchen", Kind.FLUFF, {}, heading)


def test_a_bin_is_found_by_name_or_its_beginning_and_near_misses_are_offered(farm: Session) -> None:
    assert farm.bin("Kit").key == "kitchen"
    with pytest.raises(UnclearError) as caught:
        farm.bin("kitchn")
    assert caught.value.choices == ("kitchen",)
    with pytest.raises(RefusedError, match="kitchen"):
        farm.bin("garage")


def test_what_had_better_stayed_out_is_asked_about_and_then_written_down(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=20)
    with pytest.raises(HeldBackError, match="No meat: it rots and draws") as held:
        record_feeding(farm, "kitchen", ["50 g kale", "20 g meat"])
    assert feedings.advised_bucket(farm, held.value.preview).portions == ("50 g kale",)
    with pytest.raises(DoubtedError, match="No glossy or coated paper and board"):
        write(farm, "kitchen", Kind.BEDDING, {"portions": "50 g glossy board"}, Heading(ask=True))
    record_feeding(farm, "kitchen", ["50 g kale", "20 g meat", "100 g dog poo"], anyway=True)
    write(farm, "kitchen", Kind.BEDDING, {"portions": "50 g glossy board"})
    before = feedings.preview(farm, "kitchen", ["20 g meat"], heading=Heading(when="2026-05-25"))
    assert before.level is Level.ACT
    assert not before.too_much
    assert before.verdict.startswith("a record of 2026-05-25: No meat")


def test_a_log_with_all_that_is_kept_out_replays_and_comes_back_from_its_files(tmp_path: Path) -> None:
    farm = kitchen(tmp_path / "one", days=20)
    out = [each for each in farm.table if each.role is Role.KEEP_OUT]
    assert len(out) >= 20
    waiting = farm.scene("kitchen").past.today.feed_waiting_kg.p50
    for each in out:
        record_feeding(farm, "kitchen", [f"10 g {each.key}"], anyway=True)
    view = bins.look(farm, "kitchen")
    assert farm.scene("kitchen").past.today.feed_waiting_kg.p50 > waiting
    assert view.findings
    rounds.sheet(farm, "kitchen")
    feedings.preview(farm, "kitchen", feedings.last_bucket(farm, "kitchen"))
    log_files.write_out(farm, tmp_path / "files")
    other = open_farm(tmp_path / "two")
    log_files.bring_in(other, tmp_path / "files")
    assert [entry.what for entry in other.entries("kitchen")] == [entry.what for entry in farm.entries("kitchen")]


def test_what_is_kept_out_is_still_refused_where_nothing_is_written_down(farm: Session) -> None:
    day = NOW.date() - timedelta(days=1)
    for asked in (
        lambda: mixes.mix(farm, ["1 kg meat"]),
        lambda: change_setting(farm, "bucket", "a: 50 g meat"),
        lambda: record_caught_up(farm, "kitchen", [day], "50 g meat"),
    ):
        with pytest.raises(RefusedError, match="No meat: it rots"):
            asked()


def test_too_much_is_held_back_unless_it_is_said_to_be_saved_anyway(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=30)
    before = farm.entries("kitchen")
    with pytest.raises(HeldBackError) as caught:
        record_feeding(farm, "kitchen", ["20 kg melon rind"])
    assert caught.value.preview.hold_back_kg > 1
    assert farm.entries("kitchen") == before
    record_feeding(farm, "kitchen", ["20 kg melon rind"], anyway=True)
    assert len(farm.entries("kitchen")) == len(before) + 1


def test_the_advised_bucket_can_be_typed_again_and_is_then_not_too_much(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=30)
    preview = feedings.preview(farm, "kitchen", ["4 kg melon rind", "2 kg coffee grounds"])
    advised = feedings.advised_bucket(farm, preview)
    if advised.portions:
        again = feedings.preview(farm, "kitchen", advised.portions)
        assert again.total_kg <= preview.up_to_kg + 0.01
    else:
        assert preview.up_to_kg == 0


def test_the_last_bucket_reads_back_as_the_same_feeding(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=30)
    words = feedings.last_bucket(farm, "kitchen")
    assert words == ("300 g melon-rind", "100 g coffee-grounds")
    assert feedings.preview(farm, "kitchen", words).total_kg == pytest.approx(0.4)


def test_strike_amend_and_undo_leave_every_line_readable(farm: Session) -> None:
    wrong = write(farm, "kitchen", Kind.WATERING, {"amount": "5 L"}, Heading(by="Ana")).ids[0]
    right = write(farm, "kitchen", Kind.WATERING, {"amount": "500 mL"}, Heading(by="Ana", replaces=wrong[:6])).ids[0]
    lines = {line.entry: line for line in logbook.lines(farm, "kitchen")}
    assert lines[wrong].replaced == right
    assert not lines[wrong].stands
    assert lines[right].stands
    assert lines[right].replaces == wrong
    recording.undo(farm, "B")
    lines = {line.entry: line for line in logbook.lines(farm, "kitchen")}
    assert lines[wrong].stands
    assert lines[right].struck
    recording.strike(farm, wrong, "never happened", "B")
    line = logbook.line(farm, wrong)
    assert (line.struck, line.why, line.struck_by) == (True, "never happened", "B")
    assert wrong not in [each.entry for each in logbook.lines(farm, "kitchen", struck=False)]


def test_a_strike_without_a_reason_is_refused(farm: Session) -> None:
    entry = write(farm, "kitchen", Kind.FLUFF, {}).ids[0]
    with pytest.raises(RefusedError, match="why"):
        recording.strike(farm, entry, "  ")


def test_what_another_program_wrote_is_noticed_and_own_writes_are_not(tmp_path: Path, farm: Session) -> None:
    assert not farm.changed()
    write(farm, "kitchen", Kind.FLUFF, {})
    assert not farm.changed()
    other = open_farm(tmp_path, NOW + timedelta(hours=1))
    write(other, "kitchen", Kind.NOTE, {"words": "from the other program"})
    assert farm.changed()
    assert not farm.changed()
    assert any(entry.note == "from the other program" for entry in farm.entries("kitchen"))


def test_a_look_creates_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "store"
    farm = open_farm(folder)
    assert rounds.view(farm).rows == ()
    assert material_rows(farm, "coffee")
    assert drafts.read(farm, "check-kitchen") == {}
    with pytest.raises(RefusedError):
        bins.look(farm, "kitchen")
    assert not folder.exists()


def test_a_half_filled_form_outlives_the_program(tmp_path: Path) -> None:
    drafts.save(open_farm(tmp_path), "check kitchen", {"moisture": "82", "temp": "", "note": "[b]ü[/b]"})
    again = open_farm(tmp_path)
    assert drafts.read(again, "check kitchen") == {"moisture": "82", "note": "[b]ü[/b]"}
    assert drafts.names(again) == ("check-kitchen",)
    drafts.drop(again, "check kitchen")
    assert drafts.read(again, "check kitchen") == {}


HOSTILE = ["[b]x[/b]", "a\x1b[31mred\x07", "n" * 200, "🪱🪱🪱", "שלום", "=cmd()", "../../etc", "a\nb\tc"]


@pytest.mark.parametrize("text", HOSTILE)
def test_text_from_the_keeper_is_only_text(farm: Session, text: str) -> None:
    write(farm, "kitchen", Kind.NOTE, {"words": text}, Heading(by=text[:40]))
    line = logbook.lines(farm, "kitchen")[-1]
    assert "\x1b" not in line.words + line.by
    assert line.words
    starts.start(farm, replace(BOX, key="x", name=text, started="2026-05-01"))
    assert "\x1b" not in farm.bin("x").name
    bins.look(farm, "x")
    rounds.sheet(farm, "x")


def test_a_day_without_a_time_is_kept_and_shown_as_one_and_stays_one_when_it_is_put_right(farm: Session) -> None:
    for when in ("yesterday", "yesterday 12:00", "2026-05-20"):
        write(farm, "kitchen", Kind.WATERING, {"amount": "500 mL"}, Heading(when=when))
    lines = [line for line in logbook.lines(farm, "kitchen") if line.kind is Kind.WATERING]
    assert [line.moment for line in lines[-3:]] == ["2026-05-20      ", "2026-05-31 12:00", "2026-05-31      "]
    wrong = logbook.typed_line(farm, lines[-1].entry)
    assert wrong.fields["when"] == "2026-05-31"
    new = write(
        farm, "kitchen", Kind.WATERING, {"amount": "400 mL"}, Heading(when="2026-05-31", replaces=wrong.entry)
    ).ids[0]
    assert farm.store.find(new).day_only


def test_a_line_is_put_right_at_its_very_second(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    now = NOW + timedelta(seconds=7)
    (line,) = write(open_farm(tmp_path, now), "kitchen", Kind.WATERING, {"amount": "500 mL"}).ids
    farm = open_farm(tmp_path, now)
    assert logbook.typed_line(farm, line).fields["when"] == "2026-06-01T18:00:07+02:00"


def test_lines_of_one_moment_are_replayed_as_they_were_written(tmp_path: Path) -> None:
    then = Heading(when="today 17:00")

    def feed(farm: Session) -> None:
        record_feeding(farm, "kitchen", ["3 kg melon rind"], heading=then, anyway=True)

    def weigh(farm: Session) -> None:
        write(farm, "kitchen", Kind.WEIGHING, {"amount": "20 kg"}, then)

    expected = []
    for place, order in enumerate(((feed, weigh), (weigh, feed))):
        farm = kitchen(tmp_path / str(place))
        for act in order:
            act(farm)
        (weighed,) = [each for each in farm.scene("kitchen").past.judged if each.quantity == "total_kg"]
        expected.append(weighed.expected.p50)
    assert expected[0] - expected[1] == pytest.approx(3.0, rel=0.05), "what was fed before it was on the scale"
