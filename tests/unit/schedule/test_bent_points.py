"""Which way a point is bent: where it lies afterwards, and what the yard hand is told."""

from __future__ import annotations

from collections import Counter
from math import cos, sin

import numpy as np
import pytest
from inspection_records import sample
from jobs_in_text import Ask, job_text
from shapely import LineString, Point, Polygon

from girderply.drawing.seen import points_to_clench
from girderply.drawing.symbols import Look, fastener_signs
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import english

NAMES = ("two-ply-howe", "six-ply", "truncated-nodes", "three-ply-upright", "refused-overloaded")
UNIT = {"up": (0, 1), "down": (0, -1), "left": (-1, 0), "right": (1, 0)}


def lies(schedule, i):
    """The bent point of a fastener in the elevation, from its own columns."""
    f = schedule.fasteners
    a = schedule.girder.member(str(f.member[i])).angle
    out = float(f.protrusion[i]) * int(f.bend[i])
    start = (float(f.x[i]), float(f.y[i]))
    return LineString([start, (start[0] - sin(a) * out, start[1] + cos(a) * out)])


def in_the_way(schedule):
    """Plates, brackets and washers as polygons, worked out here."""
    f = schedule.fasteners
    found = [Polygon(p.outline) for p in schedule.girder.plates]
    found += [Polygon(x.footprint) for x in schedule.girder.loads if x.footprint is not None]
    for i in np.flatnonzero(f.kind == "bolt"):
        half = schedule.bolts[str(f.spec[i])].washer.outer / 2
        found.append(Point(float(f.x[i]), float(f.y[i])).buffer(half))  # inside the square washer
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_bent_point_lies_on_its_member_and_on_nothing_else(name):
    schedule = sample(name)
    f, things = schedule.fasteners, in_the_way(schedule)
    bent = np.flatnonzero(f.clench)
    assert len(bent) > 50
    assert np.all(np.abs(f.bend[bent]) == 1)
    assert not f.bend[~f.clench].any()
    timber = {m.id: Polygon(m.outline).buffer(1e-6) for m in schedule.girder.members}
    for i in bent.tolist():
        line = lies(schedule, i)
        assert line.length == pytest.approx(float(f.protrusion[i]))
        assert timber[str(f.member[i])].covers(line), f.id[i]
        assert not any(thing.intersects(line) for thing in things), f.id[i]


def test_without_a_reason_it_is_bent_towards_the_middle_and_every_other_one_is_named():
    schedule = sample("two-ply-howe")
    f, stage = schedule.fasteners, schedule.stages[-1]
    outwards = (f.bend * f.offset > 0) & (np.abs(f.offset) > 1.0)
    told = next(line for line in map(english, stage.action) if "room" in line)
    for name, n in Counter(f.member[outwards].tolist()).items():
        part = next(p for p in told.partition(": ")[2].split("; ") if p.startswith(f"{name} "))
        assert part.count(",") + 1 == n
        for station in f.station[outwards & (f.member == name)]:
            assert f"{station:,.0f}".replace(",", "\u00a0") in part
    assert outwards.any()
    assert bool(points_to_clench(schedule, stage)[outwards].all())


def test_the_contract_and_the_drawing_point_the_same_way():
    schedule = sample("two-ply-howe")
    f, look = schedule.fasteners, Look("back", True, 0.02)
    data = {x["id"]: x["bend"] for x in to_contract(schedule)["fasteners"]}
    bent = f.select(f.clench)
    ticks = [s for s in fastener_signs(schedule, bent, look) if s.tag == "clench"]
    for tick, name in zip(ticks, bent.id.tolist(), strict=True):
        dx, dy = tick.b[0] - tick.a[0], tick.b[1] - tick.a[1]
        x, y = UNIT[data[name]]
        assert dx * x + dy * y > 0.4 * np.hypot(dx, dy)
    assert {v for k, v in data.items() if k not in set(bent.id.tolist())} == {None}


def test_no_room_on_either_side_is_a_warning():
    """90 mm deep, the nail on the centreline comes out 100 - 2 x 26 = 48 mm: 3 mm past the edge."""
    rule = '[fastening.overrides]\nclench_max = "60 mm"\n'
    job = parse_job(job_text(Ask(thickness=26.0, web=90.0, top=145.0, extra=rule)))
    schedule = build_schedule(job)
    f = schedule.fasteners
    webs = f.clench & np.char.startswith(f.member, "W")
    told = [x for x in schedule.findings if x.code == "no-room-to-bend"]
    assert webs.any()
    assert len(told) == 1
    assert str(f.id[webs][0]) in english(told[0].message)
    assert f"{int(webs.sum())} points" in english(told[0].message)
