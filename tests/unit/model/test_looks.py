"""What can be built and is hardly meant: each slip made in a girder that is right, by hand."""

from pathlib import Path

import pytest
from jobs_in_text import Ask, job_text

from girderply.errors import JobError
from girderply.jobfile import parse_job
from girderply.model.build_girder import build_girder
from girderply.wording import english

SAMPLE = Path(__file__).parents[3] / "sample_jobs" / "truncated-nodes.toml"
RIGHT = SAMPLE.read_text("utf-8")
CODES = ("plate-turned", "plate-large", "plate-small", "plate-misses-member", "plate-missing")
LOADS = ("brackets-overlap", "bracket-beyond-chord", "load-missing")


def found(text, codes=CODES + LOADS):
    _, findings = build_girder(parse_job(text))
    return {f.code: f for f in findings if f.code in codes}


def slip(old, new):
    assert RIGHT.count(old) == 1
    return RIGHT.replace(old, new)


def plain(text):
    return english(text).replace("\u00a0", " ")


def test_a_girder_that_is_right_is_asked_nothing():
    assert found(RIGHT) == {}


def test_a_depth_that_contradicts_its_outline_is_refused():
    """195 deep as drawn, 95 in the table: the splitting checks of its chord vanished."""
    old = '"A", "B", "C", "D", "E", "F", "G"], depth = 195'
    with pytest.raises(JobError, match="deep in the middle, its depth says") as fault:
        found(slip(old, old.replace("195", "95")))
    assert "195 mm deep" in plain(str(fault.value))
    assert fault.value.findings[0].where == "girder.members.BC1.depth"


@pytest.mark.parametrize(
    ("old", "new", "code", "words"),
    [
        ('angle = "-12 deg"', 'angle = "12 deg"', "plate-turned", "were -12.0 meant"),
        ('angle = "-26.5 deg"', 'angle = "26.5 deg"', "plate-turned", "were -26.5 meant"),
        (
            'joint = "M", x = 5400, y = 1640, width = 300',
            'joint = "M", x = 5400, y = 1640, width = 1800',
            "plate-large",
            "1 800 mm",
        ),
        (
            'joint = "C", x = 3120, y = 190, width = 460',
            'joint = "C", x = 3200, y = 190, width = 300',
            "plate-misses-member",
            "hardly touches W2",
        ),
        (
            'joint = "D", x = 5400, y = 175, width = 120',
            'joint = "D", x = 5400, y = 175, width = 12',
            "plate-small",
            "is 12 mm across",
        ),
        (
            '  { joint = "D", x = 5400, y = 175, width = 120, height = 150 },\n',
            "",
            "plate-missing",
            "D has no plate, though 11 joints have one",
        ),
    ],
)
def test_a_plate_that_is_written_wrong(old, new, code, words):
    said = found(slip(old, new))
    assert words in plain(said[code].message)


def test_a_plate_of_the_wrong_length_names_the_likely_one():
    old = 'joint = "M", x = 5400, y = 1640, width = 300'
    said = found(slip(old, old.replace("300", "1800")))
    assert "180 mm" in plain(said["plate-large"].tip)


SINGLE = '[[loads]]\nid = "S{n}"\nchord = "BC1"\nface = "front"\nat = {at}\ndesign = "2 kN"\n{b}'
BRACKET = "bracket = {{ width = {width}, height = 150 }}\n"


def singles(*at, width=90, bracket=True):
    b = BRACKET.format(width=width) if bracket else ""
    return job_text(Ask(loads="".join(SINGLE.format(n=i, at=x, b=b) for i, x in enumerate(at, 1))))


def test_brackets_on_each_other():
    said = found(singles(2000, 2060))
    assert "60 mm apart, 90 mm are needed" in plain(said["brackets-overlap"].message)
    assert found(singles(2000, 2091)) == {}


def test_one_bracket_of_a_load_in_two_entries_lies_on_nothing():
    assert found(singles(2000, 2000)) == {}


def test_a_bracket_over_the_end_of_its_chord():
    said = found(singles(30, width=90))
    assert "15 mm over the end of BC1" in plain(said["bracket-beyond-chord"].message)


def test_an_entry_lost_from_a_row_of_equal_steps():
    at = [600.0 * i for i in range(1, 9)]
    assert found(singles(*at)) == {}
    said = found(singles(*(x for x in at if x != 1800)))
    assert "hang every 600 mm, and none at 1 800 mm" in plain(said["load-missing"].message)


@pytest.mark.parametrize("at", [(600, 1200, 2400), (600, 1500, 1900, 3000, 4800)])
def test_loads_that_are_no_row_are_asked_nothing(at):
    assert found(singles(*at)) == {}
