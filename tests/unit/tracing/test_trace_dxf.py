"""DXF drawings of other hands: lines, blocks, turns, units, one layer; and what is refused."""

from __future__ import annotations

import ezdxf
import pytest
from command import girderply
from drawn_girders import drawn, same_girder, turned
from made_schedules import sample
from shapely import affinity
from shapely.geometry import Polygon

from girderply.errors import TraceError
from girderply.jobfile.reader import parse_job
from girderply.tracing.drawing import Options
from girderply.tracing.dxf_in import read_dxf
from girderply.tracing.file import trace_file
from girderply.tracing.from_outlines import girder_of
from girderply.wording import english

HOWE, LEVEL, CUT = "two-ply-howe", "four-ply-parallel", "truncated-nodes"


def traced(path, **options):
    return girder_of(read_dxf(path), Options(**options))


def keys(girder):
    return {g.key for g in girder.guesses}


@pytest.mark.parametrize("name", [HOWE, LEVEL, CUT])
@pytest.mark.parametrize(
    "hand",
    [
        {},
        {"as_lines": True},
        {"layers": ("0", "0")},
        {"version": "R12"},
        {"block": True, "way": turned(0, 0, 0, 2.0)},
        {"way": turned(0, 5000, -700)},
    ],
    ids=["closed", "lines", "one-layer", "r12", "block", "moved"],
)
def test_a_truss_is_the_same_whoever_draws_it(name, hand, tmp_path):
    girder = sample(name).girder
    found = traced(drawn(tmp_path / "a.dxf", girder, **hand))
    same_girder(found, girder)
    assert len(found.plates) == len(girder.plates)


@pytest.mark.parametrize(("name", "degrees"), [(HOWE, 30), (HOWE, -105), (CUT, 170), (LEVEL, -20)])
def test_a_turned_drawing_is_laid_level_and_that_is_said(name, degrees, tmp_path):
    """A girder with a ridge stands with it up; level chords are turned as little as may be."""
    girder = sample(name).girder
    found = traced(drawn(tmp_path / "a.dxf", girder, way=turned(degrees, 300, 9000)))
    same_girder(found, girder)
    assert "drawing.rotation" in keys(found)


def test_rotation_that_is_given_is_taken(tmp_path):
    girder = sample(HOWE).girder
    path = drawn(tmp_path / "a.dxf", girder, way=turned(90, 0, 0))
    found = traced(path, rotation=-90.0)
    same_girder(found, girder)
    assert "drawing.rotation" not in keys(found)


@pytest.mark.parametrize(("unit", "mm", "code"), [("in", 25.4, 1), ("m", 1000, 6), ("cm", 10, 5)])
def test_units_of_the_header_and_of_the_option(unit, mm, code, tmp_path):
    girder = sample(HOWE).girder
    way = turned(0, 0, 0, 1 / mm)
    same_girder(traced(drawn(tmp_path / "a.dxf", girder, way=way, insunits=code)), girder)
    told = traced(drawn(tmp_path / "b.dxf", girder, way=way, insunits=0), unit=unit)
    same_girder(told, girder)
    assert "drawing.unit" not in keys(told)


def test_a_unit_that_alone_makes_a_girder_is_guessed_and_said(tmp_path):
    """9 600 units: in cm 96 m, in inches 244 m; only mm is left."""
    girder = sample(HOWE).girder
    found = traced(drawn(tmp_path / "a.dxf", girder, insunits=0))
    same_girder(found, girder)
    assert [g.value for g in found.guesses if g.key == "drawing.unit"] == ["mm"]


def test_two_units_are_a_question(tmp_path):
    """Drawn in inches: 378 long and 7.7 deep are 9.6 m, or 3.8 m of 77 mm in cm."""
    path = drawn(tmp_path / "a.dxf", sample(HOWE).girder, way=turned(0, 0, 0, 1 / 25.4), insunits=0)
    with pytest.raises(TraceError, match=r"may be in cm \(3\.780 m long\) or in \(9\.600 m long\)"):
        traced(path)


def test_a_scale_is_taken_and_a_wrong_header_is_doubted(tmp_path):
    girder = sample(HOWE).girder
    path = drawn(tmp_path / "a.dxf", girder, way=turned(0, 0, 0, 1 / 20), insunits=4)
    same_girder(traced(path, scale=20.0), girder)
    with pytest.raises(TraceError, match=r"says mm, but then the girder is 0\.480 m long"):
        traced(path)


def test_members_without_names_are_named_from_the_left_by_role(tmp_path):
    found = traced(drawn(tmp_path / "a.dxf", sample(HOWE).girder, words=False))
    assert [m.id for m in found.members] == ["TC1", "TC2", "BC1", *(f"W{i}" for i in range(1, 10))]
    assert "girder.members.names" in keys(found)


def test_frames_notes_and_what_stands_apart_are_left_out(tmp_path):
    girder = sample(HOWE).girder
    path = drawn(tmp_path / "a.dxf", girder)
    file = ezdxf.readfile(path)
    space = file.modelspace()
    for box in ((-900, -900, 11000, 3500), (9000, -800, 10900, -300), (20000, 0, 20100, 900)):
        x, y, right, top = box
        space.add_lwpolyline([(x, y), (right, y), (right, top), (x, top)], close=True)
    space.add_circle((4800, 100), 6.5)
    space.add_text("not a member", height=40).set_placement((100, 3000))
    file.saveas(path)
    found = traced(path)
    same_girder(found, girder)
    assert any("1 circle is" in english(note) for note in found.notes)


