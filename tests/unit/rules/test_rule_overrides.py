"""Single values that a job changes in a rule set."""

from __future__ import annotations

from dataclasses import fields

import pytest

from girderply.errors import RuleSetError
from girderply.rules import OVERRIDES, StageRule, apply_overrides, load_rule_set

COMMON = load_rule_set("common-practice")
FRENCH = load_rule_set("french-36mm")
NDS = load_rule_set("north-american-built-up")


def changed(rules, overrides, system="metric"):
    """Names of the fields that an override changed, and the new rule set."""
    new = apply_overrides(rules, overrides, system)
    names = {f.name for f in fields(new) if getattr(new, f.name) != getattr(rules, f.name)}
    return names, new


@pytest.mark.parametrize(
    ("name", "value", "field", "read"),
    [
        ("chord_pitch", 240, "chord", lambda r: (r.chord[0].pitch, r.chord[1].pitch)),
        ("chord_centres", 120, "chord", lambda r: (r.chord[0].pitch, r.chord[1].pitch)),
        ("web_pitch", 275, "web", lambda r: r.web[0].pitch),
        ("web_centres", 275, "web", lambda r: r.web[0].pitch),
        ("chord_gauge", 47, "chord", lambda r: r.chord[1].gauge),
        ("web_gauge", 33, "web", lambda r: r.web[0].gauge),
        ("chord_stagger", False, "chord", lambda r: r.chord[1].stagger),
        ("web_stagger", True, "web", lambda r: r.web[0].stagger),
        ("web_rows", 2, "web", lambda r: r.web[0].rows),
        ("edge_min", 21, "limits", lambda r: r.limits.edge_min),
        ("end_min", 61, "limits", lambda r: r.limits.end_min),
        ("plate_clearance", 0, "plate_clearance", lambda r: r.plate_clearance),
        ("washer_clearance", 13, "washer_clearance", lambda r: r.washer_clearance),
        ("bracket_clearance", 14, "bracket_clearance", lambda r: r.bracket_clearance),
        ("hole", 12.5, "bolts", lambda r: r.bolts.hole),
        ("washer", "ISO 7094 M12", "bolts", lambda r: r.bolts.washer),
        ("bolt_reach", 333, "bolts", lambda r: r.bolts.reach),
        ("bolts_per_joint", 2, "bolts", lambda r: r.bolts.per_joint),
        ("mid_compression", True, "bolts", lambda r: r.bolts.mid_compression),
        ("joint_bolts", False, "ply_rules", lambda r: r.ply_rules[3].joint_bolts),
        ("clench_min", 7, "clench_protrusion", lambda r: r.clench_protrusion[0]),
        ("clench_max", 29, "clench_protrusion", lambda r: r.clench_protrusion[1]),
        ("station_step", 10, "station_step", lambda r: r.station_step),
        ("zone_reach", 450, "zone_reach", lambda r: r.zone_reach),
        ("tolerance", 8, "tolerance", lambda r: r.tolerance),
        (
            "alignment_tolerance",
            4,
            "alignment_tolerance",
            lambda r: r.alignment_tolerance,
        ),
    ],
)
def test_one_override_changes_one_thing(name, value, field, read):
    names, new = changed(COMMON, {name: value})
    assert names == {field}
    in_proportion = {"chord_pitch": (120, 240), "chord_centres": (120, 240)}
    assert read(new) == in_proportion.get(name, value)


def test_every_override_is_tested_or_named_here():
    elsewhere = {"chord_rows", "bolt", "through_bolt_rows", "through_bolt_pitch", "driving_face"}
    marks = test_one_override_changes_one_thing.pytestmark  # type: ignore[attr-defined]
    tested = {case[0] for case in marks[0].args[1]}
    assert tested | elsewhere == set(OVERRIDES)


def test_a_number_of_rows_holds_for_every_depth():
    _, new = changed(COMMON, {"chord_rows": 3, "chord_pitch": 210})
    assert [(r.rows, r.pitch, r.stagger) for r in new.chord] == [(3, 210.0, True)]


def test_text_with_a_unit_and_numbers_of_an_imperial_job():
    assert apply_overrides(COMMON, {"chord_centres": "6 in"}).chord[1].pitch == 2 * 152.4
    new = apply_overrides(NDS, {"plate_clearance": 0.75, "tolerance": "6 mm"}, "imperial")
    assert (new.plate_clearance, new.tolerance) == (19.05, 6.0)


