"""The same job gives the same bytes wherever and however it is run."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "three-ply-pratt.toml"
PLACES = {
    "hash seed": {"PYTHONHASHSEED": "4711"},
    "no locale": {"LC_ALL": "C", "LANG": "C"},
    "other locale": {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"},
    "time zone": {"TZ": "Pacific/Kiritimati"},
    "narrow terminal": {"COLUMNS": "20", "TERM": "dumb"},
}


def schedule(job: Path, folder: Path, **env: str) -> bytes:
    folder.mkdir(exist_ok=True)
    return subprocess.run(
        [sys.executable, "-m", "girderply", "schedule", str(job), "--format", "json"],
        cwd=folder,
        env=os.environ | env,
        capture_output=True,
        check=True,
    ).stdout


@pytest.fixture(scope="module")
def usual(tmp_path_factory):
    return schedule(SAMPLE, tmp_path_factory.mktemp("usual"), PYTHONHASHSEED="0")


@pytest.mark.parametrize("place", PLACES)
def test_environment(usual, tmp_path, place):
    assert schedule(SAMPLE, tmp_path / "elsewhere", **PLACES[place]) == usual


def test_line_ends_and_byte_order_mark(usual, tmp_path):
    job = tmp_path / "job.toml"
    job.write_bytes(b"\xef\xbb\xbf" + SAMPLE.read_bytes().replace(b"\n", b"\r\n"))
    assert b"\r\n" in job.read_bytes()
    assert schedule(job, tmp_path) == usual
