"""What can be built as it is written, and is hardly meant so: outlines, plates, brackets, rows.

Everything here names what was expected, so that a person can hold it against the drawing.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.geometry import LineString, Polygon

from girderply.errors import Finding, Severity
from girderply.jobfile.job import GirderSpec, MemberSpec, PlateSpec
from girderply.model.frame import Frame, error
from girderply.model.girder import HungLoad, Member
from girderply.units.show import Show
from girderply.wording import Words, english, joined, said

DEPTH_APART, DEPTH_SHARE = 3.0, 0.02  # mm, of the depth: an outline may differ from it by so much
LARGE_PLATE = 900.0  # mm: a longer nail plate is asked about; common practice, no source
SMALL_PLATE = 40.0  # mm: so is a narrower one
AIM = math.radians(3)  # a plate lies along its chord, or between two, as nearly as this
HELD = 0.02  # of a plate's area on a member that ends in it; less holds nothing
OVERLAP = 0.01  # of the smaller bracket
SAME_BRACKET = 1.0  # mm: a load in two entries hangs in one bracket
FEWEST, MOSTLY, GAP = 4, 0.6, 0.05  # loads in a row, share of its steps that are alike, their play


def depth_faults(frame: Frame, show: Show) -> Iterator[Finding]:
    """Members whose outline is not as deep as their `depth` says: checks go by one of the two."""
    for m in frame.members:
        if m.outline is None:
            continue
        deep = _depth_at_middle(frame, m)
        if abs(deep - m.depth) > max(DEPTH_APART, DEPTH_SHARE * m.depth):
            drawn, written = english(show.small(deep)), english(show.small(m.depth))
            text = f"the outline of {m.id} is {drawn} deep in the middle, its depth says {written}"
            where = f"girder.members.{m.id}.depth"
            yield error("depth-against-outline", where, text, "one of the two is wrong")


def _depth_at_middle(frame: Frame, m: MemberSpec) -> float:
    """How deep the outline is across the middle of a member, mm."""
    axis, far = frame.axis(m), 1e5
    across = LineString([axis.middle - far * axis.n, axis.middle + far * axis.n])
    return float(shapely.intersection(across, Polygon(m.outline or ())).length)


def plate_looks(
    spec: GirderSpec, frame: Frame, cut: Mapping[str, Polygon], show: Show
) -> Iterator[Finding]:
    """Given plates that are turned the wrong way, too large, or hold next to nothing; one missing.

    Args:
        spec: its plates, which have been checked to be at their joints.
        frame: which members meet at which joint.
        cut: member -> outline.
        show: units of the job.
    """
    for n, plate in enumerate(spec.plates, 1):
        if plate.joint not in frame.joints():
            continue
        where, met = f"girder.plates[{n}]", {m.id: cut[m.id] for m in frame.at(plate.joint)}
        yield from _turned(plate, frame, where)
        yield from _large(plate, frame, where, show)
        yield from _hardly_held(plate, met, where, show)
    given = {p.joint for p in spec.plates}
    missing = [k for k in frame.joints() if k not in given]
    if given and missing:
        text = said(
            "looks.plate_missing", joints=", ".join(missing), n=len(missing), given=len(given)
        )
        yield _warning("plate-missing", "girder.plates", text)


def _shape(plate: PlateSpec, angle: float) -> Polygon:
    x, y = plate.centre
    box = shapely.box(
        x - plate.width / 2, y - plate.height / 2, x + plate.width / 2, y + plate.height / 2
    )
    return rotate(box, angle, use_radians=True)


def _turned(plate: PlateSpec, frame: Frame, where: str) -> Iterator[Finding]:
    """A plate that its chords would have turned the other way: along one of them, or between."""
    angle = _slant(plate.angle)
    slants = [_slant(_direction(frame, m)) for m in frame.at(plate.joint) if m.role.is_chord]
    if not slants:
        return
    low, high = min(slants) - AIM, max(slants) + AIM
    if low <= angle <= high or not low <= -angle <= high:
        return
    runs = {f"{math.degrees(s):+.1f}" for s in slants}
    text = said(
        "looks.plate_turned",
        joint=plate.joint,
        angle=f"{math.degrees(plate.angle):+.1f}",
        other=f"{-math.degrees(plate.angle):+.1f}",
        chords=", ".join(sorted(runs)),
    )
    yield _warning("plate-turned", f"{where}.angle", text)


def _direction(frame: Frame, m: MemberSpec) -> float:
    u = frame.axis(m).u
    return math.atan2(float(u[1]), float(u[0]))


def _slant(angle: float) -> float:
    """The same direction of a rectangle's sides between -45 and 45 degrees, rad."""
    return (angle + math.pi / 4) % (math.pi / 2) - math.pi / 4


def _large(plate: PlateSpec, frame: Frame, where: str, show: Show) -> Iterator[Finding]:
    size = max(plate.width, plate.height)
    over = [
        k
        for k in frame.joints()
        if k != plate.joint and _shape(plate, plate.angle).contains(shapely.Point(frame.nodes[k]))
    ]
    if size > LARGE_PLATE or over:
        joints = ", ".join(over)
        text = (
            said("looks.plate_covers", joint=plate.joint, size=show.small(size), others=joints)
            if over
            else said("looks.plate_large", joint=plate.joint, size=show.small(size))
        )
        tip = said("looks.plate_meant", size=show.small(size / 10))
        yield _warning("plate-large", where, text, tip)
    least = min(plate.width, plate.height)
    if least < SMALL_PLATE:
        text = said("looks.plate_small", joint=plate.joint, size=show.small(least))
        tip = said("looks.plate_meant", size=show.small(least * 10))
        yield _warning("plate-small", where, text, tip)


