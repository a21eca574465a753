"""What several values must agree on, each rule broken alone and the place named."""

from __future__ import annotations

import pytest
from job_lines import BASE, MEMBERS, findings_of, spoilt

from girderply.jobfile.cross_fastening import is_length
from girderply.rules.overrides import OVERRIDES
from girderply.wording import english

LEVEL = spoilt('kind = "howe"', 'kind = "parallel chord"', BASE)
TRUNCATED = spoilt('kind = "howe"', 'kind = "truncated"', BASE)
CHANGED = BASE + "[fastening.overrides]\n"
PRESCRIBED = BASE + "[[fastening.prescribed]]\nrows = 2\npitch = 300\n"

SHAPES = [
    (spoilt("panels = 6", "height = 1800"), "girder.shape", "both given"),
    (spoilt('pitch = "22.5 deg"\n', ""), "girder.shape", "neither pitch nor height"),
    (spoilt("panels = 6", "flat_height = 900"), "girder.shape.flat_height", "truncated"),
    (spoilt("panels = 6", 'web_pattern = "pratt"'), "girder.shape.web_pattern", "parallel"),
    (spoilt("panels", "height = 900\npanels", LEVEL), "girder.shape.pitch", "sloping"),
    (spoilt('pitch = "22.5 deg"\n', "", LEVEL), "girder.shape.height", "needs its height"),
    (TRUNCATED, "girder.shape", "neither flat_height nor height"),
    (
        spoilt('pitch = "22.5 deg"', "flat_height = 900", TRUNCATED),
        "girder.shape.pitch",
        "needs its pitch",
    ),
]

MEMBER_FAULTS = [
    ("nodes = [\n", 'shape = { kind = "fink", span = 1, pitch = 20 }\nnodes = [\n', "girder"),
    ('id = "C", x', 'id = "A", x', "girder.nodes[3].id"),
    ('id = "W2", role', 'id = "W1", role', "girder.members[3].id"),
    ('nodes = ["A", "C"]', 'nodes = ["A", "Q"]', "girder.members[2].nodes"),
    ('nodes = ["A", "C"]', 'nodes = ["A", "A"]', "girder.members[2].nodes"),
    ('nodes = ["A", "C"]', 'nodes = ["A", "B", "C"]', "girder.members[2].nodes"),
    ('nodes = ["A", "C"]', 'nodes = ["A"]', "girder.members[2].nodes"),
    ("[9, 0]", "[9, 0, 1]", "girder.members[3].outline[2]"),
    ("{ W2 =", "{ W9 =", "girder.hook_ends.W9"),
    ('joint = "C"', 'joint = "D"', "girder.plates[1].joint"),
]

LOADS = [
    ("permanent = 1.1", "design = 4", "loads[1]", "has design and also variable"),
    ('design = "-3 kN"\n', "", "loads[2]", "has no value"),
    ('design = "-3 kN"', "permanent = 0", "loads[2]", "is zero"),
    ("every = 600\n", "", "loads[1].every", "to without every"),
    ('to = "9 m"\n', "", "loads[1].to", "every without to"),
    ('to = "9 m"', 'to = "0.5 m"', "loads[1].to", "ends at 500.mm, before it begins at 600.mm"),
    ("every = 600", "every = 10", "loads[1].every", "has 841 loads; at most 500"),
    ("plies_reached = 2", "plies_reached = 4", "loads[2].plies_reached", "reaches 4 plies"),
    ('face = "back"', 'face = "top"', "loads[2].plies_reached", "enters all plies"),
    ('bolt = "M12"\n', "", "loads[2].bracket.bolt", "has bolts but no size"),
    ('chord = "TC1"', 'id = "F"\nchord = "TC1"', "loads[2].id", "already the id of number 1"),
]

