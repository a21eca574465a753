"""What a job file may say of screws, and what it is told otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from girderply.errors import JobError
from girderply.jobfile.reader import parse_job
from girderply.wording import english

TEXT = (Path(__file__).parents[3] / "sample_jobs" / "two-ply-screwed.toml").read_text("utf-8")


def refused(old: str, new: str) -> dict[str, str]:
    assert old in TEXT
    with pytest.raises(JobError) as caught:
        parse_job(TEXT.replace(old, new))
    return {english(f.where): english(f.message) for f in caught.value.findings}


def test_the_sample_is_read():
    (screw,) = parse_job(TEXT).fastening.screws
    assert (screw.d, screw.thread, screw.tension, screw.rho_a) == (5.0, 50.0, 7200.0, 350.0)


@pytest.mark.parametrize(
    ("old", "new", "where", "words"),
    [
        ('screw = "5.0 x 80 demo"', 'screw = "5 x 80"', "fastening.screw", "is not among"),
        ('screw = "5.0', 'nail = "4.0 x 100"\nscrew = "5.0', "fastening.screw", "both named"),
        ('standard = "EN 1995-1-1"', 'standard = "NDS 2018"', "fastening.screw", "European"),
        ('d_root = "3.2 mm"', 'd_root = "5.2 mm"', "fastening.screws[1].d_root", "root"),
        ('head = "9.6 mm"', 'head = "4 mm"', "fastening.screws[1].d", "wider"),
        ('thread = "50 mm"', 'thread = "90 mm"', "fastening.screws[1].thread", "longer"),
        ('tension = "7.2 kN"', "", "fastening.screws[1].tension", "missing"),
        ('withdrawal = "12 N/mm2"', 'withdrawal = "12 kN"', "fastening.screws[1].withdrawal", ""),
        ('withdrawal = "12 N/mm2"', "withdrawal = 900", "fastening.screws[1].withdrawal", "500"),
        ("yield_moment = 5400", "yield_moment = 0", "fastening.screws[1].yield_moment", "more"),
    ],
)  # fmt: skip
def test_told_where_and_why(old, new, where, words):
    found = refused(old, new)
    assert where in found
    assert words in found[where]


def test_a_key_twice_is_told():
    table = TEXT[TEXT.index("[[fastening.screws]]") :]
    with pytest.raises(JobError) as caught:
        parse_job(f"{TEXT}\n{table}")
    assert {f.code for f in caught.value.findings} == {"twice"}
