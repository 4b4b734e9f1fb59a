"""A bin's report: whole and safe as a page, and the same figures as everywhere else."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path

import pytest

from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import bins, log_files, recording, reports, rounds, starts
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.reports.contents import weighed
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.figures import Band
from wormbin.measures import percent
from wormbin.pages.report import Names, report_page
from wormbin.problems import RefusedError
from wormbin.records.entries import Kind
from wormbin.science.cautions import CAUTIONS

VOID = {"meta", "br", "hr", "img", "input", "link"}


class Page(HTMLParser):
    """Reads a page strictly: every tag closed in order; what it is made of, and its words."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []
        self.ids: list[str] = []
        self.feed(text)
        self.close()
        assert not self.open, self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        self.ids += [value or "" for name, value in attrs if name == "id"]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] != "style":
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return kitchen(tmp_path_factory.mktemp("report") / "store")


def test_the_page_is_whole_and_asks_nothing_of_anybody(farm: Session) -> None:
    text = report_page(reports.report(farm, "kitchen"))
    page = Page(text)
    assert page.tags.count("svg") >= 5
    assert not {"script", "link", "img", "iframe", "object", "embed", "form", "base"} & set(page.tags)
    assert not [name for name, _ in page.attributes if name.startswith("on") or name in ("src", "href", "srcset")]
    assert not re.search(r"https?:|//[a-z]|@import|javascript:", text)
    assert all(value.startswith("#") for value in re.findall(r"url\(([^)]*)\)", text))
    assert len(page.ids) == len(set(page.ids))
    assert "default-src 'none'" in text


def test_every_part_that_was_promised_is_there(farm: Session) -> None:
    said = Page(report_page(reports.report(farm, "kitchen"))).text
    for part in (
        "How it is on 1 Jun 2026", "What to do now", "How it came, and how it will go", "What was put in", "who wrote",
        "The next castings", "How the bin is set up", "what would make it surer", "Take care", "Sources",
        "60 cm x 40 cm x 30 cm", "common practice, no source", "a worm survey", "Monday, Thursday", "melon rind",
    ):  # fmt: skip
        assert part in said, part
    for code in ("hands", "children", "dust", "lift", "no-waste", "leachate", "extract", "rules"):
        assert CAUTIONS[code].text in said, code


def test_its_figures_are_those_of_the_outlook(farm: Session) -> None:
    view, outlook = reports.report(farm, "kitchen"), bins.outlook(farm, "kitchen")
    state = outlook["state"]
    assert isinstance(state, Mapping)
    assert view.state == state
    assert view.harvest == outlook["harvest"]
    ends = {each.code: each.past[-1] for each in view.charts}
    for code, name in (
        ("moisture", "moisture"), ("feed_waiting", "feed_waiting_kg"), ("worms", "worms_kg"),
        ("castings", "castings_share"), ("temp", "temp_c"),
    ):  # fmt: skip
        assert ends[code].on == NOW.date()
        assert ends[code].band == state[name]
    moist = state["moisture"]
    assert isinstance(moist, Band)
    said = Page(report_page(view)).text
    assert f"◇ {percent(moist.p50)} ({percent(moist.p10)} to {percent(moist.p90)})" in said


def test_an_estimate_never_looks_like_a_reading(farm: Session) -> None:
    said = Page(report_page(reports.report(farm, "kitchen"))).text
    assert re.search(r"● squeeze sponge, usually \d+%, today", said), "a squeeze is told as what was felt"
    assert "6 squeezes among them" in said
    assert "◇ is an estimate" in said
    assert "● 21 °C, today" in said


def test_the_sums_are_those_of_the_log(farm: Session) -> None:
    totals = reports.report(farm, "kitchen").totals
    assert {each.key: pytest.approx(each.kg) for each in totals.fed} == {"melon-rind": 1.8, "coffee-grounds": 0.6}
    assert totals.fed_kg == pytest.approx(2.4)
    assert (totals.feedings, dict(totals.kinds)["check"], totals.lines) == (6, 6, 15)
    assert {each.name: each.lines for each in totals.writers} == {"Ana": 6, "B": 6, "": 3}
    assert totals.worms_in_kg == pytest.approx(0.5)


