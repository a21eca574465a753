"""Rule set files: a user's own, and what is said about every fault in one."""

from __future__ import annotations

import math

import pytest

from girderply.catalogue import bolt, nail, washer
from girderply.errors import CatalogueError, RuleSetError
from girderply.rules import RowRule, StageRule, load_rule_file, load_rule_set, rule_set_names

OWN = """
name = "works-standard"
title = "Works standard"
source = "made up for a test"
mark = "demo"
units = "metric"
plies = [2, 3]
thickness = [42, 45]
clench = [0, 25]
station_step = 10
tolerance = "1 cm"

[[chord]]
depth_up_to = "3 1/2 in"
rows = 1
pitch = 170

[[chord]]
rows = 2
centres = 140
stagger = true
gauge = 55

[[web]]
rows = 2
centres = 250

[limits]
edge_min = 22
end_min_d = 12

[[assembly]]
plies = 2
nail = "3,4x90"
build_up = true
joint_bolts = true

[[assembly]]
plies = 3
nail = "3.1 x 90"
joint_bolts = false
stages = [
  { add = [-1, 2], drive = "front", fastens = [-1] },
  { add = [1], drive = "front", fastens = [1], nail = "3.4 x 90" },
]

[bolts]
bolt = "M10"
washer = "ISO 7094 M10"
hole = 10.5
reach = 180
"""


def load(tmp_path, text):
    path = tmp_path / "own.toml"
    path.write_text(text, encoding="utf-8")
    return load_rule_file(path)


def test_own_file_says_what_it_says(tmp_path):
    rules = load(tmp_path, OWN)
    assert rules.name == "works-standard"
    assert rules.chord == (
        RowRule(88.9, 1, 170.0, False),
        RowRule(math.inf, 2, 280.0, True, 55.0),
    )
    assert rules.web == (RowRule(math.inf, 2, 250.0, False),)  # not staggered: centres is the pitch
    assert (rules.limits.edge_min, rules.limits.end_min_d) == (22.0, 12.0)
    assert (rules.clench_protrusion, rules.tolerance) == ((0.0, 25.0), 10.0)
    assert rules.ply_rules[0].stages == (StageRule((2, 1), "front", (1,)),)
    assert rules.ply_rules[1].stages[1].nail == "3.4 x 90"
    assert rules.bolts is not None
    assert (rules.bolts.hole, rules.bolts.reach) == (10.5, 180.0)


def test_numbers_of_an_imperial_file_are_inches(tmp_path):
    text = OWN.replace('units = "metric"', 'units = "imperial"')
    text = text.replace("[42, 45]", "[1.5, 1.75]").replace("hole = 10.5", 'hole = "10.5 mm"')
    rules = load(tmp_path, text)
    assert rules.thickness == (38.1, 44.45)
    assert rules.imperial
    assert rules.chord[0].pitch == pytest.approx(170 * 25.4)
    assert rules.limits.end_min_d == 12.0  # multiples have no unit


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("rows = 1\n", "row = 1\nrows = 1\n", r'chord\[1\]\.row: no such key; did you mean "rows"'),
        ("pitch = 170", "pitch = -5", r"chord\[1\]\.pitch: -5 cannot be used: .*greater than 0"),
        ("pitch = 170", 'pitch = "5 kN"', r"chord\[1\]\.pitch: .*is a force, not a length"),
        (
            "pitch = 170",
            "centers = 170",
            r'chord\[1\]\.centers: no such key; did you mean "centres"',
        ),
        ("pitch = 170", "pitch = nan", r"chord\[1\]\.pitch: .*not a finite number"),
        ("pitch = 170", "pitch = 170\ncentres = 85", r"chord\[1\]: give either pitch or centres"),
        (
            "rows = 1\n",
            "rows = 7\n",
            r"chord\[1\]\.rows: 7 cannot be used: .*less than or equal to 6",
        ),
        ('depth_up_to = "3 1/2 in"\n', "", r"chord: every entry but the last needs depth_up_to"),
        ("[42, 45]", "[45, 42]", r"thickness: 45 is more than 42"),
        ("[2, 3]", "[2, 4]", r"assembly: plies \[2, 3, 4\] each need one entry, not \[2, 3\]"),
        ("clench = [0, 25]", "clench = [30, 25]", r"clench: 30 is more than 25"),
        ('nail = "3.1 x 90"', 'nail = "3.1 x 9x"', r"nail: no nail '3.1 x 9x' in the catalogue"),
        ('bolt = "M10"', 'bolt = "M11"', r"bolts: no bolt 'M11' in the catalogue; allowed: M8"),
        ('bolt = "M10"', 'bolt = "M8"', r"washer: ISO 7094 M10 is for M10, not for M8"),
        ("hole = 10.5", "hole = 12", r"hole: 12 mm for M10 must be more than 10 mm and at most 11"),
        ("add = [1]", "add = [2]", r"3 plies: stage 2: add \[2\] names a ply twice"),
        ("add = [-1, 2]", "add = [-1, 1]", r"stage 1: plies \[1, 3\] do not lie on each other"),
        (
            "fastens = [-1]",
            "fastens = [1]",
            r"stage 1: fastens \[1\] where the plies are not there",
        ),
        ("fastens = [-1]", "fastens = []", r"interfaces \[2\] are never fastened"),
        ("build_up = true", "build_up = false", r"2 plies: give build_up = true or stages"),
        ('nail = "3,4x90"\n', "", r"2 plies: stage 1: no nail is given"),
        (
            'drive = "front", fastens = [1]',
            'drive = "top", fastens = [1]',
            r"drive: \"top\" cannot",
        ),
        ('mark = "demo"\n', "", r"mark: is missing"),
        ('name = "works-standard"', 'name = "Works!"', r"name: \"Works!\" cannot be used"),
    ],
)
def test_a_fault_is_named_with_its_key_and_value(tmp_path, old, new, said):
    assert old in OWN
    with pytest.raises(RuleSetError, match=said):
        load(tmp_path, OWN.replace(old, new, 1))


