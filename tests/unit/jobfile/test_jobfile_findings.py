"""Every fault is named by key path, value, what is allowed and the nearest right word."""

from __future__ import annotations

import re

import pytest
from job_lines import BASE, MEMBERS, findings_of, spoilt
from pydantic import ValidationError

from girderply.jobfile.findings import from_pydantic
from girderply.jobfile.job_form import JobFile
from girderply.jobfile.paths import key_path
from girderply.wording import english


def test_the_right_jobs_have_no_findings():
    assert findings_of(BASE) == ()
    assert findings_of(MEMBERS) == ()


VALUES = [
    ('"9.6 m"', '"-9.6 m"', "girder.shape.span", "out of range.*more than 0.*60.000.mm"),
    ('"9.6 m"', "nan", "girder.shape.span", "nan is not a finite number.*such as"),
    ('"9.6 m"', "inf", "girder.shape.span", "inf is not a finite number"),
    ('"9.6 m"', "0", "girder.shape.span", "0 mm is out of range"),
    ('"9.6 m"', '"9.6 kN"', "girder.shape.span", "is a force, not a length"),
    ('"9.6 m"', "[9600]", "girder.shape.span", "a list of 1 is no quantity"),
    ('"22.5 deg"', '"88 deg"', "girder.shape.pitch", "at least 2.0° and at most 75.0°"),
    ('ply_thickness = "38 mm"', "ply_thickness = 5e-324", "girder.ply_thickness", "at least 10.mm"),
    ("plies = 3", "plies = 1", "girder.plies", "1 must be at least 2"),
    ("plies = 3", "plies = 7", "girder.plies", "7 must be at most 6"),
    ("plies = 3", "plies = true", "girder.plies", "a whole number without quotes"),
    ("plies = 3", 'plies = "3"', "girder.plies", '"3" is not allowed here; a whole number'),
    ("plies = 3", "plies = 2.5", "girder.plies", "whole number"),
    ('"T-7"', "7", "job.number", "7 is not allowed here; text in quotes"),
    ('"T-7"', '"  "', "job.number", "is empty"),
    ('"T-7"', '"T\\u0007"', "job.number", r"character 2 .*U\+0007.*cannot be printed"),
    ('"T-7"', '"T\\u202e7"', "job.number", r"U\+202E"),
    ('"Test girder"', '"' + "x" * 201 + '"', "job.title", "too long; at most 200"),
    ("2026-05-04", '"4.5.2026"', "job.date", "is no date; write year-month-day"),
    ("2026-05-04", '"2026-02-30"', "job.date", "is no date"),
    ("2026-05-04", "2026-05-04T10:00:00", "job.date", "is no date"),
    ('id = "F"', 'id = "../F"', "loads[1].id", "cannot be spoken as a name"),
    ("permanent = 1.1", 'permanent = "-1 kN"', "loads[1].permanent", "force of at least 0"),
    ('width = "90 mm"', 'width = "9000 mm"', "loads[2].bracket.width", "at most 3.000.mm"),
    ("along = 20", 'along = "x"', "loads[2].bracket.bolts[1].along", "is not a length"),
    ("service_class = 2", "service_class = 4", "basis.service_class", "at most 3"),
    ("[fastening]", "[fastening]\norder_allowance = nan", "fastening.order_allowance", "finite"),
]


@pytest.mark.parametrize(("old", "new", "where", "said"), VALUES)
def test_values_that_are_not_allowed(old, new, where, said):
    (finding,) = findings_of(spoilt(old, new))
    assert finding.where == where
    assert finding.severity == "error"
    assert_said(finding.message, said)


def assert_said(message, said):
    """Match with non-breaking spaces counted as any character."""
    assert re.search(said, message), message


WORDS = [
    ('"howe"', '"how"', "girder.shape.kind", 'did you mean "howe"?'),
    ('"howe"', '"Howe"', "girder.shape.kind", 'did you mean "howe"?'),
    ('"front"', '"fornt"', "loads[1].face", 'did you mean "front"?'),
    ("timber =", "tiber =", "girder.tiber", 'did you mean "timber"?'),
    ("service_class", "serviceclass", "basis.serviceclass", 'did you mean "service_class"?'),
    ("[fastening]", "[fastning]", "fastning", 'did you mean "fastening"?'),
    ('mark = "G7"', 'mark = "G7"\nspan = 3', "girder.span", "does it belong in [girder.shape]?"),
    ('"T-7"', '"T-7"\n"a b\\n" = 1', 'job."a b\\n"', ""),
]


@pytest.mark.parametrize(("old", "new", "where", "tip"), WORDS)
def test_misspelt_words_get_the_nearest_right_one(old, new, where, tip):
    found = {f.where: f for f in findings_of(spoilt(old, new))}
    assert found[where].tip == tip
    assert found[where].code in {"unknown-key", "unknown-choice"}


def test_unknown_keys_list_the_right_ones():
    (finding,) = findings_of(spoilt("[basis]", "[basis]\nzeta = 1"))
    assert english(finding.message).startswith(
        '[basis] has no key "zeta"; its keys are: standard, perman'
    )


def test_missing_keys_say_what_they_are():
    (finding,) = findings_of(spoilt('span = "9.6 m"\n', ""))
    assert (finding.code, finding.where) == ("missing-key", "girder.shape.span")
    assert finding.message == (
        '"span" is missing: out to out of the bottom chord. Such as: span = "9.6 m"'
    )


def test_all_findings_come_at_once():
    text = spoilt("plies = 3", "plies = 9")
    text = spoilt('"9.6 m"', "nan", text)
    text = spoilt('"front"', '"left"', text)
    text = spoilt('design = "-3 kN"', 'design = "-3 mm"\nuplift = 1', text)
    text = spoilt('bolt = "M12"\n', "", text)
    assert [f.where for f in findings_of(text)] == [
        "girder.plies",
        "girder.shape.span",
        "loads[1].face",
        "loads[2].design",
        "loads[2]",
        "loads[2].bracket.bolt",
    ]


def test_a_flood_of_findings_is_cut_and_says_so():
    text = BASE + "".join(f"k{i} = {i}\n" for i in range(500))
    found = findings_of(text)
    assert len(found) == 201
    assert english(found[-1].message).startswith("300 more findings")


def test_ten_thousand_loads():
    text = BASE.split("[[loads]]")[0] + '[[loads]]\nchord = "B"\nface = "front"\nat = 1\n' * 10_000
    found = {f.code: f for f in findings_of(text)}
    assert "a list of 10000 has too many entries; at most 2000" in english(
        found["bad-value"].message
    )


@pytest.mark.parametrize(
    ("loc", "text"),
    [
        (("girder", "shape", "span"), "girder.shape.span"),
        (("loads", 1, "at"), "loads[2].at"),
        (("fastening", "overrides", "a b"), 'fastening.overrides."a b"'),
        ((), ""),
    ],
)
def test_key_paths(loc, text):
    assert key_path(loc) == text


def test_pydantic_errors_never_leak_their_own_words():
    junk = {"job": 3, "girder": {"nodes": 1, "plies": None, "hook_ends": []}, "loads": [1, None]}
    with pytest.raises(ValidationError, match="validation error") as caught:
        JobFile.model_validate(junk)
    for finding in from_pydantic(caught.value):
        assert "nput should" not in english(finding.message)
        assert "valid " not in english(finding.message)
