"""The list of mutations does not rot: words that stand once, and tests."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROWS = tomllib.loads((ROOT / "tests/mutations/mutations.toml").read_text("utf-8"))["mutation"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["name"])
def test_each_can_be_made(row: dict[str, str]) -> None:
    assert (ROOT / row["file"]).read_text("utf-8").count(row["old"]) == 1
    assert row["new"] != row["old"]
    assert all((ROOT / test).exists() for test in row["tests"])


def test_each_has_a_name_of_its_own() -> None:
    assert len({row["name"] for row in ROWS}) == len(ROWS)
