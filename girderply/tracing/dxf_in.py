"""A DXF file as a `Drawing`: closed lines, lines that close together, blocks exploded, words."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from girderply.errors import Finding, TraceError
from girderply.tracing.drawing import Drawing, Outline, Point, at, refusal
from girderply.wording import said

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Dxf
    from ezdxf.entities.dxfentity import DXFEntity
    from shapely import LineString

UNITS: Final = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
MOST: Final = 50_000  # entities; more is no drawing of one girder
SIGN: Final = 0.005  # a block smaller than this share of the whole is a sign
FLAT: Final = 0.05  # sagitta of a flattened arc, drawing units
NEARLY: Final = 0.05  # share of its length by which a chain may be open and still be an outline
SHARP: Final = 6  # decimals at which ends of lines are one, drawing units
LINES: Final = {"LINE", "ARC", "SPLINE", "ELLIPSE", "LWPOLYLINE", "POLYLINE"}


def read_dxf(path: Path) -> Drawing:
    """Read a DXF file; lengths stay in drawing units.

    Raises:
        TraceError: no DXF file, nothing closed in it, or lines that do not close.
    """
    found = Drawing()
    loose: dict[str, list[LineString]] = defaultdict(list)
    dxf = _opened(path)
    found.unit = UNITS.get(int(dxf.header.get("$INSUNITS", 0)), "")
    space: list[DXFEntity] = list(dxf.modelspace())
    if len(space) > MOST:
        raise TraceError([refusal("too-much", path.name, f"more than {MOST} entities")])
    blocks = [e for e in space if e.dxftype() == "INSERT"]
    for entity in space:
        if entity.dxftype() != "INSERT":
            _take(entity, found, loose)
    for entity in _exploded(_large(dxf, blocks, found, loose)):
        _take(entity, found, loose)
    _close(found, loose, path.name)
    if not found.outlines:
        tip = "draw members as closed polylines, or as lines whose ends meet"
        raise TraceError([refusal("no-outline", path.name, "nothing closed is drawn", tip)])
    return found


def _large(
    dxf: Dxf, blocks: list[DXFEntity], found: Drawing, loose: dict[str, list[LineString]]
) -> Iterator[DXFEntity]:
    """Blocks that may hold members; what is small beside the rest is a sign, and counted."""
    from ezdxf import bbox

    xs = [x for o in found.outlines for x, _ in o.corners]
    xs += [x for lines in loose.values() for line in lines for x, _ in line.coords]
    least = (max(xs) - min(xs)) * SIGN if xs else 0.0
    sizes: dict[str, float] = {}
    for insert in blocks:
        name = str(insert.dxf.name)
        if name not in sizes:
            box = bbox.extents(dxf.blocks.get(name) or (), fast=True)
            sizes[name] = max(box.size.x, box.size.y) if box.has_data else 0.0
        scale = max(abs(insert.dxf.get("xscale", 1.0)), abs(insert.dxf.get("yscale", 1.0)))
        if sizes[name] * scale >= least:
            yield insert
        else:
            found.signs += 1


def _opened(path: Path) -> Dxf:
    from ezdxf import recover
    from ezdxf.filemanagement import readfile
    from ezdxf.lldxf.const import DXFError

    with path.open("rb"):  # so that a file that is not there says so itself
        pass
    try:
        try:
            return readfile(str(path))
        except (
            DXFError,
            ValueError,
            OSError,
        ):  # slower, and takes much that is not as it should be
            return recover.readfile(str(path))[0]
    except (DXFError, ValueError, OSError) as fault:
        message = f"is no DXF file that can be read: {fault}"
        raise TraceError([refusal("not-dxf", path.name, message)]) from fault


def _exploded(entities: Iterable[DXFEntity]) -> Iterator[DXFEntity]:
    for entity in entities:
        if entity.dxftype() == "INSERT":
            yield from _exploded(entity.virtual_entities())  # type: ignore[attr-defined]
        else:
            yield entity


def _take(entity: DXFEntity, found: Drawing, loose: dict[str, list[LineString]]) -> None:
    kind, layer = entity.dxftype(), str(entity.dxf.get("layer", "0"))
    if kind in LINES:
        _line(entity, layer, found, loose)
    elif kind == "CIRCLE":
        found.holes += 1
    elif kind == "POINT":
        found.points.append((_flat(entity.dxf.location), layer))
    elif kind in ("TEXT", "MTEXT"):
        text = entity.plain_text() if kind == "MTEXT" else entity.dxf.text  # type: ignore[attr-defined]
        found.words.append((str(text).strip(), _word_at(entity)))


def _flat(place: Any) -> Point:
    return float(place[0]), float(place[1])


def _word_at(entity: DXFEntity) -> Point:
    if entity.dxftype() == "TEXT" and entity.dxf.get("halign", 0) + entity.dxf.get("valign", 0):
        return _flat(entity.dxf.get("align_point", entity.dxf.insert))
    return _flat(entity.dxf.insert)


def _line(
    entity: DXFEntity, layer: str, found: Drawing, loose: dict[str, list[LineString]]
) -> None:
    from ezdxf.path import make_path
    from shapely import LineString

    path = make_path(entity)
    points = [(round(v.x, SHARP), round(v.y, SHARP)) for v in path.flattening(FLAT)]
    points = [p for p, before in zip(points, [None, *points], strict=False) if p != before]
    if len(points) > 3 and points[0] == points[-1]:
        found.outlines.append(Outline(tuple(points[:-1]), layer))
    elif len(points) > 1:
        loose[layer].append(LineString(points))


def _close(found: Drawing, loose: dict[str, list[LineString]], name: str) -> None:
    """Outlines of lines that close together, layer by layer.

    Raises:
        TraceError: an outline that is open by a little, or nothing that closes at all.
    """
    from shapely import get_parts, line_merge, polygonize_full, union_all

    faults: list[Finding] = []
    for layer, lines in sorted(loose.items()):
        whole, _, dangles, _ = polygonize_full(get_parts(union_all(lines)))
        for made in get_parts(whole):
            corners = tuple(map(_flat, made.exterior.coords[:-1]))
            found.outlines.append(Outline(corners, layer, loose=True))
        open_ones = list(get_parts(line_merge(dangles)))
        faults += [f for line in open_ones for f in _open(line, layer)]
        if open_ones:
            found.notes.append(said("tracing.open_lines", layer=layer, n=len(open_ones)))
    if faults or (loose and not found.outlines):
        ends = [at(_flat(line.coords[0])) for lines in loose.values() for line in lines][:3]
        tip = "close the gaps, or draw closed polylines"
        message = f"its lines do not close; open at {', '.join(ends)}"
        raise TraceError(faults or [refusal("open-outline", name, message, tip)])


def _open(line: LineString, layer: str) -> Iterator[Finding]:
    """A chain that all but closes is an outline with a gap."""
    first, last = _flat(line.coords[0]), _flat(line.coords[-1])
    gap = math.dist(first, last)
    if len(line.coords) > 3 and gap < NEARLY * line.length:
        message = f"an outline is open by {gap:.3g} units, from {at(first)} to {at(last)}"
        yield refusal("open-outline", f"layer {layer}", message, "close it")
