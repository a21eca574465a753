"""What is said about a design: failed checks in words first, cautions always."""

from __future__ import annotations

from dataclasses import replace

from hand_girder import hand_schedule

from girderply.cli.talk import Exit
from girderply.cli.work import exit_code, say_result
from girderply.errors import Finding, Severity
from girderply.jobfile.job import UnitSystem


def test_failed_checks_come_first_and_stop_the_assembly(capsys):
    made = hand_schedule()
    say_result(made)
    said = capsys.readouterr()
    lines = said.err.splitlines()
    assert said.out == ""
    assert lines[0] == "ERROR   C2: W1: 0.01\u00a0kN asked, 0.00\u00a0kN carried [8.5.1]"
    assert lines[1] == "NOTE    BC1: A gap."
    assert lines[2].startswith("NOT FOR ASSEMBLY")
    assert lines[-1].startswith("CAUTION Fastening instructions only.")
    assert exit_code(made) is Exit.FAILED


def test_a_failed_check_that_a_finding_tells_is_not_told_twice(capsys):
    told = Finding("check-failed", Severity.ERROR, "C2", "W1 carries nothing.")
    say_result(replace(hand_schedule(), findings=(told,)), scope=False)
    err = capsys.readouterr().err
    assert err.splitlines()[0] == "ERROR   C2: W1 carries nothing."
    assert err.count("C2") == 1


def test_failed_check_of_an_imperial_job_is_in_pounds(capsys):
    """10 N / 4.4482216 N per lbf = 2.25 lbf."""
    say_result(hand_schedule(units=UnitSystem.IMPERIAL), scope=False)
    assert "2\u00a0lbf asked" in capsys.readouterr().err


def test_demo_is_said(capsys):
    say_result(hand_schedule(), scope=False)
    err = capsys.readouterr().err
    assert "invented" in err
    assert "CAUTION" not in err
