from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import chromium
from desk_server import Served, served
from playwright.sync_api import Browser

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One for a file: while it is open, no other test of the process can run an event loop."""
    with chromium() as found:
        yield found


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """A desk's folder with nothing in it."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    return folder


@pytest.fixture
def empty_desk(jobs: Path) -> Iterator[Served]:
    with served(jobs) as found:
        yield found


@pytest.fixture
def howe_jobs(jobs: Path) -> Path:
    """A desk's folder with the two-ply sample in it, as g1.toml."""
    shutil.copy(SAMPLES / "two-ply-howe.toml", jobs / "g1.toml")
    return jobs


@pytest.fixture
def desk(howe_jobs: Path) -> Iterator[Served]:
    with served(howe_jobs) as found:
        yield found
