"""The IFC file, read and judged by ifcopenshell: rules of the schema, volumes, places, stages."""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from itertools import pairwise

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.util.shape as shape_of
import ifcopenshell.validate
import pytest
from ifcopenshell.util import element, placement
from made_schedules import sample
from shapely import Polygon

from girderply.exchange.ifc.ifc_file import ifc_bytes

PRATT = "three-ply-pratt"


def opened(schedule):
    return ifcopenshell.file.from_string(ifc_bytes(schedule).decode("ascii"))


@pytest.fixture(scope="module")
def pratt():
    return opened(sample(PRATT))


# reason: the judge leaves a file of its own open when it compiles the rules
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize(
    ("name", "rules"), [(PRATT, True), ("two-ply-screwed", False), ("two-ply-imperial", False)]
)
def test_the_schema_and_its_rules_find_nothing_wrong(name, rules):
    """The rules are compiled anew for each file, 7 s and more, so one file is judged by them."""
    log = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(opened(sample(name)), log, express_rules=rules)
    assert log.statements == []


def test_a_broken_file_is_found_wrong_by_the_same_judge():
    text = re.sub(r"(IFCBUILDING)\('[^']+'", r"\1($", ifc_bytes(sample(PRATT)).decode())
    log = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(ifcopenshell.file.from_string(text), log)
    assert log.statements


def test_volumes_of_members_are_those_of_their_outlines_and_plies_stand_behind_each_other(pratt):
    """Area as cut times 45 or whatever the ply is; the reader makes its own solids."""
    girder = sample(PRATT).girder
    areas = {m.id: Polygon(m.outline).area for m in girder.members}
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    seen = Counter()
    for member in pratt.by_type("IfcMember"):
        made = ifcopenshell.geom.create_shape(settings, member).geometry
        volume = shape_of.get_volume(made) * 1e9  # in m3
        assert volume == pytest.approx(areas[member.Name] * girder.ply_thickness, rel=1e-6)
        ply = element.get_pset(member, "Girderply_Member", "Ply")
        ys = shape_of.get_vertices(made)[:, 1] * 1000
        low = (ply - 1) * girder.ply_thickness
        assert (ys.min(), ys.max()) == pytest.approx((low, low + girder.ply_thickness))
        seen[member.Name] += 1
    assert seen == dict.fromkeys(areas, girder.plies)


@pytest.mark.parametrize(
    ("name", "sorts"),
    [
        (PRATT, {("nail", "front"), ("nail", "back")}),
        ("two-ply-screwed", {("screw", "front"), ("bolt", "front")}),
        ("two-ply-howe", {("nail", "front"), ("bolt", "back")}),
    ],
)
def test_every_fastener_is_there_at_its_place_and_its_point_where_the_schedule_says(name, sorts):
    schedule = sample(name)
    thick = schedule.girder.ply_thickness
    there = {f.Tag: f for f in opened(schedule).by_type("IfcMechanicalFastener")}
    faces = set()
    for r in schedule.fasteners.records():
        f = there[r["id"]]
        matrix = placement.get_local_placement(f.ObjectPlacement)
        x, y, z = matrix[:3, 3]
        way = matrix[:3, 2]
        assert (x, z) == pytest.approx((r["x"], r["y"]), abs=1e-5)
        assert way.tolist() == pytest.approx([0, 1 if r["face"] == "front" else -1, 0])
        assert f.PredefinedType == r["kind"].upper()
        if r["kind"] != "bolt":
            point = y + way[1] * f.NominalLength
            surface = (r["to_ply"] - 1) * thick if way[1] > 0 else r["to_ply"] * thick
            inside = abs(point - surface)
            assert inside == pytest.approx(r["point_depth"] + r["protrusion"], abs=1e-6)
        else:  # the washer lies between the bolt's head and the timber
            choice = schedule.bolts[r["spec"]]
            face = 0.0 if way[1] > 0 else schedule.girder.stack
            assert abs(y - face) == pytest.approx(choice.washer.thickness)
            assert f.NominalLength == choice.length
        faces.add((r["kind"], r["face"]))
    assert faces == sorts


def test_counts_are_the_totals_of_the_schedule(pratt):
    schedule = sample(PRATT)
    kinds = Counter(f.PredefinedType for f in pratt.by_type("IfcMechanicalFastener"))
    wanted = Counter(k.upper() for k in schedule.fasteners.kind.tolist())
    plates = 2 * schedule.girder.plies * len(schedule.girder.plates)
    assert kinds == wanted + Counter({"NAILPLATE": plates})
    (girder,) = [a for a in pratt.by_type("IfcElementAssembly") if a.PredefinedType == "GIRDER"]
    parts = element.get_decomposition(girder)
    assert sum(p.is_a("IfcMechanicalFastener") for p in parts) == sum(kinds.values())
    assert Counter(p.is_a() for p in parts)["IfcElementAssembly"] == schedule.girder.plies


def test_stages_follow_each_other_and_every_fastener_goes_in_once(pratt):
    schedule = sample(PRATT)
    tasks = {t.Identification: t for t in pratt.by_type("IfcTask")}
    numbers = [str(s.number) for s in schedule.stages]
    assert set(tasks) == {"assembly", *numbers}
    followers = {
        s.RelatingProcess.Identification: s.RelatedProcess.Identification
        for s in pratt.by_type("IfcRelSequence")
    }
    assert followers == dict(pairwise(numbers))
    stages = {r["id"]: str(r["stage"]) for r in schedule.fasteners.records()}
    told = {
        f.Tag: rel.RelatingProcess.Identification
        for rel in pratt.by_type("IfcRelAssignsToProcess")
        for f in rel.RelatedObjects
    }
    assert told == stages


def test_text_of_a_job_comes_back_as_it_was():
    text = "O'Neill \\ #12=X(); \u00e9\u20ac \U0001fab5 \t*/ $"
    made = sample(PRATT)
    job = dataclasses.replace(made.job, info=dataclasses.replace(made.job.info, title=text))
    file = opened(dataclasses.replace(made, job=job))
    assert file.by_type("IfcProject")[0].LongName is None
    assert file.by_type("IfcProject")[0].Description == text


def test_same_schedule_same_bytes_and_names_are_of_the_content():
    made = sample("two-ply-howe")
    assert ifc_bytes(made) == ifc_bytes(made)
    other = dataclasses.replace(made, content_hash="0" * 64)
    names = [{e.GlobalId for e in opened(s).by_type("IfcRoot")} for s in (made, other)]
    assert names[0].isdisjoint(names[1])
    assert len(names[0]) == len(opened(made).by_type("IfcRoot"))