def test_struck_lines_do_not_count_and_volumes_are_told_from_weights(tmp_path: Path) -> None:
    farm = kitchen(tmp_path / "store", days=10)
    wrong = record_feeding(farm, "kitchen", ["900 g kale"], anyway=True).ids[0]
    record_feeding(farm, "kitchen", ["2 cups coffee grounds"], anyway=True)
    write(farm, "kitchen", Kind.HARVEST, {"castings": "1 kg", "moisture": "70%"})
    write(farm, "kitchen", Kind.STOCKING, {"worms": "50 g", "out": "yes"})
    recording.strike(farm, wrong, "wrong bin")
    totals = reports.report(farm, "kitchen").totals
    assert "kale" not in [each.key for each in totals.fed]
    assert totals.struck == 1
    coffee = next(each for each in totals.fed if each.key == "coffee-grounds")
    assert 0 < coffee.weighed_kg < coffee.kg
    assert [(each.kg, each.moisture) for each in totals.harvests] == [(1.0, 0.7)]
    assert totals.worms_out_kg == pytest.approx(0.05)
    said = Page(report_page(reports.report(farm, "kitchen"))).text
    assert "by volume or piece" in said
    assert "1 line struck or put right" in said
    assert "1 Jun 2026 1 kg 70%" in said


@pytest.mark.parametrize(
    ("said", "by_weight"),
    [("300 g", True), ("1/2 lb", True), ("", True), ("2 cups", False), ("1 handful", False), ("1 L", False)],
)
def test_what_was_told_by_weight(said: str, by_weight: bool) -> None:
    assert weighed(said) is by_weight


def test_a_period_cuts_the_sums_and_the_charts_and_shows_the_bin_as_it_was(farm: Session) -> None:
    view = reports.report(farm, "kitchen", "2026-05-01", "2026-05-20")
    assert (view.first, view.last, view.look.on) == (date(2026, 5, 1), date(2026, 5, 20), date(2026, 5, 20))
    assert view.state == bins.outlook(farm, "kitchen", on=date(2026, 5, 20))["state"]
    assert view.totals.feedings == 3
    for chart in view.charts:
        assert chart.past[0].on == view.first
        assert chart.past[-1].on == view.last
        assert all(view.first <= mark.on <= view.last for mark in chart.readings)
        assert chart.ahead[0].on == view.last + timedelta(days=1)


def test_a_period_from_before_the_bin_begins_with_it(farm: Session) -> None:
    view = reports.report(farm, "kitchen", "2020-01-01")
    assert view.first == date(2026, 4, 22)
    assert "since the bin began" in report_page(view)


@pytest.mark.parametrize(
    ("first", "last", "field"),
    [
        ("", "2027-01-01", "--until"),
        ("", "2026-01-01", "--until"),
        ("2026-05-20", "2026-05-10", "--from"),
        ("10/11", "", "--from"),
    ],
)
def test_a_period_that_cannot_be_is_refused(farm: Session, first: str, last: str, field: str) -> None:
    with pytest.raises(RefusedError) as refused:
        reports.report(farm, "kitchen", first, last)
    assert refused.value.problems[0].field == field


@pytest.mark.more
def test_a_long_log_is_told_from_its_first_day(tmp_path: Path) -> None:
    """Only the last 200 days of a log are kept worked out; a school year is longer."""
    farm = kitchen(tmp_path / "store", days=240)
    rounds.view(farm)
    again = open_farm(tmp_path / "store")
    view = reports.report(again, "kitchen", "2020-01-01")
    days = [each.on for each in view.charts[0].past]
    assert days == [view.first + timedelta(days=n) for n in range(241)]
    assert len(view.charts[0].readings) == view.squeezes


