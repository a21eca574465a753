"""Every fastener of a girder set out again from what stands on its sheets, and from nothing else.

The reader knows the pages as pdfium gives them and imports nothing of the package; what it cannot
find is missing from the sheet. Members are laid where schedule.json says that they are, and an
edge is the one that a person would point at: below, or left or right of a member that stands up.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from functools import cache
from pathlib import Path

import pytest
from inspection_reader import read_inspection
from yard_reader import Fastener, read_yard

from girderply.jobfile.reader import read_job
from girderply.papers import render_document
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.schedule.types import Schedule

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"), key=lambda p: p.stem)
NEAR = 1.0  # mm: a tape is read to the millimetre; sixteenths of an inch lie closer


@cache
def _schedule(path: Path) -> Schedule:
    return build_schedule(read_job(path))


def _point(fastener: Fastener, member: dict) -> tuple[float, float]:
    """Where it is in the elevation, seen on the front face."""
    (hx, hy), (fx, fy) = member["hook_end"], member["far_end"]
    length = math.dist((hx, hy), (fx, fy))
    ux, uy = (fx - hx) / length, (fy - hy) / length
    towards = {"lower": (0.0, -1.0), "right": (1.0, 0.0), "left": (-1.0, 0.0)}[fastener.edge]
    if fastener.face == "back" and fastener.edge != "lower":
        towards = (-towards[0], 0.0)
    nx, ny = -uy, ux  # across the member; turned so that it points at the edge
    if nx * towards[0] + ny * towards[1] < 0:
        nx, ny = -nx, -ny
    out = member["depth_mm"] / 2 - fastener.height
    return hx + ux * fastener.station + nx * out, hy + uy * fastener.station + ny * out


@pytest.mark.parametrize("paper", [None, "A4"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_the_yard_document_gives_every_fastener_to_the_millimetre(path, paper):
    schedule = _schedule(path)
    data = to_contract(schedule)
    members = {m["id"]: m for m in data["members"]}
    found = defaultdict(list)
    for f in read_yard(render_document(schedule, "yard", paper)):
        found[f.stage, f.face, f.member, f.kind].append(_point(f, members[f.member]))
    faults = []
    for f in data["fasteners"]:
        there = found[f["stage"], f["face"], f["member"], f["kind"]]
        at = (f["x_mm"], f["y_mm"])
        nearest = min(there, key=lambda p: math.dist(p, at), default=None)
        if nearest is None or math.dist(nearest, at) > NEAR:
            faults.append((f["id"], f["stage"], at, nearest))
        else:
            there.remove(nearest)
    assert not faults
    assert not {key: rest for key, rest in found.items() if rest}


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_the_inspection_gives_the_count_of_every_row_and_its_run(path):
    schedule = _schedule(path)
    data = to_contract(schedule)
    members = {m["id"]: m for m in data["members"]}
    faces = {s["number"]: s["face_up"] for s in data["stages"]}
    rows, due = defaultdict(set), Counter()
    for f in data["fasteners"]:
        bolt = f["kind"] == "bolt"
        at = f["offset_mm"]
        rows[f["stage"], f["member"]] |= set() if bolt else {at}
        due[f["stage"], f["member"], "bolt" if bolt else at] += 1
    got: Counter[tuple] = Counter()
    for line in read_inspection(render_document(schedule, "inspection")):
        assert line.due == line.by_run, line
        for name in line.members:
            if line.kind:
                got[line.stage, name, line.kind] += line.due
                continue
            side = line.edge.replace("middle", "lower")
            here = Fastener(line.stage, faces[line.stage], name, "", 0.0, line.height, side)
            at = _across(_point(here, members[name]), members[name])
            row = min(rows[line.stage, name], key=lambda r, at=at: abs(r - at))
            assert abs(row - at) <= NEAR, line
            got[line.stage, name, row] += line.due
    assert due
    assert got == due


def _across(at: tuple[float, float], member: dict) -> float:
    """How far from the member's axis, mm."""
    (hx, hy), (fx, fy) = member["hook_end"], member["far_end"]
    long = math.dist((hx, hy), (fx, fy))
    return ((fx - hx) * (at[1] - hy) - (fy - hy) * (at[0] - hx)) / long
