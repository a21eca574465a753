"""Small matrices, many processes: threads of the linear algebra would only get in the way."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from made_once import ANEW, MadeOnce, shared


@pytest.fixture(scope="session", autouse=True)
def made_once() -> Iterator[MadeOnce]:
    """What is decided and packed for a job, shared by the tests of a process."""
    with shared() as stand_in:
        yield stand_in


@pytest.fixture(autouse=True)
def _anew(request: pytest.FixtureRequest, made_once: MadeOnce) -> Iterator[None]:
    made_once.shares = not any(name in request.fixturenames for name in ANEW)
    yield
    made_once.shares = True


@pytest.fixture
def made_anew() -> None:
    """For a test that is about making the same again: nothing is taken from an earlier one."""