def test_words_of_keepers_cannot_break_out_of_the_page(tmp_path: Path) -> None:
    farm = open_farm(tmp_path / "store")
    evil = '"><script>alert(1)</script><img src=x onerror=y>&amp;'
    started = (NOW.date() - timedelta(days=9)).isoformat()
    starts.start(farm,
        BinDraft(
            key="evil", name=evil[:60], length="60 cm", width="40 cm", depth="30 cm", drainage="no", worms="500 g",
            started=started, keeper="<i>K",
        )
    )  # fmt: skip
    record_feeding(farm, "evil", ["300 g melon rind"], heading=Heading(by="<b>Ana", note=evil), anyway=True)
    write(farm, "evil", Kind.NOTE, {"words": "</td></table>‮\x1b[31mred </style>"})
    write(farm, "evil", Kind.CHECK, {"smell": "<u>sour", "squeeze": "sponge"}, Heading(note="a]]>b"))
    text = report_page(reports.report(farm, "evil"))
    page = Page(text)
    assert not {"script", "img", "i", "b", "u"} & set(page.tags)
    assert "<script" not in text
    assert not [char for char in text if char in "\x1b\x07‮" or (ord(char) < 32 and char != "\n")]
    assert "<script>alert(1)</script>" in page.text, "it is told, as words"


def test_a_bin_with_nothing_in_its_log_has_a_report_too(tmp_path: Path) -> None:
    files = tmp_path / "files"
    files.mkdir()
    (files / "bins.csv").write_text(
        "bin,name,length_cm,width_cm,depth_cm,started\nbare,Bare,60,40,30,2026-05-01\n", "utf-8"
    )
    farm = open_farm(tmp_path / "store")
    log_files.bring_in(farm, files)
    view = reports.report(farm, "bare")
    assert view.totals.lines == 0
    said = Page(report_page(view)).text
    assert "Nothing was written down in this period." in said
    assert "none is written down yet" in said


def test_us_measures_go_through_the_whole_page(tmp_path: Path) -> None:
    kitchen(tmp_path / "store")
    view = reports.report(open_farm(tmp_path / "store", units="us"), "kitchen")
    said = Page(report_page(view)).text
    assert "24 in x 16 in x 12 in" in said
    assert "°F" in said
    assert not re.search(r"\d (g|kg|cm|L|°C)\b", said.split("Take care")[0]), "no metric amount before the cautions"
    assert view.totals.fed_kg == pytest.approx(2.4), "figures stay SI"


def marks(text: str, code: str) -> list[float]:
    """The numbers at the value axis of a chart."""
    chart = next(each for each in re.findall(r"<svg.*?</svg>", text, re.DOTALL) if f'id="{code}-t"' in each)
    return [float(each) for each in re.findall(r'text-anchor="end">(-?[\d.]+)</text>', chart)]


def test_the_axes_are_in_the_keepers_unit(tmp_path: Path) -> None:
    """The same values, by the factors of NIST SP 811: 1.8 and 32 for degF, 0.45359237 kg a pound."""
    kitchen(tmp_path / "store")
    ends = {}
    for units in ("metric", "us"):
        view = reports.report(open_farm(tmp_path / "store", units=units), "kitchen")
        text = report_page(view)
        ends[units] = max(marks(text, "temp")), max(marks(text, "worms"))
    assert 20 <= ends["metric"][0] <= 30
    assert 20 * 1.8 + 32 <= ends["us"][0] <= 30 * 1.8 + 32
    kg, pounds = ends["metric"][1], ends["us"][1]
    assert pounds == pytest.approx(kg / 0.45359237, abs=0.6)


def test_the_look_ahead_goes_on_where_the_past_ends(farm: Session) -> None:
    text = report_page(reports.report(farm, "kitchen"))
    for past, ahead in zip(
        re.findall(r'<polyline points="([^"]*)" class="likely past"', text),
        re.findall(r'<polyline points="([^"]*)" class="likely ahead"', text),
        strict=True,
    ):
        assert past.split()[-1] == ahead.split()[0]


def test_an_emergency_stands_in_the_place_of_all_other_steps(farm: Session) -> None:
    view = reports.report(farm, "kitchen")
    look = replace(view.look, emergency=("lid off, now",), do_now=("feed it",))
    said = Page(report_page(replace(view, look=look))).text
    assert "What to do now → lid off, now" in said
    assert "→ feed it" not in said


