"""Models traced in: our own BTLx and IFC come back, compas_timber's too; bad ones are refused."""

from __future__ import annotations

import math
import warnings

import pytest
from drawn_girders import same_girder
from made_schedules import sample

from girderply.errors import TraceError
from girderply.exchange.btlx.btlx_file import btlx_bytes
from girderply.exchange.ifc.ifc_file import ifc_bytes
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.tracing.drawing import Options
from girderply.tracing.file import READERS, trace_file
from girderply.tracing.from_outlines import girder_of
from girderply.wording import english

WRITERS = {".btlx": btlx_bytes, ".ifc": ifc_bytes}


def traced(path, **options):
    chosen = Options(**options)
    return girder_of(READERS[path.suffix](path, chosen), chosen)


@pytest.mark.parametrize("ending", WRITERS)
@pytest.mark.parametrize("name", ["two-ply-howe", "four-ply-parallel", "truncated-nodes"])
def test_our_own_model_comes_back(name, ending, tmp_path):
    girder = sample(name).girder
    path = tmp_path / f"girder{ending}"
    path.write_bytes(WRITERS[ending](sample(name)))
    found = traced(path)
    same_girder(found, girder)
    assert (found.plies, found.thickness) == (girder.plies, pytest.approx(girder.ply_thickness))
    assert found.timber == girder.timber
    hooks = {m.id: m.hook_end for m in found.members}
    for m in girder.members:  # left is the lower end of an upright
        along = (m.far[0] - m.hook[0], m.far[1] - m.hook[1])
        upright = abs(along[0]) < 1e-3 * m.length
        assert hooks[m.id] == ("left" if along[1 if upright else 0] > 0 else "right")
    assert len(found.plates) == (len(girder.plates) if ending == ".ifc" else 0)
    assert {g.key for g in found.guesses} == {"girder.members.role"}


def compas_truss(path, height=2000.0):
    """A king post truss with struts by compas_timber's own writer: centrelines, no cuts."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from compas.geometry import Line, Point, Vector
        from compas.tolerance import Tolerance
        from compas_timber.elements import Beam
        from compas_timber.fabrication import BTLxWriter
        from compas_timber.model import TimberModel

        model = TimberModel(tolerance=Tolerance(unit="MM"))
        low = [Point(x, 0, 100) for x in (0, 2000, 4000, 6000, 8000)]
        top = Point(4000, 0, height)
        half = [Point(x, 0, (100 + height) / 2) for x in (2000, 6000)]
        for a, b, depth in (
            (low[0], low[4], 195), (low[0], top, 170), (top, low[4], 170), (low[2], top, 95),
            (low[1], half[0], 95), (low[3], half[1], 95), (half[0], low[2], 95),
            (low[2], half[1], 95),
        ):  # fmt: skip
            beam = Beam.from_centerline(
                Line(a, b), width=depth, height=45, z_vector=Vector(0, 1, 0)
            )
            model.add_element(beam)
        BTLxWriter().write(model, str(path))


def test_blanks_of_another_program_become_members_cut_by_the_usual_rules(tmp_path):
    path = tmp_path / "truss.btlx"
    compas_truss(path)
    made = trace_file(path, Options(plies=2))
    job = parse_job(made.text)
    by_role = sorted((m.role.value, round(m.depth)) for m in job.girder.members)
    assert by_role == [("bottom chord", 195), *[("top chord", 170)] * 2, *[("web", 95)] * 5]
    assert all(m.outline is None for m in job.girder.members)
    assert job.girder.ply_thickness == pytest.approx(45.0)
    apex = max(job.girder.nodes, key=lambda n: n.y)
    assert (apex.x, apex.y) == pytest.approx((4000.0, 1997.5), abs=1.0)  # its file has 0.001
    assert any("blanks" in english(note) for note in made.notes)


@pytest.mark.parametrize("ending", WRITERS)
def test_grades_of_single_members_come_back(tmp_path, ending):
    """The lightest is the girder's; `--timber` says it of all; a grade nobody knows is asked."""
    text = sample("two-ply-howe").job.source
    mixed = text.replace(
        "[girder.shape]", '[girder.timbers]\nW3 = "C30"\nBC1 = "C27"\n\n[girder.shape]'
    )
    path = tmp_path / f"mixed{ending}"
    path.write_bytes(WRITERS[ending](build_schedule(parse_job(mixed))))
    found = parse_job(trace_file(path).text).girder
    assert (found.timber, found.timbers) == ("C24", {"W3": "C30", "BC1": "C27"})
    told = parse_job(trace_file(path, Options(timber="C18")).text).girder
    assert (told.timber, told.timbers) == ("C18", {})
    path.write_bytes(path.read_bytes().replace(b"C30", b"X30"))
    made = trace_file(path)
    assert parse_job(made.text).girder.timbers == {}
    assert "girder.timber" in [g.key for g in made.guesses]


def test_a_model_that_is_turned_in_plan_is_seen_from_its_front(tmp_path):
    """Seven by eight turned: sine 0.6, cosine 0.8, so that x and y both count."""
    import re

    text = btlx_bytes(sample("two-ply-howe")).decode()
    c, s = 0.8, 0.6

    def turn(match):
        name, x, y, z = match.group(1), *(float(match.group(k)) for k in (2, 3, 4))
        return f'<{name} X="{c * x - s * y:.9f}" Y="{s * x + c * y:.9f}" Z="{z:.9f}"/>'

    pattern = r'<(ReferencePoint|XVector|YVector) X="([^"]+)" Y="([^"]+)" Z="([^"]+)"/>'
    path = tmp_path / "turned.btlx"
    path.write_text(re.sub(pattern, turn, text), "utf-8")
    same_girder(traced(path), sample("two-ply-howe").girder)
    assert math.hypot(c, s) == 1.0


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("a.btlx", "<BTLx/>", "has no Project"),
        ("a.btlx", "not xml", "is no XML file"),
        ("a.btlx", '<!DOCTYPE x [<!ENTITY a "b">]><BTLx/>', "declares entities"),
        ("a.btlx", "<BTLx><Project><Parts/></Project></BTLx>", "holds no member"),
        ("a.btlx", "<BTLx><Project><Parts><Part/></Parts></Project></BTLx>", "has no position"),
        ("a.ifc", "nothing", "is no IFC file|holds no member"),
        ("a.ifc", "", "is no IFC file|holds no member"),
    ],
)
def test_what_is_no_model_is_refused(name, text, words, tmp_path):
    path = tmp_path / name
    path.write_text(text, "utf-8")
    with pytest.raises(TraceError, match=words):
        traced(path)


def test_a_file_that_is_not_there_says_so(tmp_path):
    for ending in READERS:
        with pytest.raises(FileNotFoundError, match="No such file"):
            traced(tmp_path / f"none{ending}")


def test_members_of_an_ifc_model_are_chosen_by_name(tmp_path):
    path = tmp_path / "girder.ifc"
    path.write_bytes(ifc_bytes(sample("two-ply-howe")))
    assert len(traced(path, members="Ply 2").members) == 12
    with pytest.raises(TraceError, match="holds no member"):
        traced(path, members="Ply 9")
    with pytest.raises(TraceError, match="no member can be the bottom chord"):
        traced(path, members="BC1, W1")