REST = [
    (spoilt("[basis]", '[basis]\nvariable_duration = "two months"'),
     "basis.variable_duration", "no load duration of EN 1995-1-1"),
    (spoilt("service_class = 2", 'standard = "NDS 2018"\nuplift_duration = "short"'),
     "basis.uplift_duration", "no load duration of NDS 2018"),
    (spoilt("[fastening]", '[fastening]\nrules = "a"\nrules_file = "b"'), "fastening", "both"),
    (CHANGED + "chord_pitch = true", "fastening.overrides.chord_pitch", "true is no quantity"),
    (CHANGED + 'web_gauge = "3 kN"', "fastening.overrides.web_gauge", "not a length"),
    (CHANGED + "edge_min = -3", "fastening.overrides.edge_min", "negative"),
    (PRESCRIBED, "fastening.prescribed[1]", "exactly one"),
    (PRESCRIBED + 'role = "web"\nmembers = ["W1"]', "fastening.prescribed[1]", "exactly one"),
    (MEMBERS + '[[loads]]\nchord = "BC2"\nface = "front"\nat = 9\ndesign = 1', "loads[1].chord",
     "not a member's id"),
    (MEMBERS + '[[fastening.prescribed]]\nmembers = ["W8"]\nrows = 1\npitch = 90',
     "fastening.prescribed[1].members", "not a member's id"),
]  # fmt: skip


def only(text):
    found = findings_of(text)
    assert len(found) == 1, found
    return found[0]


@pytest.mark.parametrize(("text", "where", "said"), SHAPES + REST)
def test_values_that_do_not_agree(text, where, said):
    finding = only(text)
    assert finding.where == where
    assert said in finding.message


@pytest.mark.parametrize(("old", "new", "where"), MEMBER_FAULTS)
def test_nodes_and_members(old, new, where):
    assert where in {f.where for f in findings_of(spoilt(old, new, MEMBERS))}


@pytest.mark.parametrize(("old", "new", "where", "said"), LOADS)
def test_loads(old, new, where, said):
    found = {
        f.where: english(f.message).replace("\u00a0", ".") for f in findings_of(spoilt(old, new))
    }
    assert said in found[where]


def test_a_top_load_has_no_bracket():
    found = {f.where for f in findings_of(spoilt('face = "back"', 'face = "top"'))}
    assert found == {"loads[2].plies_reached", "loads[2].bracket"}


def test_series_together_are_limited():
    series = 'chord = "BC1"\nface = "front"\nat = 0\nto = 49900\nevery = 100\ndesign = 1\n'
    text = BASE.split("[[loads]]")[0] + f"[[loads]]\n{series}" * 5
    finding = only(text)
    assert (finding.where, finding.message) == (
        "loads",
        "2500 hung loads in all; at most 2000 are allowed",
    )


def test_a_series_in_inches_counts_its_last_load():
    # 500 loads at 0.1 in: rounding on the way to mm must neither lose nor gain one.
    series = '[[loads]]\nchord = "BC1"\nface = "front"\nat = "0 in"\nevery = "0.1 in"\ndesign = 1\n'
    head = BASE.split("[[loads]]")[0]
    assert findings_of(head + series + 'to = "49.9 in"') == ()
    assert only(head + series + 'to = "50 in"').code == "too-many-loads"


def test_a_shape_needs_its_sections():
    text = BASE.replace("[girder.sections]", "[girder.sektions]")
    assert {f.where for f in findings_of(text)} == {"girder.sektions", "girder.sections"}


def test_members_have_no_sections():
    text = MEMBERS + "[girder.sections]\ntop_chord = 1\nbottom_chord = 1\nweb = 1"
    assert only(text).where == "girder.sections"


def test_lengths_of_rule_sets_are_known_by_their_names():
    wrong = [name for name, o in OVERRIDES.items() if is_length(name) != (o.kind == "length")]
    assert wrong == []


def test_two_faults_of_one_list_are_both_named():
    found = findings_of(spoilt('nodes = ["A", "C"]', 'nodes = ["Q", "R"]', MEMBERS))
    assert [f.message for f in found] == [
        '"Q" is not a node of [[girder.nodes]]',
        '"R" is not a node of [[girder.nodes]]',
    ]