def _hardly_held(
    plate: PlateSpec, met: Mapping[str, Polygon], where: str, show: Show
) -> Iterator[Finding]:
    """Members that a plate touches and does not hold; one that it misses is told by itself."""
    shape = _shape(plate, plate.angle)
    for name, outline in met.items():
        held = shapely.intersection(shape, outline)
        if shape.intersects(outline) and held.area < HELD * shape.area:
            text = said("looks.plate_holds", joint=plate.joint, member=name)
            tip = said("looks.plate_further", size=show.small(_reach(shape, outline)))
            yield _warning("plate-misses-member", where, text, tip)


def _reach(shape: Polygon, outline: Polygon) -> float:
    """From a plate's edge to the middle of what the member has near it, mm; a size to look for."""
    near = shapely.intersection(outline, shape.centroid.buffer(2 * math.sqrt(shape.area)))
    return float(shape.distance(near.centroid)) if not near.is_empty else 0.0


def bracket_looks(
    loads: Sequence[HungLoad], chords: Mapping[str, Member], show: Show
) -> Iterator[Finding]:
    """Brackets that lie on each other on one face, and such as reach beyond their chord."""
    shapes = {x.id: Polygon(x.footprint) for x in loads if x.footprint is not None}
    by_face: dict[str, list[HungLoad]] = {}
    for load in loads:
        if load.id in shapes:
            by_face.setdefault(str(load.face), []).append(load)
    for mine in by_face.values():
        for one, two in _near(mine):
            yield from _on_each_other(one, two, shapes, show)
    for load in loads:
        if load.id in shapes:
            yield from _beyond(load, shapes[load.id], chords[load.chord])


def _near(loads: Sequence[HungLoad]) -> Iterator[tuple[HungLoad, HungLoad]]:
    """Pairs whose brackets may touch, each once."""
    order = sorted(loads, key=lambda x: x.x)
    widest = max((x.bracket.width + x.bracket.height for x in order if x.bracket), default=0.0)
    for i, one in enumerate(order):
        for two in order[i + 1 :]:
            if two.x - one.x > widest:
                break
            yield one, two


def _on_each_other(
    one: HungLoad, two: HungLoad, shapes: Mapping[str, Polygon], show: Show
) -> Iterator[Finding]:
    a, b = shapes[one.id], shapes[two.id]
    same = one.bracket == two.bracket and a.centroid.distance(b.centroid) < SAME_BRACKET
    if same or shapely.intersection(a, b).area <= OVERLAP * min(a.area, b.area):
        return
    apart = math.hypot(one.x - two.x, one.y - two.y)
    needed = (one.bracket.width + two.bracket.width) / 2 if one.bracket and two.bracket else 0.0
    text = said(
        "looks.brackets_overlap",
        first=one.id,
        second=two.id,
        apart=show.span(apart),
        needed=show.span(needed),
    )
    yield _warning("brackets-overlap", f"loads.{two.id}", text)


def _beyond(load: HungLoad, shape: Polygon, chord: Member) -> Iterator[Finding]:
    """A footprint that hangs over the end of its chord."""
    stations = chord.to_local(np.asarray(shape.exterior.coords))[:, 0]
    over = max(-float(stations.min()), float(stations.max()) - chord.length)
    if over > SAME_BRACKET:
        text = said("looks.bracket_beyond", load=load.id, chord=chord.id, over=f"{over:.0f}")
        yield _warning("bracket-beyond-chord", f"loads.{load.id}", text)


def row_looks(loads: Sequence[HungLoad], show: Show) -> Iterator[Finding]:
    """Loads in a row of equal steps with one step doubled: an entry was lost, or one is wrong."""
    rows: dict[tuple[str, str], set[float]] = {}
    for load in loads:
        if load.face != "top":
            rows.setdefault((load.chord, str(load.face)), set()).add(round(load.station, 1))
    for (chord, face), places in rows.items():
        at = sorted(places)
        steps = [b - a for a, b in pairwise(at)]
        if len(at) < FEWEST:
            continue
        usual, often = Counter(round(s) for s in steps).most_common(1)[0]
        if often < MOSTLY * len(steps):
            continue
        lost = [a + usual for a, s in zip(at, steps, strict=False) if _doubled(s, usual)]
        if lost:
            text = said(
                "looks.row_gap",
                chord=chord,
                face=said(f"face.{face}"),
                step=show.span(usual),
                at=joined(", ", map(show.span, lost)),
            )
            yield _warning("load-missing", "loads", text)


def _doubled(step: float, usual: float) -> bool:
    return usual > 0 and abs(step - 2 * usual) <= GAP * usual


def _warning(code: str, where: str, text: Words, tip: Words = "") -> Finding:
    return Finding(code, Severity.WARNING, where, text, tip=tip)
