"""girderply new: a job file from a shape and a span."""

from __future__ import annotations

import tomllib

from command import girderply


def test_options_reach_the_file(capsys):
    ran = girderply(
        *(capsys, "new", "--shape", "pratt", "--span", "11.4 m", "--plies", "3"),
        *("--bottom-chord", "220 mm", "--mark", "G9"),
    )
    job = tomllib.loads(ran.out)
    assert ran.code == 0
    girder = job["girder"]
    assert (girder["mark"], girder["plies"]) == ("G9", 3)
    assert (girder["shape"]["kind"], girder["shape"]["span"]) == ("pratt", "11.4 m")
    assert girder["sections"]["bottom_chord"] == "220 mm"
    assert ran.out.count("#") > 20, "it is commented"


def test_bare_numbers_are_in_the_units_of_the_job(capsys):
    ran = girderply(capsys, *("new", "--shape", "howe", "--span", "378", "--units", "imperial"))
    assert ran.code == 0, ran.err
    assert tomllib.loads(ran.out)["girder"]["shape"]["span"] == 378.0


def test_what_cannot_be_is_refused_with_its_name(capsys):
    ran = girderply(capsys, "new", "--shape", "how", "--span", "9.6 m", "--plies", "7")
    assert (ran.code, ran.out) == (2, "")
    assert "girder.plies" in ran.err
    assert "girder.shape.kind" in ran.err
    assert "howe" in ran.err


def test_a_job_that_is_there_is_never_overwritten(capsys, tmp_path):
    there = tmp_path / "job.toml"
    there.write_text("mine")
    ran = girderply(capsys, "new", "--shape", "howe", "--span", "9 m", "--out", there)
    assert (ran.code, there.read_text()) == (2, "mine")
    assert "exists already" in ran.err
