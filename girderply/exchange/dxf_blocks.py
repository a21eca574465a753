"""Blocks of a DXF drawing: one per fastener and head side, and one for brackets, with attributes.

Sizes are real. Bolts are crosses in their washer (after ISO 5845-1); a nail is a filled dot where
its head is on the face shown, an open one where it is driven from the back, as on the sheets.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from girderply.catalogue.catalogue_types import BoltChoice
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.exchange.dxf_text import dxf_text, table_name
from girderply.schedule.types import Schedule

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.insert import Insert
    from ezdxf.layouts.blocklayout import BlockLayout

FASTENER_TAGS = (
    *("ID", "KIND", "SPEC", "MEMBER", "JOINT", "STATION", "STAGE", "FACE", "PLIES", "PURPOSE"),
    *("LOAD", "HOLE", "CLENCH", "BENT-TO"),
)
BRACKET_TAGS = ("ID", "WHAT", "CHORD", "FACE", "STATION", "PLIES-REACHED")
BRACKET, LOAD = "BRACKET", "LOAD"
LOAD_HIGH = 300.0  # of the arrow and a name of seven letters over it, mm
_TALL = 3.5  # attributes, mm


def fastener_blocks(
    drawing: Drawing, schedule: Schedule, size: float
) -> dict[tuple[str, str], str]:
    """Make the blocks that the schedule needs.

    Args:
        drawing: that they go into.
        schedule: whose fasteners they are.
        size: mm in one unit of the drawing.

    Returns:
        (spec, face) -> block name.
    """
    f = schedule.fasteners
    names: dict[tuple[str, str], str] = {}
    found = sorted(set(zip(f.kind.tolist(), f.spec.tolist(), f.face.tolist(), strict=True)))
    for kind, spec, face in found:
        wanted = table_name(f"{kind}-{spec}-{face}")
        name, n = wanted, 1
        while name in drawing.blocks:
            n += 1
            name = f"{wanted}-{n}"
        block = drawing.blocks.new(name, dxfattribs={"description": dxf_text(f"{kind} {spec}")})
        if kind == FastenerKind.BOLT and spec in schedule.bolts:
            _bolt(block, schedule.bolts[spec], size)
        else:
            _nail(block, _head(schedule, spec) / size, filled=face == "front")
        _attributes(block, FASTENER_TAGS, size)
        names[spec, face] = name
    return names


def bracket_block(drawing: Drawing, size: float) -> str:
    """Make the block that marks where a load hangs: a saltire of 40 mm."""
    block = drawing.blocks.new(BRACKET)
    arm = 20.0 / size
    block.add_line((-arm, -arm), (arm, arm))
    block.add_line((-arm, arm), (arm, -arm))
    _attributes(block, BRACKET_TAGS, size)
    return BRACKET


def load_block(drawing: Drawing, size: float) -> str:
    """Make the arrow down to where a load hangs, 100 mm long, with its name at the tail."""
    block = drawing.blocks.new(LOAD)
    tip, tail, head = 25.0 / size, 125.0 / size, 30.0 / size
    block.add_line((0, tail), (0, tip))
    for side in (-head / 3, head / 3):
        block.add_line((0, tip), (side, tip + head))
    name = {"height": 25.0 / size, "rotation": 90.0, "prompt": "LOAD"}
    block.add_attdef("LOAD", (12.0 / size, tail), dxfattribs=name)
    return LOAD


def _head(schedule: Schedule, spec: str) -> float:
    """Diameter of the head, mm; of a fastener without a catalogue entry, 8."""
    nail = schedule.nails.get(spec)
    return nail.head if nail else 8.0


def _nail(block: BlockLayout, head: float, filled: bool) -> None:
    block.add_circle((0, 0), head / 2)
    if filled:  # a ring as wide as its radius: filled on every reader, without a hatch
        ring = [(-head / 4, 0, head / 2, head / 2, 1), (head / 4, 0, head / 2, head / 2, 1)]
        block.add_lwpolyline(ring, close=True)


def _bolt(block: BlockLayout, choice: BoltChoice, size: float) -> None:
    half = choice.washer.outer / 2 / size
    arm = 1.25 * half
    block.add_line((-arm, 0), (arm, 0))
    block.add_line((0, -arm), (0, arm))
    block.add_circle((0, 0), choice.bolt.d / 2 / size)
    if choice.washer.shape == "square":
        corners = [(-half, -half), (half, -half), (half, half), (-half, half)]
        block.add_lwpolyline(corners, close=True)
    else:
        block.add_circle((0, 0), half)


def _attributes(block: BlockLayout, tags: tuple[str, ...], size: float) -> None:
    """Attributes that are there to be read by programs, invisible on the drawing."""
    from ezdxf.lldxf.const import ATTRIB_INVISIBLE

    for tag, below in zip(tags, _below(tags, size), strict=True):
        attributes = {"height": _TALL / size, "flags": ATTRIB_INVISIBLE, "prompt": tag}
        block.add_attdef(tag, (0.0, below), dxfattribs=attributes)


def fill(mark: Insert, tags: tuple[str, ...], values: dict[str, str], size: float) -> None:
    """Attributes of one mark, where those of its block are: moved, and neither turned nor scaled.

    As `add_auto_attribs` would, which looks every attribute up and turns it by a matrix: that took
    half of the time of a pack.
    """
    from ezdxf.lldxf.const import ATTRIB_INVISIBLE

    x, y, _ = mark.dxf.insert
    for tag, below in zip(tags, _below(tags, size), strict=True):
        attributes = {"height": _TALL / size, "flags": ATTRIB_INVISIBLE}
        mark.add_attrib(tag, values[tag], (x, y + below), attributes)


def _below(tags: tuple[str, ...], size: float) -> list[float]:
    """How far below the middle of a mark each attribute begins, as a negative number."""
    return [-(10.0 + 5.0 * k) / size for k in range(len(tags))]
