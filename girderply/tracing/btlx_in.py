"""A BTLx file as a `Drawing`: parts in one plane, by their shape or, without one, their blank."""

from __future__ import annotations

from pathlib import Path
from typing import Final
from xml.etree import ElementTree as Xml

import numpy as np

from girderply.errors import TraceError
from girderply.model.girder import Array
from girderply.tracing.drawing import Drawing, Options, refusal
from girderply.tracing.planar import Solid, drawing_of
from girderply.wording import said

MOST_BYTES: Final = 50_000_000
OURS: Final = "x from the hook end"  # of the comment of our own files
BOX: Final = (
    (0, 1, 2, 3), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7),
)  # fmt: skip


def read_btlx(path: Path, options: Options) -> Drawing:
    """Read the parts of a BTLx file (2.x).

    Raises:
        TraceError: no BTLx file, or parts that do not stand in one plane.
    """
    root = _parsed(path)
    project = root.find("{*}Project")
    parts = root.findall("{*}Project/{*}Parts/{*}Part")
    if project is None or not root.tag.endswith("BTLx"):
        raise TraceError([refusal("not-btlx", path.name, "is no BTLx file: it has no Project")])
    wanted = {w.strip() for w in options.members.split(",") if w.strip()}
    chosen = [p for p in parts if not wanted or wanted & {p.get("Designation"), p.get("Group")}]
    ours = OURS in (project.get("Comment") or "")
    try:
        solids = [_solid(p, ours) for p in chosen]
    except (ValueError, TypeError, AttributeError, IndexError) as fault:
        message = f"a part is not as BTLx has it: {fault}"
        raise TraceError([refusal("not-btlx", path.name, message)]) from fault
    drawing = drawing_of(solids, [], path.name)
    drawing.blank = any(p.find("{*}Shape/{*}IndexedFaceSet") is None for p in chosen)
    if drawing.blank:
        drawing.notes.append(said("tracing.blanks"))
    return drawing


def _parsed(path: Path) -> Xml.Element:
    data = path.read_bytes()
    if len(data) > MOST_BYTES or b"<!DOCTYPE" in data or b"<!ENTITY" in data:
        message = "is larger than 50 MB, or declares entities, which no BTLx file needs"
        raise TraceError([refusal("not-btlx", path.name, message)])
    try:
        return Xml.fromstring(data)
    except (Xml.ParseError, ValueError) as fault:
        message = f"is no XML file: {fault}"
        raise TraceError([refusal("not-btlx", path.name, message)]) from fault


def _solid(part: Xml.Element, ours: bool) -> Solid:
    place = part.find("{*}Transformations/{*}Transformation/{*}Position")
    if place is None:
        raise ValueError(f"part {part.get('SingleMemberNumber')} has no position")
    origin, x, y = (
        np.array([float(place.find(f"{{*}}{k}").get(a)) for a in "XYZ"])  # type: ignore[union-attr,arg-type]
        for k in ("ReferencePoint", "XVector", "YVector")
    )
    axes = np.array([x, y, np.cross(x, y)])
    corners, faces = _shape(part)
    hook = _hook(part) if ours else None
    return Solid(
        name=part.get("Designation") or "",
        corners=corners @ axes + origin,
        faces=faces,
        timber=part.get("TimberGrade") or "",
        hook=None if hook is None else hook @ axes + origin,
    )


def _shape(part: Xml.Element) -> tuple[Array, list[tuple[int, ...]]]:
    """Corners and faces in the part's own axes: its shape, else the box of its blank."""
    shape = part.find("{*}Shape/{*}IndexedFaceSet")
    if shape is None:
        length, height, width = (float(part.get(k) or "") for k in ("Length", "Height", "Width"))
        ends = [(0.0, 0.0), (0.0, width), (height, width), (height, 0.0)]
        box = np.array([(x, y, z) for x in (0.0, length) for y, z in ends])
        return box, list(BOX)
    found = shape.find("{*}Coordinate")
    numbers = (found.get("point") if found is not None else None) or ""
    corners = np.array(numbers.replace(",", " ").split(), float).reshape(-1, 3)
    faces: list[tuple[int, ...]] = []
    face: list[int] = []
    for i in map(int, (shape.get("coordIndex") or "").replace(",", " ").split()):
        if i >= 0:
            face.append(i)
        elif len(face) > 2:
            faces.append(tuple(face))
        if i < 0:
            face = []
    return corners, faces


def _hook(part: Xml.Element) -> Array:
    """The middle of the start of a part."""
    return np.array([0.0, float(part.get("Height") or "") / 2, float(part.get("Width") or "") / 2])
