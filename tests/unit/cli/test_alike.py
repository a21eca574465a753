"""Findings that differ in their place alone are one line for a person to read."""

from girderply.cli.talk import say_findings
from girderply.errors import Finding, Severity, alike_as_one


def finding(where, severity=Severity.NOTE, message="375 mm without a nail"):
    return Finding("end-gap", severity, where, message)


def test_notes_of_several_members_are_one_line(capsys):
    say_findings([finding("W2"), finding("BC1", message="other"), finding("W8")])
    assert capsys.readouterr().err.splitlines() == [
        "NOTE    W2, W8: 375 mm without a nail",
        "NOTE    BC1: other",
    ]


def test_errors_and_other_severities_stay_apart():
    given = [finding(w, s) for s in (Severity.ERROR, Severity.WARNING) for w in ("W2", "W8")]
    assert [f.where for f in alike_as_one(given)][:2] == ["W2", "W8"]
    assert len(alike_as_one(given)) == 3
    assert alike_as_one([finding("W2"), finding("W2")]) == [finding("W2")]
