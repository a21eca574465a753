"""What is said to people: words, tips, and no text that steers the terminal."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from girderply.cli.talk import clean, say_fault, say_findings
from girderply.errors import (
    CatalogueError,
    Finding,
    GirderplyError,
    JobError,
    OutputError,
    Severity,
)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("\x1b[31mred\x1b[0m", "[31mred[0m"),
        ("a\r\nb\tc", "a  b c"),
        ("\x9b2Jx", "2Jx"),
        ("abc\u202egnp", "abcgnp"),
        ("Größe 38\u00a0mm ½", "Größe 38\u00a0mm ½"),
    ],
    ids=["escape", "lines", "C1", "right to left", "plain"],
)
def test_clean(text, expected):
    assert clean(text) == expected


@given(st.text())
def test_clean_text_cannot_break_its_line_or_steer(text):
    kept = clean(text)
    assert not any(ord(c) < 32 or 0x7F <= ord(c) < 0xA0 for c in kept)
    assert len(kept.splitlines()) <= 1


FINDINGS = (
    Finding("b", Severity.NOTE, "W3", "Gap of 320 mm."),
    Finding("a", Severity.ERROR, "girder.plies", "7 is more than 6.", "8.3.1", "Use 2 to 6."),
)


def test_errors_come_first_with_clause_and_tip(capsys):
    say_findings(FINDINGS)
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.splitlines() == [
        "ERROR   girder.plies: 7 is more than 6. [8.3.1]",
        "  TIP   Use 2 to 6.",
        "NOTE    W3: Gap of 320 mm.",
    ]


@pytest.mark.parametrize(
    ("fault", "line", "tip"),
    [
        (CatalogueError("no nail 4 x 99"), "no nail 4 x 99", "catalogue"),
        (OutputError("cannot write x: full"), "cannot write x: full", "--out"),
        (FileNotFoundError(2, "No such file", "a.toml"), "a.toml: No such file", ""),
        (GirderplyError("odd"), "odd", ""),
        (JobError(FINDINGS[1:]), "girder.plies: 7 is more than 6. [8.3.1]", "Use 2 to 6."),
    ],
    ids=lambda v: type(v).__name__ if isinstance(v, Exception) else None,
)
def test_a_fault_is_one_line_and_a_tip(capsys, fault, line, tip):
    say_fault(fault)
    said = capsys.readouterr().err.splitlines()
    assert said[0] == f"ERROR   {line}"
    assert len(said) == 1 + bool(tip)
    assert tip in said[-1]


@pytest.mark.skipif(os.name == "nt", reason="pipes of this kind are POSIX")
def test_a_reader_that_leaves_is_no_fault():
    """Far more than the 64 KiB a pipe holds, read by nobody."""
    code = "from girderply.cli.talk import product\nfor _ in range(9):\n    product('x' * 99_999)\n"
    process = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()
    assert (process.wait(), said) == (0, b"")