def test_all_faults_come_at_once(tmp_path):
    text = OWN.replace("pitch = 170", "pitch = 0").replace("reach = 180", "reach = true")
    with pytest.raises(RuleSetError, match=r"chord\[1\]\.pitch: 0 .*; bolts\.reach: true "):
        load(tmp_path, text)


def test_bolts_asked_for_but_not_given(tmp_path):
    text = OWN[: OWN.index("[bolts]")]
    with pytest.raises(RuleSetError, match=r"bolts are asked for, so a table \[bolts\] is needed"):
        load(tmp_path, text)


def test_broken_toml_and_no_file_are_told(tmp_path):
    with pytest.raises(RuleSetError, match="is not TOML"):
        load(tmp_path, OWN + "\n[[")
    with pytest.raises(RuleSetError, match=r"^rule set nothing\.toml cannot be read: No such file"):
        load_rule_file(tmp_path / "nothing.toml")
    (tmp_path / "latin.toml").write_bytes(b'title = "\xe9"')
    with pytest.raises(RuleSetError, match=r"latin\.toml cannot be read: it is not UTF-8"):
        load_rule_file(tmp_path / "latin.toml")


def test_unknown_units_are_told_and_do_not_crash(tmp_path):
    with pytest.raises(RuleSetError, match=r"units: \"ells\" cannot be used"):
        load(tmp_path, OWN.replace('units = "metric"', 'units = "ells"'))


def test_unknown_name_is_refused_with_what_there_is():
    with pytest.raises(CatalogueError, match=r"allowed: common-practice, .*nearest: 'common-pra"):
        load_rule_set("common practise")


@pytest.mark.parametrize("name", rule_set_names())
def test_built_in_sets_name_what_the_catalogue_has(name):
    rules = load_rule_set(name)
    assert rules.name == name
    assert rules.source
    assert rules.mark
    for rule in rules.ply_rules:
        for key in {rule.nail, *(s.nail for s in rule.stages)} - {None}:
            found = nail(key)
            assert found.source != "typed in the job"
            if rules.nail_surface is not None:
                assert found.surface == rules.nail_surface
    assert rules.bolts is not None
    assert bolt(rules.bolts.bolt).d < rules.bolts.hole
    assert washer(rules.bolts.washer).bolt == rules.bolts.bolt


@pytest.mark.parametrize("plies", [2, 3, 4, 5, 6])
def test_build_up_lays_the_last_ply_first_and_fastens_every_interface_once(plies):
    rule = load_rule_set("common-practice").ply_rules[plies - 2]
    added = [p for s in rule.stages for p in s.add]
    assert added == list(range(plies, 0, -1))
    assert [k for s in rule.stages for k in s.fastens] == list(range(plies - 1, 0, -1))
    assert {s.drive for s in rule.stages} == {"front"}
    assert len(rule.stages) == plies - 1
