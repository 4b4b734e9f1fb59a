"""What is handed on: the licence in both archives, all that the source's own tests read, and a program that runs."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BUILD = "import sys; from hatchling import build; build.build_sdist(sys.argv[1]); build.build_wheel(sys.argv[1])"


def fetched(*words: str) -> None:
    """What ``pip install`` does with these words; skipped where no package index can be reached."""
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check"]
    done = subprocess.run([*pip, *words], capture_output=True, text=True)
    if "NewConnectionError" in done.stderr or "NameResolutionError" in done.stderr:
        pytest.skip("no package index can be reached from here")
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the source archive and the wheel, made by what pyproject.toml names as the builder."""
    folder, builder = tmp_path_factory.mktemp("dist"), tmp_path_factory.mktemp("builder")
    needs = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["build-system"]["requires"]
    fetched("install", "-q", "--target", str(builder), *needs)
    build = [sys.executable, "-c", BUILD, str(folder)]
    subprocess.run(build, cwd=ROOT, env={**os.environ, "PYTHONPATH": str(builder)}, check=True, capture_output=True)
    return folder


@pytest.fixture(scope="module")
def wheel(built: Path) -> Path:
    return next(built.glob("*.whl"))


@pytest.fixture(scope="module")
def source(built: Path) -> set[str]:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        return {name.partition("/")[2] for name in archive.getnames()}


def test_both_archives_carry_the_licence(wheel: Path, source: set[str]) -> None:
    assert "wormbin/LICENSE" in source
    with zipfile.ZipFile(wheel) as archive:
        named = next(name for name in archive.namelist() if name.endswith(".dist-info/licenses/wormbin/LICENSE"))
        assert archive.read(named).startswith(b"MIT License\n")
        told = archive.read(f"{named.partition('/')[0]}/METADATA").decode()
    assert "License-Expression: MIT\nLicense-File: wormbin/LICENSE\n" in told


def test_the_source_archive_holds_what_its_tests_read(source: set[str]) -> None:
    folders = ("tests", "sample_logs", ".pictures", "wormbin")
    kept = {
        path.relative_to(ROOT).as_posix()
        for folder in folders
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and path.suffix != ".pyc" and "_cache" not in path.as_posix()
    }
    assert not (kept | {"README.md", "DEVELOPERS.md", "pyproject.toml"}) - source


@pytest.mark.more  # the main line of README, which each whole run goes through, does the same
def test_the_wheel_runs_in_an_environment_with_nothing_else(wheel: Path, tmp_path: Path) -> None:
    """Installed with only what it asks for, away from the source, it prints the round of the demo."""
    clean = tmp_path / "clean"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(clean)], check=True)
    scripts = clean / ("Scripts" if os.name == "nt" else "bin")
    python = next(scripts.glob("python*"))
    fetched("--python", str(python), "install", "-q", str(wheel))
    plain = {name: said for name, said in os.environ.items() if name not in ("PYTHONPATH", "WORMBIN_STORE")}
    said = subprocess.run(
        [str(next(scripts.glob("wormbin*"))), "demo", "seller"], stdin=subprocess.DEVNULL, capture_output=True,
        text=True, encoding="utf-8", cwd=tmp_path, env={**plain, "HOME": str(tmp_path), "PYTHONUTF8": "1"},
    )  # fmt: skip
    assert (said.returncode, said.stderr) == (0, "")
    assert "8 bins" in said.stdout.splitlines()[0]
