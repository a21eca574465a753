"""The job said back: numbers by hand, unusual things marked, in every language."""

from jobs_in_text import Ask, job_text

from girderply.jobfile import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.read_back import read_back
from girderply.wording import english, text

LOADS = """
[[loads]]
id = "T"
chord = "BC1"
face = "{face}"
at = "600 mm"
to = "9000 mm"
every = "600 mm"
permanent = "1.1 kN"
variable = "1.6 kN"
what = "Roof truss R1"
bracket = {{ width = 90, height = 150, nail_length = 40 }}
[[loads]]
id = "H"
chord = "TC1"
face = "back"
at = "2 m"
design = "-9 kN"
"""


def built(face="front", **wants):
    return build_schedule(parse_job(job_text(Ask(loads=LOADS.format(face=face), **wants))))


def plain(lines):
    return "\n".join(map(english, lines)).replace("\u00a0", " ").replace("\u202f", " ")


def test_a_row_of_trusses_in_one_sentence():
    """15 x 2.7 kN = 40.5 kN."""
    said = plain(read_back(built()).said)
    assert (
        "Roof truss R1 (T): 15 loads, 1.10 kN permanent and 1.60 kN variable each, 40.50 kN in all;"
        " on BC1, front face, every 600 mm, the first 600 mm from the LEFT end, the last at"
        " 9 000 mm; bracket 90 mm x 150 mm, its nails of 40 mm reach 1 ply."
    ) in said
    assert "H: one load, -9.00 kN design each" in said
    assert "no bracket is described" in said


def test_what_is_said_of_the_bearings_is_what_was_checked():
    """Every ply is pressed on its bearing by the hung loads; without loads nothing is checked."""
    made = built()
    assert {c.about for c in made.seats} == {"B1", "B2"}
    (line,) = [x for x in map(english, read_back(made).not_checked) if "bearings" in x]
    assert line.startswith("The bearings, but for each ply pressed across its grain by the hung")
    bare = build_schedule(parse_job(job_text(Ask())))
    assert not bare.seats
    (line,) = [x for x in map(english, read_back(bare).not_checked) if "bearings" in x]
    assert line.startswith("Bearing pressure, but for a rough look")


def test_the_end_that_the_tape_is_hooked_at_is_said():
    made = built(hook_ends={"BC1": "right"})
    assert "600 mm from the RIGHT end" in plain(read_back(made).said)
    assert "Tapes are hooked at the RIGHT on: BC1." in plain(read_back(made).unusual)


def test_what_is_unusual_is_marked_and_what_is_usual_is_not():
    unusual = plain(read_back(built()).unusual)
    assert "One load hangs on a top chord." in unusual
    assert "RIGHT" not in unusual
    made = build_schedule(parse_job(job_text(Ask())))
    assert "no load hangs on this girder" in plain(read_back(made).unusual)


def test_everything_is_said_in_the_language_of_the_sheets():
    told = read_back(built())
    for words in (*told.said, *told.unusual, *told.not_checked):
        assert text(words, "fr") != english(words)
    french = " ".join(text(words, "fr") for words in told.said)
    assert "de l'extrémité GAUCHE" in french.replace("\u00a0", " ").replace("\u202f", " ")
