"""How the command line behaves among other programs: streams, pipes, colour, exit codes, what it imports."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import NOW
from wormbin.cli.output import Output, wants_colour

ROOT = Path(__file__).resolve().parents[2]
DAY = ("--on", "2026-06-01")
"""The made-up farm's day; on another the bin would be worked out up to it."""


def wormbin(*words: str, store: Path, **environ: str) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(store), "PYTHONWARNINGS": "error", **environ}
    return subprocess.run(
        [sys.executable, "-m", "wormbin", *words], env=env, capture_output=True, text=True, encoding="utf-8",
        timeout=120, check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip


def loaded(code: str) -> set[str]:
    script = f"import sys; {code}; print(*sorted(sys.modules))"
    ran = subprocess.run(
        [sys.executable, "-c", script], env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, text=True,
        timeout=60, check=True,
    )  # fmt: skip
    return set(ran.stdout.splitlines()[-1].split())


@pytest.mark.parametrize("module", ["wormbin.cli.program", "wormbin.farm.session", "wormbin.exchange.folders"])
def test_nothing_but_the_screens_loads_textual(module: str) -> None:
    assert not {name for name in loaded(f"import {module}") if name.split(".")[0] == "textual"}


def test_help_loads_neither_store_nor_model_nor_screens() -> None:
    code = "from wormbin.cli.program import main; main(['--help'])"
    heavy = {"tinydb", "rich", "textual", "platformdirs", "dateutil", "wormbin.process", "wormbin.farm.session"}
    assert not heavy & loaded(code)


def test_a_reader_that_has_seen_enough_is_no_error(store: Path) -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(store)}
    command = f"{sys.executable} -m wormbin materials | head -1; echo ${{PIPESTATUS[0]}}"
    ran = subprocess.run(["bash", "-c", command], env=env, capture_output=True, text=True, timeout=60, check=True)
    assert ran.stderr == ""
    assert ran.stdout.splitlines()[-1] == "0"


def test_without_a_terminal_the_round_is_printed(store: Path) -> None:
    ran = wormbin(*DAY, store=store)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "Kitchen (kitchen)" in ran.stdout
    assert "\x1b" not in ran.stdout


def test_forced_colour_is_given_and_no_colour_is_stronger(store: Path) -> None:
    assert "\x1b[" in wormbin("round", *DAY, store=store, FORCE_COLOR="1").stdout
    assert "\x1b[" not in wormbin("round", *DAY, store=store, FORCE_COLOR="1", NO_COLOR="1").stdout


@pytest.mark.parametrize(
    ("environ", "wanted"),
    [
        ({}, False),
        ({"FORCE_COLOR": "1"}, True),
        ({"FORCE_COLOR": "0"}, False),
        ({"NO_COLOR": "1", "FORCE_COLOR": "1"}, False),
    ],
)
def test_colour_follows_the_environment(environ: dict[str, str], wanted: bool) -> None:
    import io

    assert wants_colour(io.StringIO(), environ) is wanted


@pytest.mark.parametrize("path", ["a file", "a damaged store"])
def test_a_store_that_cannot_be_used_ends_with_3_and_names_the_place(tmp_path: Path, path: str) -> None:
    folder = tmp_path / "store"
    if path == "a file":
        folder.write_text("not a folder")
    else:
        folder.mkdir()
        (folder / "farm.json").write_text("{ torn")
    ran = run(folder, "round")
    assert ran.code == 3
    assert str(folder) in ran.err
    assert ran.out == ""
    assert "Traceback" not in ran.err


def test_an_empty_store_says_how_to_begin_and_is_not_made(tmp_path: Path) -> None:
    ran = run(tmp_path / "store", "round")
    assert (ran.code, ran.err) == (0, "")
    assert "wormbin start" in ran.out
    assert not (tmp_path / "store").exists()


