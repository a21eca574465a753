"""Jobs with a girder of a shape or of nodes and members, for the tests of the model."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.bases.registry import spec_of
from girderply.jobfile.job import (
    FasteningSpec,
    GirderSpec,
    Job,
    JobInfo,
    LoadSpec,
    MemberSpec,
    NodeSpec,
    Role,
    UnitSystem,
)
from girderply.shapes.shape_spec import ShapeSpec

TOP, BOTTOM, WEB = Role.TOP_CHORD, Role.BOTTOM_CHORD, Role.WEB


def shape_job(
    shape: ShapeSpec | None,
    depths: tuple[float, float, float] = (145.0, 170.0, 95.0),
    loads: Sequence[LoadSpec] = (),
    units: str = "metric",
    **girder: object,
) -> Job:
    """A two-ply job; depths of top chord, bottom chord and webs, mm."""
    by_role = dict(zip((TOP.value, BOTTOM.value, WEB.value), depths, strict=True))
    spec = GirderSpec("G1", 1, 2, 38.0, "C24", shape, by_role if shape else {}, **girder)
    info = JobInfo("T-1", "test", "A", "2025-01-01", UnitSystem(units))
    return Job(info, spec, spec_of(), FasteningSpec(), tuple(loads))


def level_lists(width: float = 3000.0) -> tuple[list[NodeSpec], list[MemberSpec]]:
    """Two level chords, two posts, one brace: the smallest girder by lists, 40 mm posts."""
    nodes = [
        NodeSpec("A", 20, 50),
        NodeSpec("B", width - 20, 50),
        NodeSpec("C", 20, 840),
        NodeSpec("D", width - 20, 840),
    ]
    members = [
        MemberSpec("TC1", TOP, ("C", "D"), 120.0),
        MemberSpec("BC1", BOTTOM, ("A", "B"), 100.0),
        MemberSpec("W1", WEB, ("A", "C"), 40.0),
        MemberSpec("W2", WEB, ("A", "D"), 60.0),
        MemberSpec("W3", WEB, ("B", "D"), 40.0),
    ]
    return nodes, members


def list_job(nodes: Sequence[NodeSpec], members: Sequence[MemberSpec], **more: object) -> Job:
    """A job of nodes and members."""
    return shape_job(None, nodes=tuple(nodes), members=tuple(members), **more)  # type: ignore[arg-type]
