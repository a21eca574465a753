"""`girderply schedule --format xlsx` and `dxf`: whole files, never bytes on a terminal."""

from __future__ import annotations

import pytest
from command import girderply
from supplier import SAMPLES, sample

from girderply.exchange.dxf_out import dxf_bytes
from girderply.exchange.xlsx_out import xlsx_bytes


@pytest.mark.parametrize("form", ["xlsx", "dxf"])
@pytest.mark.parametrize(("stem", "code"), [("two-ply-howe", 0), ("refused-shallow", 1)])
def test_a_file_of_one_girder(capsys, tmp_path, form, stem, code):
    target = tmp_path / f"girder.{form}"
    ran = girderply(capsys, "schedule", SAMPLES / f"{stem}.toml", "--format", form, "--out", target)
    assert (ran.code, ran.out) == (code, "")
    made = xlsx_bytes([sample(stem)]) if form == "xlsx" else dxf_bytes(sample(stem))
    assert target.read_bytes() == made
    assert "Do not lift the girder" in ran.err


@pytest.mark.parametrize("form", ["xlsx", "dxf"])
def test_without_a_file_it_says_what_to_do(capsys, form):
    ran = girderply(capsys, "schedule", SAMPLES / "two-ply-howe.toml", "--format", form)
    assert (ran.code, ran.out) == (2, "")
    assert "--out" in ran.err
    assert "Traceback" not in ran.err
