"""Names of loads: each is one load's alone, and no sheet reads a series out of a name."""

import pytest
from job_lines import BASE, findings_of, spoilt
from jobs_in_text import Ask, job_text

from girderply.jobfile.reader import parse_job
from girderply.papers.yard.elevation_tables import elevation_tables
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import ENGLISH

SERIES = """
[[loads]]
id = "T1"
chord = "BC1"
face = "front"
at = "600 mm"
to = "9000 mm"
every = "600 mm"
design = "4 kN"
"""
OTHER = '[[loads]]\nid = "{name}"\nchord = "TC1"\nface = "front"\nat = "2 m"\ndesign = "9 kN"\n'


def clashes(text):
    return [f for f in findings_of(text) if f.code in ("names-clash", "repeated-id")]


@pytest.mark.parametrize("name", ["T1-3", "t1-3", "T1-15"])
def test_a_load_that_has_the_name_of_a_truss_of_a_series_is_refused(name):
    """It took over the zone of that truss: 75 % said, 163 % true."""
    (found,) = clashes(job_text(Ask(loads=SERIES + OTHER.format(name=name))))
    assert found.where == "loads[2].id"
    number = name[3:]
    assert found.message == f'load "{name}" has the name of number {number} of the series "T1"'


@pytest.mark.parametrize("name", ["T1-16", "T1-0", "T1-03", "T1.3", "T13"])
def test_a_name_that_only_looks_alike_is_let_through(name):
    assert clashes(job_text(Ask(loads=SERIES + OTHER.format(name=name)))) == []


def test_a_load_called_by_its_number_must_not_have_the_name_of_another():
    """The second table of the job has no id and is called L2; so is the first one."""
    (found,) = clashes(spoilt('id = "F"', 'id = "L2"', BASE))
    assert found.where == "loads[2].id"
    assert "loads[2], which is called L2," in found.message
    (found,) = clashes(BASE + OTHER.format(name="L2"))
    assert found.where == "loads[3].id"


def test_ids_that_sound_alike_are_refused():
    (found,) = clashes(job_text(Ask(loads=SERIES + OTHER.format(name="t1"))))
    assert "is already the id of number 1 (said aloud)" in found.message


def test_single_loads_are_no_series_whatever_they_are_called():
    """Equal loads A-1 and A-7 stood on the elevation as "A-1 to 7", a series of seven."""
    alone = '[[loads]]\nid = "{}"\nchord = "BC1"\nface = "front"\nat = {}\ndesign = "2 kN"\n'
    loads = alone.format("A-1", 2000) + alone.format("A-7", 5000)
    made = build_schedule(parse_job(job_text(Ask(loads=loads))))
    text = str(elevation_tables(ENGLISH, made))
    assert "A-1" in text
    assert "A-7" in text
    assert "A-1 to 7" not in text


def test_the_loads_of_an_elevation_are_added_up():
    """Two single loads of 2 kN by design are 4 kN in all."""
    alone = '[[loads]]\nid = "{}"\nchord = "BC1"\nface = "front"\nat = {}\ndesign = "2 kN"\n'
    loads = alone.format("A-1", 2000) + alone.format("A-7", 5000)
    made = build_schedule(parse_job(job_text(Ask(loads=loads))))
    last = elevation_tables(ENGLISH, made)[0]["cells"][1][1]["rows"][-1]
    assert [cell["text"].replace("\u00a0", " ") for cell in last] == [
        "2 loads in all", "", "", "", "", "\u2013", "\u2013", "4.00 kN",
    ]  # fmt: skip


def test_every_check_and_every_fastener_has_an_id_of_its_own():
    both = SERIES + SERIES.replace("T1", "T1.i1").replace("front", "back").replace("600", "700")
    made = build_schedule(parse_job(job_text(Ask(loads=both, plies=3))))
    for ids in ([c.id for c in made.checks], made.fasteners.id.tolist()):
        assert len(set(ids)) == len(ids) > 20
