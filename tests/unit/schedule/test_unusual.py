"""What can be right and is hardly usual: a person is asked, and a usual girder is not.

The bounds are common practice, no source; the value meant is the one before the slip.
"""

from __future__ import annotations

import pytest
from inspection_records import SAMPLES, sample
from job_mutations import as_text
from random_jobs import random_job

from girderply.errors import JobError
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.read_back import read_back
from girderply.wording import english

CODES = {
    *("pitch-unusual", "heel-high", "uplift-large", "duration-brief", "bracket-nail-short"),
    *("outline-askew", "halves-differ"),
}
GOOD = sorted(p.stem for p in SAMPLES.glob("*.toml") if not p.stem.startswith("refused"))
HOWE, PRATT, NODES = "two-ply-howe", "three-ply-pratt", "truncated-nodes"


def plain(text):
    return english(text).replace("\u00a0", " ").replace("\u202f", " ")


def slipped(name, *changes):
    text = (SAMPLES / f"{name}.toml").read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return build_schedule(parse_job(text))


@pytest.mark.parametrize("name", GOOD)
def test_good_samples_are_asked_nothing(name):
    assert not [f for f in sample(name).findings if f.code in CODES]


@pytest.mark.parametrize(
    ("name", "old", "new", "code", "said"),
    [
        (HOWE, "22.5 deg", "25.2 deg", "pitch-unusual", "22.5°"),
        ("two-ply-imperial", "6:12", "6.1:12", "pitch-unusual", "look at"),
        (PRATT, '"300 mm"', '"3000 mm"', "heel-high", "300 mm"),
        (PRATT, '"0.4 kN"', '"4 kN"', "uplift-large", "0.40 kN"),
        (HOWE, '"medium"', '"instantaneous"', "duration-brief", "lie there for weeks"),
        ("two-ply-imperial", '"two months"', '"ten minutes"', "duration-brief", "for weeks"),
        (HOWE, 'nail_length = "40 mm"', 'nail_length = "4 mm"', "bracket-nail-short", "40 mm"),
        (NODES, "[10800, 0], [10800, 8.5]", "[1080, 0], [10800, 8.5]", "outline-askew", "look"),
    ],
)
def test_a_slip_is_asked_about(name, old, new, code, said):
    made = slipped(name, (old, new))
    (finding,) = [f for f in made.findings if f.code == code]
    assert said in plain(english(finding.tip))
    assert any(english(finding.message) in english(line) for line in read_back(made).unusual)


def test_a_slope_that_no_slip_explains_is_a_note():
    """24.3 degrees, measured on a roof that stands: 42.3 and 23.4 are no rounder."""
    (finding,) = [f for f in slipped(HOWE, ("22.5", "24.3")).findings if f.code == "pitch-unusual"]
    assert str(finding.severity) == "note"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"M"], depth = 120', '"M"], depth = 95', "W4 and W6 (95 mm and 120 mm deep)"),
        ('"B", "H"], depth = 95', '"B", "H"], depth = 120', "W1 and W9 (120 mm and 95 mm deep)"),
        ('joint = "C", x = 3120', 'joint = "C", x = 3150', "the plates at C and E"),
        ('joint = "C", x = 3120', 'joint = "C", x = 3210', "the plates at C and E"),
        ("x = 9200, y = 175", "x = 9200, y = 157", "the plates at B and F"),
        ("width = 410, height = 120", "width = 120, height = 410", "the plates at A and G"),
        ("width = 460", "width = 406", "the plates at C and E"),
        ("[10427, 195]", "[10247, 195]", "the two ends of BC1"),
        ("x = 5400, y = 175", "x = 5420, y = 175", "the plate at D"),
    ],
)
def test_one_half_that_is_not_the_other_s_mirror_image_is_told(old, new, said):
    (finding,) = [f for f in slipped(NODES, (old, new)).findings if f.code == "halves-differ"]
    assert plain(english(finding.message)).endswith(f"but for: {said}")