def test_named_layers_are_taken_at_their_word(tmp_path):
    girder = sample(HOWE).girder
    path = drawn(tmp_path / "a.dxf", girder)
    found = traced(path, members="TIMBER", plates="METAL")
    same_girder(found, girder)
    assert "girder.plates" not in keys(found)
    with pytest.raises(TraceError, match='layer "Timber"; there are: METAL, TIMBER'):
        traced(path, members="Timber")


def _without(girder, name):
    import dataclasses

    return dataclasses.replace(girder, members=tuple(m for m in girder.members if m.id != name))


def _spoil(tmp_path, **spoilt):
    """The howe sample with the outline of some members replaced."""
    girder = sample(HOWE).girder
    path = drawn(tmp_path / "a.dxf", _without(girder, next(iter(spoilt))))
    file = ezdxf.readfile(path)
    for corners, closed in spoilt.values():
        file.modelspace().add_lwpolyline(corners, close=closed, dxfattribs={"layer": "TIMBER"})
    file.saveas(path)
    return path


def test_a_web_that_ends_short_of_its_chord_is_refused_with_its_place(tmp_path):
    shape = affinity.scale(Polygon(sample(HOWE).girder.member("W5").outline), 1, 0.98)
    corners = list(shape.exterior.coords)[:-1]
    with pytest.raises(
        TraceError, match=r"at \(4800, \d+\) touches no other; the nearest is \d+\.\d mm"
    ):
        traced(_spoil(tmp_path, W5=(corners, True)))


def test_a_web_beside_its_panel_point_is_refused_and_taken_with_more_tolerance(tmp_path):
    """W2 moved along the bottom chord: its own panel points, so that nothing is off."""
    shape = affinity.translate(Polygon(sample(HOWE).girder.member("W5").outline), 8.0)
    corners = list(shape.exterior.coords)[:-1]
    found = traced(_spoil(tmp_path, W5=(corners, True)))
    (moved,) = [m for m in found.members if m.id not in {x.id for x in sample(HOWE).girder.members}
                or m.id == "W5"]  # fmt: skip
    at = {n.id: n.x for n in found.nodes}
    assert at[moved.nodes[0]] == pytest.approx(4808.0, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"nothing at all", "is no DXF file"),
        (b"\x00\xff\xfe" * 50, "is no DXF file"),
        (b"", "nothing closed is drawn"),
    ],
)
def test_what_is_no_dxf_is_refused(text, words, tmp_path):
    path = tmp_path / "a.dxf"
    path.write_bytes(text)
    with pytest.raises(TraceError, match=words):
        traced(path)


def _file(path, draw):
    file = ezdxf.new()
    draw(file.modelspace())
    file.saveas(path)
    return path


def test_open_outlines_are_refused_with_where_they_are_open(tmp_path):
    path = _file(tmp_path / "a.dxf", lambda s: s.add_lwpolyline([(0, 0), (900, 0), (900, 95)]))
    with pytest.raises(TraceError, match=r"do not close; open at \(0, 0\)"):
        traced(path)


def test_an_outline_that_is_open_by_a_little_is_refused_beside_whole_ones(tmp_path):
    corners = [tuple(map(float, p)) for p in sample(HOWE).girder.member("W5").outline]
    short = (corners[0][0] + 4, corners[0][1])
    with pytest.raises(TraceError, match=r"layer TIMBER: an outline is open by 4 units, from"):
        traced(_spoil(tmp_path, W5=([*corners, short], False)))


def test_an_empty_drawing_is_refused(tmp_path):
    with pytest.raises(TraceError, match="nothing closed is drawn"):
        traced(_file(tmp_path / "a.dxf", lambda s: s.add_point((0, 0))))


def test_overlapping_members_are_refused(tmp_path):
    girder = sample(HOWE).girder
    grown = Polygon(girder.member("W5").outline).buffer(12, join_style="mitre")
    corners = list(grown.exterior.coords)[:-1]
    with pytest.raises(TraceError, match=r"members overlap by \d+ mm2 at"):
        traced(_spoil(tmp_path, W5=(corners, True)))


def test_two_girders_in_one_file_are_a_question(tmp_path):
    girder = sample(HOWE).girder
    path = drawn(tmp_path / "a.dxf", girder)
    file = ezdxf.readfile(path)
    for m in girder.members:
        far = [(x + 20000, y) for x, y in m.outline]
        file.modelspace().add_lwpolyline(far, close=True, dxfattribs={"layer": "TIMBER"})
    file.saveas(path)
    with pytest.raises(TraceError, match="2 sets of members that do not touch"):
        traced(path)


def test_the_command_writes_a_job_that_is_read_and_a_picture(capsys, tmp_path):
    girder = sample(HOWE).girder
    path = drawn(tmp_path / "truss.dxf", girder, insunits=0)
    job, picture = tmp_path / "job.toml", tmp_path / "truss.svg"
    ran = girderply(capsys, "trace", path, "--plies", 3, "--out", job, "--picture", picture)
    assert ran.code == 0, ran.err
    assert "drawing.unit" in ran.err
    assert "girder.timber" in ran.err
    read = parse_job(job.read_text("utf-8"))
    assert read.girder.plies == 3
    assert set(read.info.assumed) >= {"girder.nodes", "girder.members", "girder.timber"}
    assert "girder.plies" not in read.info.assumed
    svg = picture.read_text("utf-8")
    assert all(f">{m.id}<" in svg for m in girder.members)
    again = girderply(capsys, "trace", path, "--out", job)
    assert again.code == 2
    assert "exists already" in again.err


def test_an_unknown_kind_of_file_is_refused(tmp_path):
    path = tmp_path / "truss.dwg"
    path.write_bytes(b"AC1032")
    with pytest.raises(TraceError, match=r"none of the kinds that are traced: .*\.dxf"):
        trace_file(path)
