"""What users install: the wheel and an editable checkout both make a pack from elsewhere.

The wheel goes into an empty venv. The libraries it needs come from the running Python by a path
file, the package itself must not: the test asks where it was imported from.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import tomllib
import venv
import zipfile
from pathlib import Path

import pytest

import girderply

CHECKOUT = Path(girderply.__file__).parents[1]
PARTS = ("pyproject.toml", "README.md", "girderply", "templates", "sample_jobs")
SAMPLE = CHECKOUT / "sample_jobs" / "two-ply-howe.toml"


def run(*command: object, cwd: Path, code: int = 0) -> str:
    env = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")}
    result = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env=env | {"PIP_DISABLE_PIP_VERSION_CHECK": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == code, result.stdout + result.stderr
    return result.stdout


@pytest.fixture(scope="module")
def source(tmp_path_factory) -> Path:
    """A copy of what is needed to build, so that the checkout stays clean."""
    copy = tmp_path_factory.mktemp("source")
    for part in PARTS:
        if (CHECKOUT / part).is_dir():
            ignore = shutil.ignore_patterns("__pycache__", "*.pyc")
            shutil.copytree(CHECKOUT / part, copy / part, ignore=ignore)
        else:
            shutil.copy(CHECKOUT / part, copy / part)
    return copy


@pytest.fixture(scope="module")
def built(source, tmp_path_factory) -> dict[str, Path]:
    """The sdist, and the wheel that is built from the sdist alone."""
    out = tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", out, source, cwd=out)
    return {"wheel": next(out.glob("*.whl")), "sdist": next(out.glob("*.tar.gz"))}


def empty_venv(folder: Path) -> Path:
    """A venv without pip that sees the libraries of the running Python; returns its bin."""
    venv.create(folder, with_pip=False, symlinks=True)
    scripts = folder / ("Scripts" if os.name == "nt" else "bin")
    python = scripts / "python"
    code = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = Path(run(python, "-c", code, cwd=folder).strip())
    (site / "libraries.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return scripts


def install(scripts: Path, *what: object) -> None:
    python = scripts / "python"
    pip = (sys.executable, "-m", "pip", "--python", python, "install", "-q", "--no-deps")
    run(*pip, "--no-build-isolation", "--no-index", *what, cwd=scripts)


def pack_outside(scripts: Path, folder: Path, home: Path) -> None:
    """Make a pack in `folder` and see that it is the package below `home` that made it."""
    code = "import girderply, girderply.templates as t; print(girderply.__file__, t.__file__)"
    places = run(scripts / "python", "-c", code, cwd=folder).split()
    assert all(Path(place).resolve().is_relative_to(home.resolve()) for place in places)
    shutil.copy(SAMPLE, folder / "job.toml")
    made = Path(run(scripts / "girderply", "pack", "job.toml", "--out", "out", cwd=folder).strip())
    names = {p.name for p in (folder / made).iterdir()}
    assert {"yard.pdf", "schedule.json", "schedule.csv", "order.csv", "drawings"} <= names
    assert (folder / made / "yard.pdf").read_bytes().startswith(b"%PDF-")


def data_files() -> set[str]:
    """Every file of the package on disk that is not code, as the wheel should name it."""
    homes = {"girderply": CHECKOUT / "girderply", "girderply/templates": CHECKOUT / "templates"}
    samples = {f"girderply/samples/{p.name}" for p in (CHECKOUT / "sample_jobs").glob("*.toml")}
    return samples | {
        f"{name}/{path.relative_to(home).as_posix()}"
        for name, home in homes.items()
        for path in home.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_list_of_packages_is_that_on_disk():
    listed = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())["tool"]["setuptools"]
    folders = {p.parent for p in (CHECKOUT / "girderply").rglob("__init__.py")}
    found = {".".join(p.relative_to(CHECKOUT).parts) for p in folders} | {"girderply.templates"}
    assert set(listed["packages"]) == found | {"girderply.samples"}


def test_wheel_holds_every_file_and_nothing_else(built):
    names = zipfile.ZipFile(built["wheel"]).namelist()
    inside = {n for n in names if not n.split("/")[0].endswith(".dist-info")}
    assert inside == data_files()


def test_sdist_holds_the_templates(built):
    with tarfile.open(built["sdist"]) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    expected = {
        f"templates/{p.relative_to(CHECKOUT / 'templates').as_posix()}"
        for p in (CHECKOUT / "templates").rglob("*")
        if p.is_file() and p.suffix != ".pyc"
    }
    assert expected <= names


def test_wheel_in_an_empty_venv_makes_a_pack(built, tmp_path):
    scripts = empty_venv(tmp_path / "venv")
    install(scripts, built["wheel"])
    (tmp_path / "work").mkdir()
    pack_outside(scripts, tmp_path / "work", tmp_path / "venv")


def test_editable_install_makes_a_pack(source, tmp_path):
    scripts = empty_venv(tmp_path / "venv")
    install(scripts, "-e", source)
    (tmp_path / "work").mkdir()
    pack_outside(scripts, tmp_path / "work", source)