def test_ctrl_c_is_130(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from wormbin.farm import rounds

    def stopped(*_args: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(rounds, "view", stopped)
    assert run(store, "round").code == 130


def test_json_is_one_document_by_the_agreed_names(store: Path) -> None:
    round_ = json.loads(run(store, "round", "--json").out)
    assert set(round_["bins"][0]) >= {
        "bin", "level", "findings", "feed_up_to_kg", "next_feeding", "next_check", "harvest",
    }  # fmt: skip
    for finding in round_["bins"][0]["findings"]:
        assert set(finding) >= {"code", "level", "what", "why", "do", "sure"}
    mix = json.loads(run(store, "mix", "1 kg kale", "100 g newspaper", "--json").out)
    assert set(mix) >= {
        "wet_kg", "dry_kg", "water_kg", "moisture", "carbon_kg", "nitrogen_kg", "cn", "bulk_density_kg_m3",
        "free_air_space", "added", "findings",
    }  # fmt: skip
    outlook = json.loads(run(store, "outlook", "kitchen", "--days", "5", "--json").out)
    trial = json.loads(run(store, "trial", "--area", "0.1", "--start", "1 kg kale", "--days", "3", "--json").out)
    for document in (outlook, trial):
        assert set(document) >= {"state", "series", "learned", "harvest"}
        assert set(document["harvest"]) >= {"earliest", "likely", "latest", "method"}
        assert set(document["learned"]) >= {"rate", "drying"}
        assert set(document["series"][0]) >= {
            "date", "day", "moisture", "feed_waiting_kg", "castings_dry_kg", "dry_kg", "total_kg", "worms_kg",
            "processed_kg_day", "free_air_space", "cn",
        }  # fmt: skip
        assert set(document["series"][0]["moisture"]) == {"p10", "p50", "p90"}
    harvests = json.loads(run(store, "harvests", "--json").out)
    assert set(harvests["harvests"][0]) >= {"bin", "earliest", "likely", "latest", "method", "steps"}


def test_a_bed_of_which_nothing_was_written_for_months_is_told_widely(store: Path) -> None:
    box = ("--length", "60cm", "--width", "40cm", "--depth", "30cm")
    assert run(store, "start", "attic", *box, "--worms", "400 g", "--yes").code == 0
    told = json.loads(run(store, "outlook", "attic", "--json", now=NOW + timedelta(days=240)).out)["state"]
    assert told["moisture"]["p10"] < 0.3
    assert told["moisture"]["p90"] > 0.75
    assert told["worms_kg"]["p10"] < 0.05
    assert told["worms_kg"]["p90"] > 0.4


def test_no_line_is_wider_than_the_page(store: Path) -> None:
    away = ("away", "kitchen", "--from", "saturday", "--until", "2026-06-20")
    commands: tuple[tuple[str, ...], ...] = (("round",), ("log", "kitchen"), ("harvests",), ("sheet", "kitchen"), away)
    for words in commands:
        lines = run(store, *words).out.splitlines()
        assert max(map(len, lines)) <= 80, words


HOSTILE = ["[b]x[/b]", "a\x1b[31mred\x07", "n" * 200, "🪱🪱🪱", "שלום", "=cmd()", "a\nb\tc", "%s{0}"]


def test_hostile_text_is_only_text(store: Path) -> None:
    size = ("--length", "60cm", "--width", "40cm", "--depth", "30cm", "--yes")
    for at, text in enumerate(HOSTILE):
        assert run(store, "note", "kitchen", text, "--by", text[:30]).code == 0
        assert run(store, "start", f"other-{at}", "--name", text, *size).code == 0
    for words in (("round",), ("log", "kitchen"), ("sheet", "other-1"), ("outlook", "other-1"), ("harvests",)):
        ran = run(store, *words)
        assert ran.code == 0, ran.err
        assert "\x1b" not in ran.out
        assert "\x07" not in ran.out


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_words_are_refused_as_words(store: Path, text: str) -> None:
    refused: tuple[tuple[str, ...], ...] = (
        ("note", f"{text}!", "x"),
        ("feed", "kitchen", text),
        ("check", "kitchen", "--temp", text),
        ("settings", text, text),
    )
    for said in refused:
        ran = run(store, *said)
        assert ran.code == 2
        assert "\x1b" not in ran.err
        assert "Traceback" not in ran.err


def test_a_wrong_line_is_put_right_and_what_is_not_said_again_stays(store: Path) -> None:
    run(store, "check", "kitchen", "--squeeze", "damp", "--temp", "21C", "--note", "first")
    wrong = run(store, "log", "kitchen", "--last", "1").out.rsplit("#", 1)[-1].strip()
    ran = run(store, "amend", wrong[:6], "--temp", "23C")
    assert ran.code == 0, ran.err
    both = json.loads(run(store, "log", "kitchen", "--last", "2", "--json").out)["entries"]
    log = sorted(both, key=lambda line: line["replaces"] is not None)
    assert (log[0]["words"], log[0]["replaced"]) == ("squeeze damp, 21 °C", log[1]["entry"])
    assert (log[1]["words"], log[1]["note"], log[1]["replaces"]) == ("squeeze damp, 23 °C", "first", wrong)
    assert log[0]["when"] == log[1]["when"]


def test_a_feeding_is_put_right_by_saying_it_again(store: Path) -> None:
    run(store, "feed", "kitchen", "100 g kale", "--yes")
    wrong = run(store, "log", "kitchen", "--last", "1").out.rsplit("#", 1)[-1].strip()
    assert run(store, "amend", wrong, "50 g kale", "--json").code == 0
    assert "50 g kale" in run(store, "log", "kitchen", "--last", "1").out.lower()
    assert run(store, "undo").code == 0
    assert "100 g kale" in run(store, "log", "kitchen", "--last", "1").out.lower()


def test_an_import_lists_every_bad_row_and_writes_nothing(store: Path, tmp_path: Path) -> None:
    good, bad = "2026-05-01,kitchen,watering,1,L\n", "7/8/2026,kitchen,watering,1,L\n2026-05-01,x,fluff,,\n"
    rows = "when,bin,kind,amount,unit\n" + good + bad
    (tmp_path / "log.csv").write_text(rows)
    before = run(store, "log", "kitchen", "--last", "0").out
    ran = run(store, "import", str(tmp_path))
    assert (ran.code, ran.out) == (2, "")
    assert "log.csv line 3, column when" in ran.err
    assert "log.csv line 4, column bin" in ran.err
    assert run(store, "log", "kitchen", "--last", "0").out == before


def test_export_and_import_are_one_round(store: Path, tmp_path: Path) -> None:
    assert run(store, "export", str(tmp_path / "files")).code == 0
    assert run(tmp_path / "other", "import", str(tmp_path / "files")).code == 0
    assert run(tmp_path / "other", "log", "kitchen", "--json").out == run(store, "log", "kitchen", "--json").out


def test_no_command_opens_a_connection_or_runs_another_program_or_code_from_a_file(store: Path, tmp_path: Path) -> None:
    """The interpreter itself tells of every such act; the machine's own zone files and modules are all that is read."""
    code = f"""
import sys
told = []
def hook(event, args):
    if event.startswith(("socket.connect", "socket.bind", "socket.getaddrinfo", "subprocess.", "os.system", "os.exec",
                         "os.posix_spawn", "pickle.", "urllib.", "http.", "ftplib.", "smtplib.", "webbrowser.")):
        told.append(event)
    if event == "compile" and isinstance(args[1], (str, bytes)) and {str(store)!r} in str(args[1]):
        told.append("compile " + str(args[1]))
sys.addaudithook(hook)
from wormbin.cli.program import main
out, page = {str(tmp_path / "out")!r}, {str(tmp_path / "a.ics")!r}
day = ["--on", "2026-06-01"]
for words in (["round", *day], ["outlook", "kitchen", *day],
              ["feed", "kitchen", "100 g kale", "--yes", "--when", day[1]],
              ["export", out], ["import", out], ["store", "check"], ["store", "backup"], ["sheet", "kitchen", *day],
              ["calendar", "--out", page, *day], ["materials"],
              ["away", "kitchen", "--from", "2026-06-03", "--until", "2026-06-12", *day], ["undo"]):
    code = main(words)
    assert code == 0, (words, code)
print("told", told)
"""
    env = {**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(store)}
    ran = subprocess.run(
        [sys.executable, "-c", code], env=env, capture_output=True, text=True, timeout=120, check=False
    )
    assert ran.stdout.splitlines()[-1:] == ["told []"], ran.stderr[-600:]


@pytest.mark.parametrize("words", [("calendar", "--out"), ("export",)], ids=lambda words: words[0])
@pytest.mark.parametrize("place", ["nowhere/a", "taken", "file/a", "n" * 300, "loop"])
def test_a_place_that_cannot_be_written_to_is_told_in_a_sentence(
    store: Path, tmp_path: Path, place: str, words: tuple[str, ...]
) -> None:
    (tmp_path / "taken").mkdir()
    (tmp_path / "taken" / "log.csv").mkdir()
    (tmp_path / "file").write_text("kept")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    ran = run(store, *words, str(tmp_path / place))
    if (words, place) == (("export",), "nowhere/a"):
        assert (ran.code, ran.err) == (0, ""), "export makes its folder"
        return
    assert (ran.code, ran.out) == (3, "")
    assert str(tmp_path / place) in ran.err
    assert "Choose another, or look at it." in ran.err
    assert "Errno" not in ran.err
    assert len(ran.err.splitlines()) == 2
    assert (tmp_path / "file").read_text() == "kept"
    assert not list(tmp_path.glob("*.part"))


@pytest.mark.parametrize("place", ["missing", "a file", "loop", "n" * 300, "no\0name"])
@pytest.mark.parametrize(
    "words", [("import",), ("store", "restore"), ("store", "merge"), ("store", "check", "--accept")], ids="-".join
)
def test_a_place_that_cannot_be_read_is_told_in_a_sentence(
    store: Path, tmp_path: Path, place: str, words: tuple[str, ...]
) -> None:
    (tmp_path / "a file").write_text("kept")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    ran = run(store, *words, str(tmp_path / place))
    assert ran.code in (2, 3)
    assert ran.out == ""
    assert ran.err.startswith("wormbin: ")
    assert "Errno" not in ran.err


@pytest.mark.parametrize("place", ["a file", "loop", "n" * 300, "no\0name", "a file/below"])
@pytest.mark.parametrize("words", [("round",), ("note", "kitchen", "x"), ("store", "check"), ("store", "backup")])
def test_a_store_at_a_place_that_cannot_be_is_told_in_a_sentence(
    tmp_path: Path, place: str, words: tuple[str, ...]
) -> None:
    (tmp_path / "a file").write_text("kept")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    ran = run(tmp_path, *words, "--store", str(tmp_path / place))
    assert ran.code in (2, 3)
    assert ran.out == ""
    assert ran.err.startswith("wormbin: ")
    assert "Errno" not in ran.err
    assert (tmp_path / "a file").read_text() == "kept"


def test_the_paper_takes_a_terminal_that_knows_few_letters() -> None:
    import io

    raw = io.BytesIO()
    paper = Output(stream=io.TextIOWrapper(raw, encoding="ascii"))
    paper.lines(["ü ●"])
    paper.close()
    assert raw.getvalue() == b"u @\n"


@pytest.mark.parametrize("words", [("round",), ("outlook", "kitchen"), ("round", "--json"), ("calendar", "--out", "-")])
def test_a_terminal_without_unicode_is_written_to_in_ascii(store: Path, words: tuple[str, ...]) -> None:
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}
    ran = wormbin(*words, "--on", "2026-06-01", store=store, **plain)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout
    if words[0] != "calendar":  # which is a file of its own, and those are UTF-8
        assert ran.stdout.isascii()
        assert "???" not in ran.stdout
    if "--json" in words:
        json.loads(ran.stdout)


def test_what_is_wrong_is_told_in_ascii_where_nothing_else_can_be_written(store: Path) -> None:
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}
    ran = wormbin("check", "kitchen", "--temp", "21", store=store, **plain)
    assert ran.returncode == 2
    assert ran.stderr.startswith("wormbin: temperature: 21 what? Write 21 deg C or 21 deg F")


