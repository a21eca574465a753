"""A girder as a DXF drawing for other programs: real sizes, seen on the front face.

Members, plates, bearings and brackets are closed polylines; every nail and bolt is a block with
attributes, on a layer of its stage and kind. The drawing is in mm, or in inches for a job in
inches, and says so in its header.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from girderply.exchange.dxf_blocks import (
    BRACKET_TAGS,
    FASTENER_TAGS,
    LOAD_HIGH,
    bracket_block,
    fastener_blocks,
    fill,
    load_block,
)
from girderply.exchange.dxf_text import dxf_text
from girderply.jobfile.job import UnitSystem
from girderply.layout.bending import side_of
from girderply.model.girder import Array, HungLoad, Member
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.exact import MM_PER_IN
from girderply.wording import english

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

VERSION = "R2010"
MEMBERS, NAMES, PLATES, BEARINGS, NOTES = "MEMBERS", "MEMBER-NAMES", "PLATES", "BEARINGS", "NOTES"
HOOKS, LOADS = "HOOK-ENDS", "LOADS"
DASHED = "DASHED"
_COLOURS = {MEMBERS: 7, NAMES: 7, PLATES: 8, BEARINGS: 7, NOTES: 7, HOOKS: 7, LOADS: 7}
# Line weights in hundredths of a millimetre: heavy for what is done, thin for what is there.
_WEIGHTS = {MEMBERS: 35, PLATES: 18, BEARINGS: 35, LOADS: 50}
_BRACKET, _FASTENER, _OTHER = 25, 50, 25
_STAGE_COLOURS = (1, 5, 3, 6, 30, 4)  # never the only sign: every stage has its own layers
_LETTERS, _LINE = 40.0, 70.0  # capitals of notes and their distance, mm
_DECIMALS = 6


def stage_layer(stage: int, kind: str) -> str:
    """Name of the layer that holds the fasteners of a kind that go in during a stage."""
    return f"STAGE-{stage:02d}-{kind.upper()}S"


def bracket_layer(face: str) -> str:
    """Name of the layer of the brackets on a face (front, back, or top for both)."""
    return f"BRACKETS-{face.upper()}"


def dxf_bytes(schedule: Schedule) -> bytes:
    """The drawing of one girder; the same schedule gives the same bytes.

    Lengths are in mm, in a job in inches in inches (`$INSUNITS`).
    """
    from ezdxf.filemanagement import new

    with _fixed_metadata():
        drawing = new(VERSION)
        size = _header(drawing, schedule)
        space = drawing.modelspace()
        _layers(drawing, schedule, size)
        _timber(space, schedule, size)
        _brackets(drawing, schedule, size)
        _fasteners(drawing, schedule, size)
        _notes(space, schedule, size)
        _extents(drawing, size)
        for name in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(name)  # in this order; left alone they come by hash seed
        out = io.StringIO()
        drawing.write(out)
        return drawing.encode(out.getvalue())


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """No clock and no random ids in the file, while it is made and written."""
    from ezdxf import options  # type: ignore[attr-defined]

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _header(drawing: Drawing, schedule: Schedule) -> float:
    """Set the units and what the file says of itself; returns mm in one unit."""
    imperial = schedule.job.info.units is UnitSystem.IMPERIAL
    drawing.header["$INSUNITS"] = 1 if imperial else 4
    drawing.header["$MEASUREMENT"] = 0 if imperial else 1
    drawing.header["$LUNITS"] = 4 if imperial else 2  # feet and inches, or decimal
    drawing.header["$LUPREC"] = 4 if imperial else 1
    drawing.header["$ATTMODE"] = 1  # attributes show or hide as each of them says
    info = schedule.job.info
    for key, value in (
        ("Job", info.number), ("Revision", info.revision), ("Date", info.date),
        ("Girder", schedule.girder.mark), ("Content hash", schedule.content_hash),
    ):  # fmt: skip
        drawing.header.custom_vars.append(key, dxf_text(value))
    return MM_PER_IN if imperial else 1.0


def _layers(drawing: Drawing, schedule: Schedule, size: float) -> None:
    """Every layer with its colour and weight, and the line of what is assumed: 20 on, 10 off."""
    dash = [30.0 / size, 20.0 / size, -10.0 / size]
    drawing.linetypes.add(DASHED, dash, description="Assumed __ __ __ __")
    weights = {name: (colour, _WEIGHTS.get(name, _OTHER)) for name, colour in _COLOURS.items()}
    for face in sorted({str(x.face) for x in schedule.girder.loads}):
        weights[bracket_layer(face)] = (7, _BRACKET)
    f = schedule.fasteners
    for stage, kind in sorted(set(zip(f.stage.tolist(), f.kind.tolist(), strict=True))):
        colour = _STAGE_COLOURS[(stage - 1) % len(_STAGE_COLOURS)]
        weights[stage_layer(stage, kind)] = (colour, _FASTENER)
    for name, (colour, weight) in weights.items():
        drawing.layers.add(name, color=colour, lineweight=weight, linetype="Continuous")


def _extents(drawing: Drawing, size: float) -> None:
    """How far the drawing reaches, so that it is shown whole when it is opened.

    Letters are taken as wide as they are high, which no usual font of a drawing exceeds, so that
    nothing hangs on the fonts of this machine. Fasteners lie on the members.
    """
    points: list[tuple[float, float]] = []
    for e in drawing.modelspace():
        if e.dxftype() == "LWPOLYLINE":
            points += [(x, y) for x, y in e.get_points("xy")]  # type: ignore[attr-defined]
        elif e.dxftype() == "TEXT":
            place = e.dxf.get("align_point", e.dxf.insert)
            x, y = float(place[0]), float(place[1])
            wide = len(e.dxf.text) * e.dxf.height * (1.0 if e.dxf.halign == 0 else 0.5)
            points += [(x, y), (x + wide, y + e.dxf.height)]
        elif e.dxf.layer == LOADS:
            place = e.dxf.insert
            points.append((float(place[0]), float(place[1]) + LOAD_HIGH / size))
    low, high = (tuple(round(f(v), _DECIMALS) + 0.0 for v in zip(*points, strict=True)) + (0.0,)
                 for f in (min, max))  # fmt: skip
    drawing.header["$EXTMIN"], drawing.header["$EXTMAX"] = low, high
    drawing.modelspace().reset_extents(low, high)
    width, height = high[0] - low[0], high[1] - low[1]
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    drawing.set_modelspace_vport(height=1.05 * max(height, width / 1.6), center=middle)


def _outline(
    space: Modelspace,
    points: Array | Sequence[Any],
    layer: str,
    size: float,
    line: str = "BYLAYER",
) -> None:
    corners = [(_at(x, size), _at(y, size)) for x, y in points]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer, "linetype": line})


def _at(mm: float, size: float) -> float:
    return round(float(mm) / size, _DECIMALS) + 0.0


def _timber(space: Modelspace, schedule: Schedule, size: float) -> None:
    girder = schedule.girder
    for member in girder.members:
        _outline(space, member.outline, MEMBERS, size)
        space.add_point((_at(member.hook[0], size), _at(member.hook[1], size)), {"layer": HOOKS})
        x, y = ((a + b) / 2 for a, b in zip(member.hook, member.far, strict=True))
        turn = member.angle if abs(member.angle) <= 1.6 else member.angle + math.pi
        _words(space, member.id, (x, y), NAMES, size, turn)
    for plate in girder.plates:
        _outline(space, plate.outline, PLATES, size, DASHED if plate.assumed else "BYLAYER")
    bottom = min(float(m.outline[:, 1].min()) for m in girder.members)
    for b in girder.bearings:
        left, right = b.x - b.width / 2, b.x + b.width / 2
        box = ((left, bottom - 50), (right, bottom - 50), (right, bottom), (left, bottom))
        _outline(space, box, BEARINGS, size)


def _words(
    space: Modelspace,
    text: str,
    at: tuple[float, float],
    layer: str,
    size: float,
    turn: float = 0.0,
) -> None:
    from ezdxf.enums import TextEntityAlignment

    attributes = {"layer": layer, "rotation": round(math.degrees(turn), 3)}
    made = space.add_text(dxf_text(text), height=_at(_LETTERS, size), dxfattribs=attributes)
    align = TextEntityAlignment.MIDDLE_CENTER if layer == NAMES else TextEntityAlignment.LEFT
    made.set_placement((_at(at[0], size), _at(at[1], size)), align=align)


def _brackets(drawing: Drawing, schedule: Schedule, size: float) -> None:
    space, block = drawing.modelspace(), bracket_block(drawing, size)
    arrow = load_block(drawing, size)
    for load in schedule.girder.loads:
        layer = bracket_layer(str(load.face))
        if load.footprint is not None:
            _outline(space, load.footprint, layer, size)
        place = (_at(load.x, size), _at(load.y, size))
        mark = space.add_blockref(block, place, dxfattribs={"layer": layer})
        fill(mark, BRACKET_TAGS, _bracket_words(load, size), size)
        named = space.add_blockref(arrow, place, dxfattribs={"layer": LOADS})
        named.add_auto_attribs({"LOAD": dxf_text(load.id)})


def _bracket_words(load: HungLoad, size: float) -> dict[str, str]:
    return {
        "ID": dxf_text(load.id),
        "WHAT": dxf_text(load.what),
        "CHORD": dxf_text(load.chord),
        "FACE": str(load.face),
        "STATION": _number(load.station, size),
        "PLIES-REACHED": f"{load.plies_reached}",
    }


def _number(mm: float, size: float) -> str:
    return f"{_at(mm, size):.4f}".rstrip("0").rstrip(".")


def _fasteners(drawing: Drawing, schedule: Schedule, size: float) -> None:
    space = drawing.modelspace()
    blocks = fastener_blocks(drawing, schedule, size)
    for r in schedule.fasteners.records():
        values: dict[str, Any] = dict(r)
        mark = space.add_blockref(
            blocks[values["spec"], values["face"]],
            (_at(values["x"], size), _at(values["y"], size)),
            dxfattribs={"layer": stage_layer(values["stage"], values["kind"])},
        )
        member = schedule.girder.member(values["member"])
        fill(mark, FASTENER_TAGS, _fastener_words(values, member, size), size)


def _fastener_words(r: dict[str, Any], member: Member, size: float) -> dict[str, str]:
    same = ("id", "kind", "spec", "member", "joint", "stage", "face", "purpose", "load")
    return {name.upper(): dxf_text(str(r[name])) for name in same} | {
        "STATION": _number(r["station"], size),
        "PLIES": f"{r['from_ply']}-{r['to_ply']}",
        "HOLE": _number(r["drilled"], size),
        "CLENCH": "yes" if r["clench"] else "no",
        "BENT-TO": side_of(member, r["bend"]) if r["bend"] else "",  # seen on the front face
    }


def _notes(space: Modelspace, schedule: Schedule, size: float) -> None:
    """Lines of words under the girder: what it is, and the usual cautions."""
    info, girder = schedule.job.info, schedule.girder
    lines: list[str] = [english(cautions.not_for_assembly())] if schedule.failed else []
    lines += [
        f"{info.number} girder {girder.mark}, revision {info.revision} of {info.date}",
        f"{girder.quantity} to make, {girder.plies} plies each, seen on the front face",
        f"Content hash {schedule.content_hash}",
        *([english(cautions.demo())] if info.demo else []),
        *([english(cautions.plates_assumed())] if schedule.plates_assumed else []),
        *map(english, cautions.scope(schedule.job.assembly)),
    ]
    left = min(float(m.outline[:, 0].min()) for m in girder.members)
    bottom = min(float(m.outline[:, 1].min()) for m in girder.members)
    for k, line in enumerate(lines):
        _words(space, line, (left, bottom - 200.0 - k * _LINE), NOTES, size)