def test_no_control_character_comes_through_whoever_let_it_in(farm: Session) -> None:
    view = reports.report(farm, "kitchen")
    look = replace(view.look, bin=replace(view.look.bin, name="a\x1b[31m\u202eb\nc\ud800"), headline="\x00\x9bz")
    text = report_page(replace(view, look=look))
    assert "a[31mb c\ufffd" in Page(text).text
    assert not [char for char in text if char in "\u202e\x9b" or (ord(char) < 32 and char != "\n")]
    text.encode("utf-8")


@pytest.fixture(scope="module")
def school(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """Two bins that are compared."""
    farm = kitchen(tmp_path_factory.mktemp("school") / "store")
    draft = BinDraft(
        key="attic", name="Attic", length="60 cm", width="40 cm", depth="30 cm", worms="500 g", started="2026-04-22"
    )
    starts.start(farm, draft)
    said = {"with": "attic", "question": "does up beat down?", "about": "worked", "until": "2026-07-01"}
    write(farm, "kitchen", Kind.COMPARISON, said, Heading(when="2026-04-23", by="Kay Lund"))
    return farm


def test_a_first_page_stands_alone(farm: Session) -> None:
    text = report_page(reports.report(farm, "kitchen"))
    first = Page(text.split('<section class="alone">')[1].split("</section>")[0])
    assert first.tags.count("svg") == 2
    for part in ("asked", "done fed 2.4 kg in 6 feedings", "found", "next"):
        assert part in first.text, part
    assert ".alone { break-after: page; }" in text


def test_a_comparison_is_told_first_and_each_bin_after_it(school: Session) -> None:
    view = [reports.report(school, each) for each in ("kitchen", "attic")]
    text = report_page(*view, compared=reports.compared(school, ("kitchen", "attic")))
    page = Page(text)
    first = Page(text.split('<section class="alone">')[1].split("</section>")[0])
    assert "<h1>does up beat down?</h1>" in text
    assert "Not yet" in first.text
    assert "One bin of each is one pair" in first.text
    assert first.tags.count("svg") == 4, "of both bins two of what can be said already"
    titles = re.findall("<figcaption>([^<]*: (?:Kitchen|Attic))</figcaption>", text)
    assert len(titles) == len(set(titles)), "no chart twice"
    assert len(page.ids) == len(set(page.ids))
    assert "Kitchen: What was put in" in page.text
    assert "Attic: What was put in" in page.text
    assert page.text.count("Take care") == 1


def test_children_are_named_as_the_school_wants_it_and_never_ranked(school: Session) -> None:
    view = reports.report(school, "kitchen")
    for names, told, untold in (
        (Names.FULL, "who wrote: Ana, B, Kay Lund", "Ana 6"), (Names.INITIALS, "who wrote: A., B., K.L.", "Kay"),
        (Names.NONE, "How the bin is set up", "who wrote"),
    ):  # fmt: skip
        said = Page(report_page(view, names=names)).text
        assert told in said
        assert untold not in said


def test_it_prints_on_a4_and_letter_and_reads_on_a_phone(farm: Session) -> None:
    """By its rules, as no browser is here: no fixed sheet, nothing torn, no line left alone, 320 px enough."""
    text = report_page(reports.report(farm, "kitchen"))
    style = " ".join(text.split("<style>")[1].split("</style>")[0].split())
    assert '<meta name="viewport" content="width=device-width, initial-scale=1">' in text
    (sheet,) = re.findall(r"@page \{([^}]*)\}", style)
    assert "margin" in sheet
    assert "size" not in sheet, "the printer's own sheet"
    rules = [(names.split(", "), rule) for names, rule in re.findall(r"([^{}]+?) ?\{ ?([^{}]*)\}", style)]
    said = {(name.strip(), part.strip()) for names, rule in rules for name in names for part in rule.split(";")}
    for name in ("tr", "p", "figure"):
        assert (name, "break-inside: avoid") in said, name
    for name in ("h2", "h3"):
        assert (name, "break-after: avoid") in said, name
    assert {("footer", "break-before: avoid"), ("li", "orphans: 3"), ("li", "widows: 3")} <= said
    assert ("svg", "width: 100%") in said
    assert "<svg width" not in text
    least, padding = (float(re.findall(each, style)[0]) for each in (r"minmax\((\d+)rem", r"padding: (\d+)rem"))
    assert (least + 2 * padding) * 16 <= 320