def test_a_closed_standard_output_is_no_fault(store: Path) -> None:
    script = f'exec "{sys.executable}" -m wormbin round --on 2026-06-01 >&-'
    env = {**os.environ, "PYTHONPATH": str(ROOT), "WORMBIN_STORE": str(store)}
    ran = subprocess.run(["sh", "-c", script], env=env, capture_output=True, text=True, timeout=120, check=False)
    assert (ran.returncode, ran.stderr) == (0, "")


def test_columns_that_are_said_are_kept_to(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for said, width in (("50", 50), ("9", 40), ("500", 120), ("", 80), ("many", 80)):
        monkeypatch.setenv("COLUMNS", said)
        assert Output().width == width
    monkeypatch.setenv("COLUMNS", "44")
    for words in (
        ("log", "kitchen"), ("harvests",), ("away", "kitchen", "--from", "2026-06-03", "--for", "9 days"),
        ("feed", "kitchen", "300 g kale", "--try", "--explain"), ("mix", "1 kg kale", "1 kg straw"),
        ("outlook", "kitchen", "--explain", "moisture"),
    ):  # fmt: skip
        ran = run(store, *words)
        assert ran.code == 0, ran.err
        assert max(map(len, ran.out.splitlines())) <= 52, words  # a number and its unit, a date and a bin stay together


def test_a_calendar_to_standard_output_is_one_document_when_json_is_asked_for(store: Path) -> None:
    said = json.loads(run(store, "calendar", "--out", "-", "--json").out)
    assert said["calendar"].startswith("BEGIN:VCALENDAR")
    assert said["calendar"].count("BEGIN:VEVENT") == said["events"]


def test_the_demo_prints_its_round_on_the_logs_last_day(store: Path) -> None:
    ran = run(store, "demo", "apartment")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("Round on ")
    assert "(kitchen)" in ran.out