def test_another_bolt_brings_its_hole_and_its_washer():
    _, new = changed(COMMON, {"bolt": "M16"})
    assert (new.bolts.bolt, new.bolts.washer, new.bolts.hole) == ("M16", "DIN 436 M16", 17.0)
    _, new = changed(COMMON, {"bolt": "M16", "washer": "ISO 7094 M16", "hole": 16.5})
    assert (new.bolts.washer, new.bolts.hole) == ("ISO 7094 M16", 16.5)
    _, new = changed(NDS, {"bolt": "5/8in"})
    assert (new.bolts.bolt, new.bolts.washer) == ("5/8 in", "cut 5/8 in")


def test_through_bolts():
    _, new = changed(NDS, {"through_bolt_rows": 1, "through_bolt_pitch": 180})
    assert {(r.through_bolt_rows, r.through_bolt_pitch) for r in new.ply_rules} == {(1, 180.0)}


def test_driving_from_the_back_turns_the_assembly_round():
    _, new = changed(COMMON, {"driving_face": "back"})
    assert new.ply_rules[2].stages == (
        StageRule((1, 2), "back", (1,)),
        StageRule((3,), "back", (2,)),
        StageRule((4,), "back", (3,)),
    )


def test_driving_in_turn_from_both_faces_goes_through_two_or_three_plies():
    names, new = changed(COMMON, {"driving_face": "alternate"})
    assert names == {"ply_rules", "notes"}
    assert new.ply_rules[0].stages == (StageRule((2, 1), "alternate", (1,)),)
    assert new.ply_rules[1].stages == (StageRule((3, 2, 1), "alternate", (1, 2)),)
    assert new.ply_rules[2] == COMMON.ply_rules[2]
    assert "does not fit the assembly of 4, 5, 6 plies" in new.notes[-1]


def test_nails_meant_from_both_faces_may_all_come_from_one():
    _, new = changed(FRENCH, {"driving_face": "front"})
    assert new.ply_rules[1].stages == (StageRule((3, 2, 1), "front", (1, 2)),)
    assert new.ply_rules[2] == FRENCH.ply_rules[2]  # outer plies go on one per face
    assert "assembly of 4 plies" in new.notes[-1]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"chord_pich": 200}, r'"chord_pich" is not known; did you mean "chord_pitch"'),
        ({"qqqq": 200}, r'"qqqq" is not known; known: chord_rows, '),
        ({"chord_pitch": 5}, r"override chord_pitch: 5 must be 20 to 1000 mm"),
        ({"chord_pitch": float("nan")}, r"override chord_pitch: nan is not a finite number"),
        ({"chord_pitch": True}, r"override chord_pitch: true is no quantity"),
        ({"chord_rows": 1.5}, r"override chord_rows: 1.5 must be a whole number from 1 to 6"),
        ({"chord_rows": True}, r"override chord_rows: true must be a whole number"),
        ({"joint_bolts": "no"}, r'override joint_bolts: "no" must be true or false'),
        (
            {"driving_face": "fornt"},
            r'must be "front", "back" or "alternate"; did you mean "front"',
        ),
        ({"bolt": 12}, r"override bolt: 12 must be text: bolt of the catalogue"),
        ({"bolt": "M13"}, r"override bolt: no bolt 'M13' .*nearest: "),
        ({"bolt": "M8"}, r"no washer DIN 436 M8; give washer too: ISO 7094 M8"),
        ({"washer": "DIN 436 M16"}, r"washer: DIN 436 M16 is for M16, not for M12"),
        ({"hole": 14.5}, r"hole: 14.5 mm for M12 must be more than 12 mm and at most 13 mm"),
        ({"clench_max": 3}, r"clench_min: 5 mm is more than clench_max 3 mm"),
        ({"chord_pitch": 300, "chord_centres": 150}, r"give either chord_pitch or chord_centres"),
        ({"through_bolt_rows": 2}, r"give through_bolt_pitch too"),
    ],
)
def test_a_wrong_override_is_refused_in_words(given, said):
    with pytest.raises(RuleSetError, match=said):
        apply_overrides(COMMON, given)


def test_all_wrong_overrides_are_named_at_once():
    with pytest.raises(RuleSetError, match=r"web_rows: 9 .*; override tolerance: 0 "):
        apply_overrides(COMMON, {"web_rows": 9, "tolerance": 0})


def test_nothing_asked_changes_nothing():
    assert apply_overrides(COMMON, {}) == COMMON
