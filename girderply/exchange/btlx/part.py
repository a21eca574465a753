"""One member of one ply as a part: its blank, its place, and what the saw does to it.

[BTLx 2.3, design2machine] A part lies along x from its start, Height along y, Width along z.
Reference side 1 is the face at y = 0, its own x along the part and its own y along z; side 3 is
the opposite face, seen from there: its y runs down from z = Width. Here x runs from the hook end,
Height is the ply's thickness and Width the member's depth: side 1 is the front face of the ply,
and the distance across it is counted from the lower edge, left of the hook end's view.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from girderply.model.girder import Girder, HungLoad, Member
from girderply.units.short_text import one_line

FRONT, BACK = 1, 3
MARK = 10.0  # size of the sign at a nail, mm
TALL = 15.0  # letters, mm
IN = 60.0  # the words begin so far from the hook end, mm


@dataclass(frozen=True, slots=True)
class Ply:
    """A member in one ply.

    Attributes:
        low: offset of its lower edge from the hook-to-far line, mm. width: across, mm.
    """

    girder: Girder
    member: Member
    number: int
    low: float
    width: float

    def across(self, offset: float, side: int) -> float:
        """Distance across a reference side of a point at an offset, mm."""
        up = offset - self.low
        return up if side == FRONT else self.width - up


def ply_of(girder: Girder, member: Member, number: int) -> Ply:
    """A member in a ply, as wide as its outline."""
    across = member.to_local(member.outline)[:, 1]
    low, high = float(across.min()), float(across.max())
    return Ply(girder, member, number, low, high - low)


def position(p: Ply) -> str:
    """Where the part stands in the girder: corner, direction of its length, of its height."""
    m = p.member
    ux, uy = math.cos(m.angle), math.sin(m.angle)
    x, z = m.hook[0] - p.low * uy, m.hook[1] + p.low * ux
    y = (p.number - 1) * p.girder.ply_thickness
    corner = f'<ReferencePoint X="{n(x)}" Y="{n(y)}" Z="{n(z)}"/>'
    along = f'<XVector X="{ux:.9f}" Y="0" Z="{uy:.9f}"/>'
    return f'<Position>{corner}{along}<YVector X="0" Y="1" Z="0"/></Position>'


def shape(p: Ply) -> str:
    """The part as it is really cut, as faces, for programs that show it."""
    local = p.member.to_local(p.member.outline)
    points = [
        f"{n(x)} {n(y)} {n(z - p.low)}" for y in (0.0, p.girder.ply_thickness) for x, z in local
    ]
    k = len(local)
    sides = [(i, (i + 1) % k, (i + 1) % k + k, i + k) for i in range(k)]
    faces: list[Sequence[int]] = [range(k)[::-1], range(k, 2 * k), *sides]
    index = " ".join(" ".join(map(str, f)) + " -1" for f in faces)
    return (
        f'<Shape><IndexedFaceSet convex="false" coordIndex="{index}">'
        f'<Coordinate point="{" ".join(points)}"/></IndexedFaceSet></Shape>'
    )


def holes(p: Ply, records: Sequence[dict[str, Any]]) -> Iterator[str]:
    """A hole right through for whatever is drilled in this ply."""
    for r in records:
        if r["drilled"] > 0 and _within(p, r):
            spot = _spot(r["station"], p.across(r["offset"], FRONT))
            yield _process(
                "Drilling",
                r["id"],
                FRONT,
                f"{spot}<Angle>0</Angle><Inclination>90</Inclination>"
                f"<DepthLimited>no</DepthLimited><Depth>{n(p.girder.ply_thickness)}</Depth>"
                f"<Diameter>{n(r['drilled'])}</Diameter>",
            )


def nails(p: Ply, records: Sequence[dict[str, Any]]) -> Iterator[str]:
    """A sign where a nail or screw without a hole goes in, on the face that its head is on."""
    for r in records:
        if not r["drilled"] and r["from_ply"] == p.number:
            side = FRONT if r["face"] == "front" else BACK
            yield _mark(r["id"], side, r["station"], p.across(r["offset"], side))


def brackets(p: Ply, loads: Sequence[HungLoad]) -> Iterator[str]:
    """A sign where a bracket stands, on the outer face that it hangs on."""
    for load in loads:
        outer, side = (1, FRONT) if load.face == "front" else (p.girder.plies, BACK)
        if load.face in ("front", "back") and outer == p.number and load.bracket is not None:
            along, across = p.member.to_local(np.array([[load.x, load.y]]))[0]
            yield _mark(load.id, side, float(along), p.across(float(across), side))


def words(p: Ply) -> Iterator[str]:
    """What the part is, read on its front face from the hook end."""
    text = f"{p.girder.mark} {p.member.id} ply {p.number}/{p.girder.plies} front, hook end"
    yield _process(
        "Text",
        "what it is",
        FRONT,
        f"{_spot(min(IN, p.member.length / 4), p.width / 3)}<Angle>0</Angle>"
        "<AlignmentVertical>bottom</AlignmentVertical>"
        "<AlignmentHorizontal>left</AlignmentHorizontal>"
        "<AlignmentMultiline>left</AlignmentMultiline><StackedMarking>no</StackedMarking>"
        f"<TextHeightAuto>no</TextHeightAuto><TextHeight>{n(TALL)}</TextHeight>"
        f"<Text>{escape(one_line(text))}</Text>",
    )


def numbered(processings: Sequence[str]) -> str:
    """Processings of a part with their numbers."""
    return "".join(text.replace("@", str(i), 1) for i, text in enumerate(processings, 1))


def n(mm: float) -> str:
    """A length to a thousandth."""
    return f"{round(mm, 3) + 0.0:.3f}"


def _within(p: Ply, r: dict[str, Any]) -> bool:
    low, high = sorted((r["from_ply"], r["to_ply"]))
    return bool(low <= p.number <= high)


def _spot(along: float, across: float) -> str:
    return f"<StartX>{n(along)}</StartX><StartY>{n(across)}</StartY>"


def _mark(name: str, side: int, along: float, across: float) -> str:
    return _process(
        "Marking",
        name,
        side,
        f"{_spot(along, across)}<Angle>0</Angle><LengthLimited>yes</LengthLimited>"
        f"<Length>{n(MARK)}</Length><Width>{n(MARK)}</Width><InteriorAngle>90</InteriorAngle>"
        "<Style>single</Style>",
    )


def _process(kind: str, name: str, side: int, inside: str) -> str:
    """A processing; its number is filled in when all of the part are known."""
    said = quoteattr(one_line(name))
    return f'<{kind} ProcessID="@" ReferencePlaneID="{side}" Name={said}>{inside}</{kind}>'
