"""girderply decide: what a person decided, as a record that follows the others."""

from __future__ import annotations

import json

import pytest
from command import girderply
from inspection_records import SAMPLES, record_data, sample

JOB = SAMPLES / "two-ply-howe.toml"
WHO = ("--name", "B. Engineer", "--on", "2026-11-26", "--text", "sound knot of 20 mm")


@pytest.fixture(scope="module")
def howe():
    return sample("two-ply-howe")


@pytest.fixture
def write(tmp_path):
    def written(data, name="one.json"):
        path = tmp_path / name
        path.write_text(json.dumps(data, ensure_ascii=False), "utf-8")
        return path

    return written


def keys_of(capsys, *records):
    ran = girderply(capsys, "decide", JOB, *records)
    assert ran.code == 0
    return [line.split(" ", 1)[0] for line in ran.out.splitlines()]


def test_a_note_is_decided_and_the_girder_is_accepted(capsys, tmp_path, howe, write):
    first = write(record_data(howe, note="a knot in ply 2"))
    (key,) = keys_of(capsys, first)
    out = tmp_path / "decided.json"
    ran = girderply(capsys, "decide", JOB, first, "--about", key, *WHO, "--out", out)
    assert (ran.code, "ACCEPTED" in ran.err) == (0, True)
    assert girderply(capsys, "inspect", JOB, out, "--before", first).code == 0
    assert keys_of(capsys, out, first) == []
    assert girderply(capsys, "decide", JOB, first, "--about", key, *WHO, "--out", out).code == 2


def test_what_is_the_engineers_nobody_else_decides(capsys, howe, write):
    first = write(record_data(howe, plies={"gap_mm": 5.0, "alignment_mm": 0.0}))
    key = next(k for k in keys_of(capsys, first))
    ran = girderply(capsys, "decide", JOB, first, "--about", key, *WHO)
    assert (ran.code, "for the engineer" in ran.err) == (2, True)
    ran = girderply(capsys, "decide", JOB, first, "--about", key, "--as", "engineer", *WHO)
    made = json.loads(ran.out)
    assert [d["kind"] for d in made["decisions"]] == ["engineer"]
    assert made["previous"] is not None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--about", "12345678", *WHO), "no open question"),
        (("--about", "12345678", *WHO[:2], "--on", "soon", *WHO[4:]), "no date"),
        (("--about", "12345678", *WHO[2:]), "--name"),
    ],
)
def test_what_cannot_be_is_said(capsys, howe, write, words, said):
    ran = girderply(capsys, "decide", JOB, write(record_data(howe)), *words)
    assert ran.code == 2
    assert said in " ".join(ran.err.split())


def test_the_certificate_names_who_looked_not_who_decided(capsys, tmp_path, howe, write):
    first = write(record_data(howe, note="a knot in ply 2", inspector="L. Looker"))
    (key,) = keys_of(capsys, first)
    out = tmp_path / "decided.json"
    girderply(capsys, "decide", JOB, first, "--about", key, *WHO, "--out", out)
    assert girderply(capsys, "accept", JOB, out, first, "--out", tmp_path).code == 0
    from pypdf import PdfReader

    (made,) = tmp_path.glob("*.pdf")
    page = " ".join(PdfReader(made).pages[0].extract_text().split())
    assert "L. Looker looked at everything" in page