def test_a_truss_of_two_unlike_halves_is_asked_nothing():
    """Panels of other lengths left and right: it is drawn so, and no part is the odd one."""
    lengths = 'panel_lengths = ["1200 mm", "1700 mm", "1900 mm", "1600 mm", "1600 mm", "1600 mm"]'
    made = slipped(HOWE, ("panels = 6", lengths))
    assert "halves-differ" not in {f.code for f in made.findings}


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ([('every = "600 mm"', 'every = "900 mm"')], "written to 9 000 mm and ends at 8 700 mm"),
        ([('web = "95 mm"', 'web = "195 mm"')], "as deep as the deepest chord: W1"),
        ([('width = "90 mm"\nheight = "150 mm"', 'width = "150 mm"\nheight = "90 mm"')],
         "wider than high: T1"),
        ([('"1.1 kN"', '"4.1 kN"')], "permanent part of T1 is 2.6 times the variable one"),
        ([('"1.6 kN"', '"4.6 kN"')], "variable part of T1 is 4.2 times the permanent one"),
        ([("quantity = 2", "quantity = 222")], "222 such girders"),
        ([('"1.1 kN"', '"0.22 kN"'), ('"1.6 kN"', '"0.32 kN"')], "The hardest check is used to"),
        ([("[basis]", '[[loads]]\nid = "T2"\nchord = "BC1"\nface = "front"\nat = "3000 mm"\n'
           'permanent = "1.1 kN"\nvariable = "1.6 kN"\n[basis]')],
         "T1 and T2 are alike and hang at the same places"),
        ([("[basis]", '[[loads]]\nid = "T2"\nchord = "BC1"\nface = "front"\nat = "3300 mm"\n'
           'permanent = "0.11 kN"\nvariable = "0.16 kN"\n[basis]')], "T1 is 10 times T2"),
        ([('at = "600 mm"', 'at = "1200 mm"')],
         "row of T1 leaves 1 200 mm before it and 600 mm behind it"),
        ([('to = "9000 mm"', 'to = "8400 mm"')],
         "row of T1 leaves 600 mm before it and 1 200 mm behind it"),
        ([('to = "9000 mm"\nevery = "600 mm"\n', "")], "One load alone hangs on this girder: T1"),
        ([('permanent = "1.1 kN"\n', "")], "T1 has a variable part and no permanent one"),
        ([('variable = "1.6 kN"\n', "")], "T1 has a permanent part and no variable one"),
        ([('permanent = "1.1 kN"\nvariable = "1.6 kN"', 'design = "2.7 kN"')],
         "T1 is given as a design value: its factors are taken to be in it"),
        ([('height = "150 mm"', 'height = "150 mm"\noffset = "15 mm"')],
         "middle above the centreline: T1"),
        ([("C24", "C27")], "C27 is a class that trusses are hardly made of"),
        ([("9.6 m", "9.9 m")], "middle 150 mm from the left end, the other 450 mm from the right"),
        ([("22.5 deg", "42 deg")], "mm high: that hardly travels in one piece"),
    ],
)  # fmt: skip
def test_a_reader_is_shown_what_is_rare(changes, said):
    """Numbers by hand; a rise of 4800 tan 42 is 4322 mm."""
    assert said in plain("\n".join(map(english, read_back(slipped(HOWE, *changes)).unusual)))


@pytest.mark.parametrize("seed", range(3))
def test_none_of_it_is_said_of_a_plain_girder(seed):
    """Whole rows of both kinds of load, bearings alike: as most girders are."""
    made = build_schedule(parse_job(as_text(random_job(seed))))
    told = plain("\n".join(map(english, read_back(made).unusual)))
    rare = ("leaves", "alone", "no permanent", "no variable", "design value", "above the")
    assert not [word for word in (*rare, "a class that", "mm high", "screw", "from the left end")
                if word in told]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("two-ply-screwed", 'thread = "50 mm"', 'thread = "5 mm"', "shorter than six diameters"),
        ("two-ply-screwed", 'head = "9.6 mm"', 'head = "6.9 mm"', "hardly wider than its thread"),
        ("two-ply-screwed", "density = 350", "density = 530", "of 530 kg/m³; this one has 350"),
        ("four-ply-parallel", "plies_reached = 4", "plies_reached = 1",
         "P is bolted through all 4 plies; 1 ply is counted as loaded"),
    ],
)  # fmt: skip
def test_a_screw_and_a_bolted_bracket_that_do_not_go_with_themselves(name, old, new, said):
    assert said in plain("\n".join(map(english, read_back(slipped(name, (old, new))).unusual)))
    assert said not in plain("\n".join(map(english, read_back(sample(name)).unusual)))


def test_where_a_bracket_stands_and_that_nothing_lifts_is_said_back():
    told = read_back(sample(PRATT))
    assert "its middle 15 mm below the centreline" in plain("\n".join(map(english, told.said)))
    assert not any("uplift" in english(line) for line in told.not_checked)
    assert "No load lifts: uplift by wind was not looked at." in [
        english(line) for line in read_back(sample(HOWE)).not_checked
    ]


@pytest.mark.parametrize(
    ("old", "new"), [('"45 mm", across', '"450 mm", across'), ("across = 0 }]", "across = 61 }]")]
)
def test_a_bolt_beside_its_bracket_is_refused(old, new):
    with pytest.raises(JobError, match="stands beside its bracket"):
        slipped("four-ply-parallel", (old, new))
