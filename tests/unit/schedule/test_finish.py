"""Finish of fasteners: the least by service class or practice, what a job says, what is told."""

from __future__ import annotations

import pytest
from job_lines import BASE, findings_of, spoilt

from girderply.jobfile import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.standards.en1995_1_1_2014.corrosion import least_protection
from girderply.wording import english

US = """
[job]
number = "T-9"
title = "Test"
revision = "A"
units = "imperial"
[girder]
mark = "G9"
plies = 2
ply_thickness = "1.5 in"
timber = "SPF"
{more}
[girder.shape]
kind = "howe"
span = "24 ft"
pitch = "6:12"
panels = 4
[girder.sections]
top_chord = "7.25 in"
bottom_chord = "7.25 in"
web = "3.5 in"
[fastening]
{finish}
"""


def told(text: str) -> dict[str, tuple[str, str, str]]:
    made = build_schedule(parse_job(text))
    return {
        f.code: (str(f.severity), english(f.where), f.clause)
        for f in made.findings
        if f.code.startswith("finish")
    }


def job(service_class: int, *lines: str) -> str:
    text = spoilt("service_class = 2", f"service_class = {service_class}", BASE)
    return text.replace("[fastening]", "\n".join(["[fastening]", *lines]))


@pytest.mark.parametrize(
    ("d", "bolt", "asked"),
    [
        (4.0, False, ("bare", "Fe/Zn 12c", "Fe/Zn 25c")),
        (4.1, False, ("bare", "bare", "Fe/Zn 25c")),
        (12.0, True, ("bare", "bare", "Fe/Zn 25c")),
        (4.0, True, ("bare", "bare", "Fe/Zn 25c")),
    ],
)
def test_table_4_1(d, bolt, asked):
    """EN 1995-1-1, Table 4.1, from memory; nails in classes 2, 3 as DB SE-M table 3.2 has them."""
    assert tuple(least_protection(d, c, bolt=bolt) for c in (1, 2, 3)) == asked


CLAUSE = "EN 1995-1-1:2004+A2:2014, 4.2, Table 4.1"


@pytest.mark.parametrize(
    ("service_class", "lines", "codes"),
    [
        (1, (), {}),
        (2, (), {"finish-missing": "warning"}),
        (3, (), {"finish-missing": "warning"}),
        (3, ('finish = "bare"',), {"finish-too-little": "error"}),
        (3, ('finish = "Fe/Zn 12c"',), {"finish-too-little": "error"}),
        (2, ('finish = "Fe/Zn 12c"',), {}),
        (3, ('finish = "hot-dip galvanised"',), {}),
        (3, ('finish = "stainless steel"', 'bolt_finish = "bare"'), {"finish-too-little": "error"}),
        (3, ('finish = "bare"', 'bolt_finish = "Fe/Zn 25c"'), {"finish-too-little": "error"}),
    ],
)
def test_a_wrong_finish_is_an_error_and_a_missing_one_a_warning(service_class, lines, codes):
    found = told(job(service_class, *lines))
    assert {code: severity for code, (severity, _, _) in found.items()} == codes
    assert {clause for _, _, clause in found.values()} <= {CLAUSE}


def test_each_kind_is_judged_by_its_own_finish():
    made = build_schedule(parse_job(job(3, 'finish = "stainless steel"', 'bolt_finish = "bare"')))
    (wrong,) = [f for f in made.findings if f.code == "finish-too-little"]
    assert wrong.where == "fastening.bolt_finish"
    assert "M12" in english(wrong.message)
    notes = {line.kind: english(line.note) for line in made.order}
    assert notes["nail"] == "finish: stainless steel"
    assert all(notes[k].startswith("finish: bare") for k in notes if k != "nail")


def test_what_is_needed_stands_on_the_order_list_where_the_job_is_silent():
    made = build_schedule(parse_job(job(2)))
    notes = {line.kind: english(line.note) for line in made.order}
    assert notes["nail"] == "finish: Fe/Zn 12c at least"
    assert "finish" not in notes["washer"]


@pytest.mark.parametrize(
    ("more", "finish", "codes"),
    [
        ("", "", set()),
        ("treated = true", "", {"finish-missing"}),
        ('moisture = "wet"', "", {"finish-missing"}),
        ("treated = true", 'finish = "Fe/Zn 25c"', {"finish-too-little"}),
        ("treated = true", 'finish = "hot-dip galvanised"', set()),
    ],
)
def test_treated_or_wet_timber_by_nds_practice(more, finish, codes):
    found = told(US.format(more=more, finish=finish))
    assert set(found) == codes
    assert {c for _, _, c in found.values()} <= {
        "common practice for treated or wet timber, no source"
    }


def test_a_finish_that_is_none_is_refused():
    (finding,) = findings_of(job(2, 'finish = "galvanized"'))
    assert (finding.code, finding.where) == ("unknown-choice", "fastening.finish")
    assert '"hot-dip galvanised"' in english(finding.message)
